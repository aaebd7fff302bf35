"""How smooth the window is: times of a frame, of a drag, of start and opening.

    OMP_NUM_THREADS=1 python tests/experiments/bench_window.py [--quick] [PART ...]

Prints the tables of docs/benchmarks.md; PART is any of follow, open, stalls, start. Every
time is from the act to the end of the repaint it causes, on a 1400 x 900 canvas with every
landmark of a tooth shown; beside it stands the ratio to a floor of the same run: one numpy
``take`` of 1400 x 900 values through a grey table. A landmark is dragged at 60 moves a
second, which come from another process as a mouse's do; their times count from the moment a
move was due, so that whatever holds the window up counts. A film's opening is held against
pydicom's reading and decoding of the same file: just before, in the same state of the same
process and with its result kept as the window keeps its film; and over and over, with all
caches warm. The stall watch ticks every 2 ms: a gap is time in which the window could not
answer; beside it stands the processor time the process itself used during the longest gap,
which other programs do not add to.
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
from PySide6.QtCore import QEvent, QEventLoop, QSettings, QSocketNotifier, Qt, QTimer  # noqa: E402

SIZES = ((1500, 2000), (3000, 4000), (5000, 5000))
VIEW = (1400, 900)
DRAGGED = (
    ("a crest", "crest_mesial", None),
    ("the apex", "apex", "single"),
    ("the reference", "coronal_reference", None),
)
# A hand: writes 60 times a second when a move was due, as a mouse does to its socket.
HAND = """
import os, struct, time
due = time.perf_counter() + 0.1
while True:
    due += 1 / 60
    time.sleep(max(due - time.perf_counter(), 0))
    os.write(1, struct.pack("d", due))
