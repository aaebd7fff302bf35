"""How smooth the window is: times of a frame, of a drag, of start and opening.

    QT_QPA_PLATFORM=offscreen OMP_NUM_THREADS=1 python tests/experiments/bench_window.py [--quick]

Prints the table of docs/benchmarks.md. Every time is from the act to the end of the
repaint it causes, on a 1400 x 900 canvas with every landmark of a tooth shown; beside it
stands the ratio to a floor of the same run: one numpy ``take`` of 1400 x 900 values
through a grey table.
"""

import argparse
import io
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402
from PySide6.QtCore import QEventLoop, QSettings, QTimer  # noqa: E402

SIZES = ((1500, 2000), (3000, 4000), (5000, 5000))
VIEW = (1400, 900)


def spread(times):
    """(median, 95th percentile) in ms."""
    return statistics.median(times) * 1e3, float(np.percentile(times, 95)) * 1e3


def floor_ms():
    """Median of one grey-table pass over the visible pixels."""
    rng = np.random.default_rng(1)
    values = rng.integers(0, 65536, (VIEW[1], VIEW[0]), dtype=np.uint16)
    table, out = np.arange(65536, dtype=np.uint32), np.empty(values.shape, np.uint32)
    times = []
    for _ in range(40):
        start = time.perf_counter()
        np.take(table, values, out=out, mode="clip")
        times.append(time.perf_counter() - start)
    return spread(times)[0]


def dicom(width, height):
    """Bytes of an uncompressed 16-bit secondary capture of noise on a slope."""
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian, SecondaryCaptureImageStorage, generate_uid

    rng = np.random.default_rng(2)
    pixels = np.linspace(2000, 60000, height)[:, None] + rng.normal(0, 900, (height, width))
    ds = Dataset()
    ds.file_meta = FileMetaDataset()
    ds.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    ds.file_meta.MediaStorageSOPClassUID = ds.SOPClassUID = SecondaryCaptureImageStorage
    ds.file_meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID = generate_uid(prefix=None)
    ds.Modality, ds.PhotometricInterpretation = "OT", "MONOCHROME2"
    ds.SamplesPerPixel, ds.PixelRepresentation = 1, 0
    ds.Rows, ds.Columns = height, width
    ds.BitsAllocated, ds.BitsStored, ds.HighBit = 16, 16, 15
    ds.PixelData = np.clip(pixels, 0, 65535).astype("<u2").tobytes()
    stream = io.BytesIO()
    ds.save_as(stream, enforce_file_format=True)
    return stream.getvalue()


class Bench:
    """A window on a film of some size."""

    def __init__(self, folder, width, height):
        from radmeasure.gui.app import FirstPaint, application
        from radmeasure.gui.window import Window
        from radmeasure.workflow.session import Session

        self.app = application()
        self.path = folder / f"film-{width}x{height}.dcm"
        self.path.write_bytes(dicom(width, height))
        settings = QSettings(str(folder / "s.ini"), QSettings.Format.IniFormat)
        settings.setValue("cautions_read", "yes")
        self.window = Window(Session.create(folder / f"{width}.radcase"), settings)
        FirstPaint(self.window, self.window.after_first_paint)
        self.window.resize(VIEW[0] + 820, VIEW[1] + 160)
        self.window.show()
        self.wait(600)
        self.window.split.setSizes([0, VIEW[0], 400, 400])
        self.window.suggesting.automatic = False
        self.size = (width, height)

    def wait(self, ms):
        loop = QEventLoop()
        QTimer.singleShot(ms, loop.quit)
        loop.exec()

    def settle(self):
        self.wait(50)
        while self.window.background.busy or self.window.opening.busy:
            self.wait(20)

    def frame(self, act):
        """Seconds from ``act`` until its repaint is done."""
        start = time.perf_counter()
        act()
        self.window.canvas.repaint()
        return time.perf_counter() - start

    def open(self):
        """Seconds from naming the film to the end of its first paint."""
        done = []

        def shown():
            self.window.canvas.repaint()
            done.append(time.perf_counter())

        self.window.desk.film_changed.connect(shown)
        start = time.perf_counter()
        self.window.opening.open([self.path])
        while not done:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        self.window.desk.film_changed.disconnect(shown)
        self.settle()
        return done[0] - start

    def place_all(self):
        """Every landmark and line of an incisor, laid out over the film."""
        from radmeasure.model import edits
        from radmeasure.model.landmarks import Sphere

        w, h = self.size
        desk = self.window.desk
        desk.set_job("post plan")
        desk.set_tooth("11")
        x, top, apex = w / 2, 0.88 * h, 0.2 * h

        def at(share, across=0.0):
            return (x + across * w, top + (apex - top) * share)

        points = {
            "coronal_reference": at(0.0),
            "cej_mesial": at(0.42, 0.07), "cej_distal": at(0.42, -0.07),
            "crest_mesial": at(0.5, 0.08), "crest_distal": at(0.52, -0.08),
            "margin_mesial": at(0.38, 0.08), "margin_distal": at(0.38, -0.08),
        }  # fmt: skip
        root = {
            "apex": at(1.0), "foramen": at(0.99), "orifice": at(0.5),
            "filling_coronal": at(0.52), "filling_apical": at(0.96),
        }  # fmt: skip
        shares = np.linspace(0.5, 0.99, 40)
        lines = {"canal": [at(s) for s in shares]}
        for name, wide in (("root_wall", 0.06), ("canal_wall", 0.012)):
            for side, sign in (("mesial", 1), ("distal", -1)):
                line = [at(s, sign * wide * (1.35 - s)) for s in shares]
                lines[f"{name}_{side}"] = line
        chart = (desk.film_id, "11")
        batch = [edits.Place(*chart, n, None, v) for n, v in points.items()]
        batch += [edits.Place(*chart, n, "single", v) for n, v in root.items()]
        batch += [edits.Place(*chart, n, "single", tuple(v)) for n, v in lines.items()]
        angles = np.linspace(0, 2 * np.pi, 24, endpoint=False)
        ball = [(0.1 * w + 0.03 * w * np.cos(a), 0.9 * h + 0.03 * w * np.sin(a)) for a in angles]
        batch.append(edits.SetScale(*chart, (Sphere(5.0, 0.01, tuple(ball)),)))
        batch.append(edits.SetGiven(*chart, "planned_crown_mm", 10.5))
        desk.apply(edits.Several("laid out", tuple(batch)))
        self.settle()

    # -- what is timed ---------------------------------------------------------------------
    def greys(self, count):
        canvas = self.window.canvas

        def act():
            canvas.set_grey(canvas.grey.shifted(40, 1.002), dragging=True)

        return [self.frame(act) for _ in range(count)]

    def zooms(self, count):
        canvas = self.window.canvas
        return [
            self.frame(lambda k=k: canvas.zoom_by(1.05 if k % 20 < 10 else 1 / 1.05, (500, 400)))
            for k in range(count)
        ]

    def pans(self, count):
        canvas = self.window.canvas
        return [
            self.frame(lambda k=k: canvas.pan(9 if k % 40 < 20 else -9, 4)) for k in range(count)
        ]

    def drags(self, count):
        """A landmark with all readings, level chart and record updated and painted."""
        desk, window = self.window.desk, self.window
        x, y = desk.landmarks.get("crest_mesial")
        times = []
        for k in range(count):
            start = time.perf_counter()
            desk.drag("crest_mesial", None, (x + (k % 20), y + (k % 13)))
            window.canvas.repaint()
            window.levels.chart.repaint()
            window.leaves.record.viewport().repaint()
            self.app.sendPostedEvents()
            times.append(time.perf_counter() - start)
            if not window.desk._evaluator.quick:
                self.settle()
        desk.drop_preview()
        self.settle()
        return times

    def close(self):
        self.window.close()