"""
PARTS = ["follow", "open", "stalls", "start"]


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
        self.size, self.count = (width, height), 0

    def wait(self, ms):
        loop = QEventLoop()
        QTimer.singleShot(ms, loop.quit)
        loop.exec()

    def settle(self):
        self.wait(50)
        while self.window.background.busy or self.window.opening.busy:
            self.wait(20)

    def rest(self):
        """Wait until all numbers are there in full, as they are when a hand takes up a mark."""
        while not self.window.desk.settled:
            self.wait(20)
        self.settle()

    def frame(self, act):
        """Seconds from ``act`` until its repaint is done."""
        start = time.perf_counter()
        act()
        self.window.canvas.repaint()
        return time.perf_counter() - start

    def another(self):
        """A film of the same size with other bytes, in a new case."""
        from radmeasure.workflow.session import Session

        self.count += 1
        data = bytearray(self.path.read_bytes())
        data[-1] = self.count
        self.path = self.path.with_name(f"{self.count}-{self.size[0]}.dcm")
        self.path.write_bytes(data)
        self.path.read_bytes()
        self.window.desk.begin(Session.create(self.path.with_suffix(".radcase")))
        self.settle()

    def openings(self, count):
        """(seconds of :meth:`open`, of pydicom just before), each for a film never seen before."""
        times, floors = [], []
        for _ in range(count):
            self.another()
            start = time.perf_counter()
            self.kept = decoded(self.path)
            floors.append(time.perf_counter() - start)
            times.append(self.open())
        return times, floors

    def open(self):
        """Seconds from naming the film to the end of its first paint."""
        done, canvas = [], self.window.canvas
        show = canvas.show_now

        def shown():
            show()
            done.append(time.perf_counter())

        canvas.show_now = shown
        start = time.perf_counter()
        self.window.opening.open([self.path])
        while not done:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        canvas.show_now = show
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

    def paint(self):
        """Lay out and paint now whatever is not up to date, as the event loop would."""
        self.app.sendPostedEvents(None, QEvent.Type.LayoutRequest)
        self.app.sendEvent(self.window, QEvent(QEvent.Type.UpdateRequest))

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

    def drags(self, count, name="crest_mesial", root=None):
        """(moves, numbers): seconds from when a move was due until the mark is painted there,
        and until every number follows it in record and level chart."""
        self.rest()
        desk = self.window.desk
        x, y = desk.landmarks.get(name, root)
        desk.select((name, root))
        due, moves, numbers, loop = {}, [], [], QEventLoop()
        hand = subprocess.Popen([sys.executable, "-S", "-c", HAND], stdout=subprocess.PIPE)
        comes = QSocketNotifier(hand.stdout.fileno(), QSocketNotifier.Type.Read)

        def move():
            since = np.frombuffer(os.read(hand.stdout.fileno(), 4096))[0]
            k = len(moves)
            place = (x + k % 20 + k / 1e4, y + k % 13)
            due[place] = since  # of several that wait the newest is shown, the oldest counts
            desk.drag(name, root, place)
            self.paint()
            moves.append(time.perf_counter() - since)
            if len(moves) == count:
                comes.setEnabled(False)
                loop.quit()

        def follow():
            place = desk.evaluation.landmarks.get(name, root)
            if place in due:
                self.paint()
                numbers.append(time.perf_counter() - due[place])

        comes.activated.connect(move)
        desk.evaluated.connect(follow)
        loop.exec()
        hand.kill()
        hand.communicate()
        self.settle()
        desk.evaluated.disconnect(follow)
        desk.drop_preview()
        self.settle()
        return moves, numbers

    # -- what holds the window up --------------------------------------------------------------
    def longest_stall(self, act):
        """Longest time, seconds, in which the window did not answer during ``act``.

        Returns
        -------
        (by the clock, by the processor time the process used meanwhile)
        """

        def beat():
            beats.append((time.perf_counter(), time.process_time()))

        beats, watch = [], QTimer(timerType=Qt.TimerType.PreciseTimer, interval=2)
        watch.timeout.connect(beat)
        watch.start()
        self.wait(60)
        beats.clear()
        beat()
        self._act_in_loop(act)
        self.settle()
        beat()
        watch.stop()
        return np.diff(beats, axis=0).max(axis=0)

    def _act_in_loop(self, act):
        loop = QEventLoop()
        QTimer.singleShot(0, lambda: (act(), loop.quit()))
        loop.exec()

    def stalls(self):
        """(what, seconds) of everything that takes its time."""
        window, folder = self.window, self.path.parent
        stem = f"{self.count}-{self.size[0]}"
        self.another()
        yield "open a film", self.longest_stall(lambda: window.opening.open([self.path]))
        self.place_all()
        yield "suggest", self.longest_stall(window.suggesting.start)
        yield "turn the film", self.longest_stall(window.turn_right)
        yield "undo", self.longest_stall(window.undo)
        yield (
            "record as PDF",
            self.longest_stall(lambda: window.write_pdf_to(str(folder / f"{stem}.pdf"))),
        )
        yield (
            "save a copy",
            self.longest_stall(lambda: window._copy(str(folder / f"{stem}-copy.radcase"))),
        )
        yield (
            "keep under a name",
            self.longest_stall(lambda: window._keep(str(folder / f"{stem}-kept.radcase"))),
        )
        yield (
            "open a case",
            self.longest_stall(lambda: window.opening.open([folder / f"{stem}-copy.radcase"])),
        )

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


def decoded(path):
    """A film as pydicom gives it to somebody who opens it: data set and pixels."""
    import pydicom

    dataset = pydicom.dcmread(path)
    return dataset, dataset.pixel_array


def decode_ms(path, count=15):
    """Median time pydicom needs to read and decode the film over and over."""
    times = []
    for _ in range(count):
        start = time.perf_counter()
        decoded(path)
        times.append(time.perf_counter() - start)
    return spread(times)[0]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a few frames only")
    parser.add_argument("part", nargs="*", help=f"of {', '.join(PARTS)}; all by default")
    options = parser.parse_args()
    parts, count = options.part or PARTS, 20 if options.quick else 120
    if unknown := set(parts) - set(PARTS):
        parser.error(f"no part is called {', '.join(unknown)}")
    floor = floor_ms()
    print(f"floor: {floor:.2f} ms, one table pass over {VIEW[0]} x {VIEW[1]} px\n")
    with tempfile.TemporaryDirectory() as name:
        os.environ["RADMEASURE_DATA"] = name
        frames, opened, stalls = [], [], []
        for width, height in SIZES:
            bench = Bench(Path(name), width, height)
            film = f"{width} x {height}"
            bench.open()
            if "open" in parts:
                opened.append((film, *bench.openings(count // 5), decode_ms(bench.path)))
            if "follow" in parts:
                bench.place_all()
                bench.window.canvas.fit()
                frames += [(film, *row) for row in frame_times(bench, count)]
            if "stalls" in parts:
                stalls += [(film, *row) for row in repeated(bench.stalls, 3)]
            bench.close()
    print_frames(frames, floor)
    print_opened(opened)
    print_stalls(stalls)
    if "start" in parts:
        median, high = spread(start_up(count // 12))
        print(f"\nprocess start to first paint, warm: {median:.0f} ms (95 % {high:.0f} ms)")


def frame_times(bench, count):
    """(act, times) of everything that must keep up with the hand."""
    acts = (("greys, whole film", bench.greys), ("zoom", bench.zooms), ("pan", bench.pans))
    for title, act in acts:
        act(5)
        yield title, act(count)
        bench.settle()
    for title, *key in DRAGGED:
        bench.drags(10, *key)
        moves, numbers = bench.drags(max(count, 60), *key)
        yield f"drag of {title}: the mark", moves
        yield f"drag of {title}: all numbers", numbers


def repeated(measure, times):
    """(what, all its values) of a measurement made several times."""
    found = {}
    for _ in range(times):
        for what, value in measure():
            found.setdefault(what, []).append(value)
    return found.items()


def print_frames(frames, floor):
    print("| film | act | median ms | 95 % ms | 95 % / floor |")
    print("|---|---|---|---|---|")
    for film, title, times in frames:
        median, high = spread(times)
        print(f"| {film} | {title} | {median:.1f} | {high:.1f} | {high / floor:.1f} |")


def print_opened(opened):
    print("\n| film | to first paint, ms | 95 % | pydicom just before | ratio", end="")
    print(" | pydicom over and over | ratio |\n|---|---|---|---|---|---|---|")
    for film, times, floors, warm in opened:
        (median, high), (floor, _) = spread(times), spread(floors)
        print(f"| {film} | {median:.1f} | {high:.1f} | {floor:.1f} | {median / floor:.1f}", end="")
        print(f" | {warm:.1f} | {median / warm:.1f} |")


def print_stalls(stalls):
    print("\n| film | act | longest time without an answer: median ms | worst ms", end="")
    print(" | of the process itself: median ms | worst ms |\n|---|---|---|---|---|---|")
    for film, title, gaps in stalls:
        clock, own = np.array(gaps).T * 1e3
        print(f"| {film} | {title} | {np.median(clock):.0f} | {clock.max():.0f}", end="")
        print(f" | {np.median(own):.0f} | {own.max():.0f} |")


if __name__ == "__main__":
    main()