def start_up(count):
    """Seconds from process start to first paint, warm."""
    code = (
        "import sys, time, tempfile\n"
        "from pathlib import Path\n"
        "from PySide6.QtCore import QSettings\n"
        "from radmeasure.gui.app import FirstPaint, application\n"
        "app = application()\n"
        "from radmeasure.gui.window import Window\n"
        "from radmeasure.workflow.session import Session\n"
        "folder = Path(tempfile.mkdtemp())\n"
        "s = QSettings(str(folder / 's.ini'), QSettings.Format.IniFormat)\n"
        "w = Window(Session.create(folder / 'a.radcase'), s)\n"
        "FirstPaint(w, app.quit)\n"
        "w.show()\n"
        "app.exec()\n"
    )
    times = []
    for _ in range(count + 1):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return times[1:]


def decode_ms(path, count=15):
    """Median time pydicom needs to read and decode the film."""
    import pydicom

    times = []
    for _ in range(count):
        start = time.perf_counter()
        _ = pydicom.dcmread(path).pixel_array
        times.append(time.perf_counter() - start)
    return spread(times)[0]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a few frames only")
    count = 20 if parser.parse_args().quick else 120
    floor = floor_ms()
    print(f"floor: {floor:.2f} ms, one table pass over {VIEW[0]} x {VIEW[1]} px\n")
    print("| film | act | median ms | 95 % ms | 95 % / floor |")
    print("|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as name:
        os.environ["RADMEASURE_DATA"] = name
        opened = []
        for width, height in SIZES:
            bench = Bench(Path(name), width, height)
            first = bench.open()
            opened.append((width, height, first * 1e3, decode_ms(bench.path)))
            bench.place_all()
            bench.window.canvas.fit()
            rows = [("greys, whole film", bench.greys), ("zoom", bench.zooms)]
            rows += [("pan", bench.pans), ("drag of a landmark, all numbers", bench.drags)]
            for title, act in rows:
                act(5)
                median, high = spread(act(count))
                print(
                    f"| {width} x {height} | {title} | {median:.1f} | {high:.1f} | "
                    f"{high / floor:.1f} |",
                    flush=True,
                )
                bench.settle()
            bench.close()
        print("\n| film | named to first paint, ms | pydicom's decode, ms | ratio |")
        print("|---|---|---|---|")
        for width, height, first, decode in opened:
            print(f"| {width} x {height} | {first:.1f} | {decode:.1f} | {first / decode:.1f} |")
    median, high = spread(start_up(3 if count == 20 else 9))
    print(f"\nprocess start to first paint, warm: {median:.0f} ms (95 % {high:.0f} ms)")


if __name__ == "__main__":
    main()
