"""The pictures of the user guide and the README, taken of the running window.

    QT_QPA_PLATFORM=offscreen python tests/experiments/screenshots.py [--out docs/screenshots]
        [--size 1366x768] [--theme evening] [--font 1.0] [--only NAME ...]

Every picture is reached by mouse and keyboard on the sample films, as a person would.
"""

import argparse
import json
import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from PySide6.QtCore import QSettings, Qt  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402
from window_hands import SAMPLES, Hands  # noqa: E402

CTRL = Qt.KeyboardModifier.ControlModifier
MOST_BYTES = 250_000


class Bot:
    """The few things of pytest-qt's bot that the hands need."""

    def wait(self, ms):
        QTest.qWait(ms)

    def waitUntil(self, done, timeout):
        until = time.monotonic() + timeout / 1000
        while not done():
            if time.monotonic() > until:
                raise TimeoutError("the window did not get there")
            QTest.qWait(10)

    def keyClick(self, widget, key, modifiers=Qt.KeyboardModifier.NoModifier):
        QTest.keyClick(widget, key, modifiers)

    def keyClicks(self, widget, text):
        QTest.keyClicks(widget, text)


class Studio:
    """A window on a new case, and a camera before it."""

    def __init__(self, args):
        self.args, self.bot = args, Bot()
        self.folder = Path(tempfile.mkdtemp())
        os.environ["HOME"] = str(self.folder)  # no name of a machine on a picture
        os.environ["RADMEASURE_DATA"] = str(self.folder / ".local" / "share" / "radmeasure")
        from radmeasure.gui.app import FirstPaint, application
        from radmeasure.gui.window import Window
        from radmeasure.workflow.session import Session

        app = application()
        font = app.font()
        font.setPointSizeF(font.pointSizeF() * args.font)
        app.setFont(font)
        settings = QSettings(str(self.folder / "s.ini"), QSettings.Format.IniFormat)
        settings.setValue("cautions_read", "yes")
        settings.setValue("theme", args.theme)
        self.window = Window(Session.create(self.folder / "new.radcase"), settings)
        FirstPaint(self.window, self.window.after_first_paint)
        self.window.resize(*args.size)
        self.window.show()
        self.window.activateWindow()
        self.hands = Hands(self.bot, self.window)
        self.bot.waitUntil(lambda: self.window.desk.rulebook is not None, 20000)
        self.bot.waitUntil(lambda: self.window.practice is not None, 20000)

    # -- acting ----------------------------------------------------------------------------------
    def begin(self, *films, job, label, roles=None):
        """A new case with these films, at this job."""
        from radmeasure.model import edits

        self.window.new_case()
        self.window.desk.apply(edits.SetLabel(label))
        self.window.desk.set_job(job)
        self.window.opening.open([SAMPLES / f for f in films], roles)
        self.settle()
        self.window.canvas.setFocus()

    def command(self, name):
        self.window.commands[name].trigger()
        self.settle()

    def settle(self):
        self.hands.settle(60000)
        self.window.notice.hide()
        self.bot.wait(80)

    def place(self, sample, skip=()):
        """Place every landmark of a sample as its file has it."""
        from radmeasure.files.landmarks_json import read_landmarks
        from radmeasure.model import edits

        desk = self.window.desk
        marks = read_landmarks(SAMPLES / f"{sample}.landmarks.json")
        if desk.tooth != marks.tooth.fdi or desk.chart is None:
            desk.set_tooth(marks.tooth.fdi)
        desk.set_scale(*marks.scale)
        for name, value in marks.given.items():
            desk.give(name, value)
        found = [
            edits.Place(desk.film_id, desk.tooth, name, root, value)
            for root, name, value in marks.placed()
            if name not in skip
        ]
        desk.apply(edits.Several("", tuple(found)))
        desk.lead()
        self.settle()

    def why(self, word):
        """Open the explanation of the first sentence with this word."""
        record = self.window.leaves.record
        line = next(li for li in record._lines if li.key and word in li.accessibleName())
        record._followed(f"why:{line.key}")
        self.settle()
        record.ensureWidgetVisible(record._why)
        self.bot.wait(50)

    # -- taking pictures ---------------------------------------------------------------------------
    def shoot(self, name, widget=None):
        """Save what is seen, in as few bytes as 256 colours need."""
        if self.args.only and name not in self.args.only:
            return
        self.bot.wait(60)
        path = self.args.out / f"{name}.png"
        picture = few_colours((widget or self.window).grab().toImage())
        picture.save(path, optimize=True)
        size = path.stat().st_size
        print(f"{path.name:22} {size / 1000:6.0f} kB {picture.width} x {picture.height}")
        if size > MOST_BYTES and self.args.theme == "evening" and self.args.font == 1.0:
            raise SystemExit(f"{path.name} is larger than {MOST_BYTES // 1000} kB")


def few_colours(image):
    """The picture in 256 colours: 96 greys for the film, and the commonest of each other hue."""
    import numpy as np
    from PIL import Image
    from scipy.spatial import cKDTree

    image = image.convertToFormat(image.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    rgb = rows[:, : 3 * image.width()].reshape(-1, 3)
    coloured = rgb[np.ptp(rgb.astype(int), axis=1) > 3]
    found, count = np.unique(coloured, axis=0, return_counts=True)
    found = found[np.argsort(-count, kind="stable")]
    # One colour for each cell of 32 levels a side, so that a few orange letters are not lost.
    _, first = np.unique(found // 32, axis=0, return_index=True)
    found = np.vstack([found[np.sort(first)], np.delete(found, first, axis=0)])
    greys = np.repeat(np.linspace(0, 255, 96).round().astype(np.uint8)[:, None], 3, axis=1)
    colours = np.vstack([greys, found[:160]])
    nearest = cKDTree(colours.astype(float)).query(rgb.astype(float))[1].astype(np.uint8)
    picture = Image.fromarray(nearest.reshape(image.height(), image.width()), "P")
    picture.putpalette(colours.tobytes())
    return picture


def start(s):
    s.settle()
    s.shoot("start")


def length_check(s):
    """Alder: the file seen, its length asked for; then the working length."""
    s.begin("alder.dcm", job="length check", label="Alder")
    s.window.suggesting.automatic = False
    marks = json.loads((SAMPLES / "alder.landmarks.json").read_text())
    if s.window.desk.want.kind == "tooth":
        s.hands.type(marks["tooth"])
    s.place("alder")
    s.shoot("length-check")


def filling_check(s):
    s.begin("birch.png", job="filling check", label="Birch")
    s.place("birch")
    s.shoot("filling-check")


def post_plan(s):
    """Cedar: suggestions, then the plan, an explanation, and the pages beside the film."""
    s.begin("cedar.dcm", job="post plan", label="Cedar")
    s.window.suggesting.automatic = True
    marks = json.loads((SAMPLES / "cedar.landmarks.json").read_text())
    ball = next(e for e in marks["scale"] if e["from"] == "sphere")
    s.window.desk.choose("scale")
    s.hands.click([sum(p[i] for p in ball["points"]) / len(ball["points"]) for i in (0, 1)])
    s.settle()
    s.shoot("scale")
    s.hands.type("5")
    if s.window.desk.want.name == "technique":
        s.hands.key(Qt.Key.Key_1)
    s.hands.click(marks["points"]["coronal_reference"])
    s.hands.click(marks["roots"]["single"]["points"]["apex"])
    s.hands.type("10.5")
    s.settle()
    s.window.canvas.inset.leave()
    s.shoot("suggestions")
    s.hands.key(Qt.Key.Key_Return, CTRL)
    s.place("cedar")
    s.window.canvas.inset.leave()
    s.shoot("window")
    s.shoot("level-chart", s.window.levels)
    s.why("crown it carries")
    s.shoot("why-rule", s.window.leaves)
    for page, command in (("keys", "shortcut_sheet"), ("rules", "rules")):
        s.command(command)
        s.bot.wait(150)
        s.shoot(page, s.window.leaves)
    s.window.leaves.put_away("help")
    s.command("page_record")


def gain(s):
    s.begin("elm.png", job="post plan", label="Elm")
    s.place("elm")
    s.window.leaves.turn_to("ways")
    s.bot.wait(150)
    s.shoot("gain")


def which_root(s):
    s.begin("fir.dcm", job="post plan", label="Fir")
    s.place("fir")
    s.window.leaves.turn_to("record")
    s.shoot("which-root")


def no_scale(s):
    s.begin("hazel.jpg", job="filling check", label="Hazel")
    s.place("hazel")
    s.shoot("no-scale")


def recall(s):
    roles = ("post check", "recall")
    s.begin("juniper-earlier.dcm", "juniper-later.dcm", job="recall", label="Juniper", roles=roles)
    for film, sample in zip(
        s.window.films.in_order(s.window.desk.case.films), ("juniper-earlier", "juniper-later")
    ):
        s.window.desk.show_film(film.film_id)
        s.settle()
        s.place(sample)
    s.window.leaves.turn_to("changes")
    s.command("show_beside")
    s.bot.wait(400)
    s.settle()
    s.shoot("recall")
    s.command("show_beside")


def synthetic(s):
    from radmeasure.gui.synth_leaf import FIRST

    s.window.new_case()
    s.command("new_synthetic")
    form = s.window.leaves.page("synthetic")
    s.bot.wait(100)
    s.shoot("synthetic-form", s.window.leaves)
    table = FIRST | {"tooth": "21", "receptor": {"pitch_um": 45.0}, "filling": {"short_mm": 3.0}}
    form._take(table)
    form.start()
    s.bot.waitUntil(lambda: not form.making.busy, 300000)
    s.settle()
    s.window.leaves.put_away("synthetic")
    known, desk = s.window.known_truth(), s.window.desk
    from radmeasure.model import edits

    # Marks as somebody might set them: beside the true places by a few pixels.
    found, turn = [], 0
    for root, name, value in known.landmarks.placed():
        if isinstance(value[0], float):
            turn += 1
            value = (value[0] + 4 * (-1) ** turn, value[1] + 5 * (-1) ** (turn // 2))
            found.append(edits.Place(desk.film_id, desk.tooth, name, root, value))
    desk.set_scale(*known.landmarks.scale)
    desk.apply(edits.Several("", tuple(found)))
    s.settle()
    s.command("show_truth")
    s.bot.wait(150)
    s.shoot("truth")


SCENES = (
    start,
    length_check,
    filling_check,
    post_plan,
    gain,
    which_root,
    no_scale,
    recall,
    synthetic,
)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "screenshots")
    parser.add_argument("--size", default="1366x768")
    parser.add_argument("--theme", default="evening")
    parser.add_argument("--font", type=float, default=1.0)
    parser.add_argument("--only", nargs="*", default=())
    parser.add_argument("--scenes", nargs="*", default=[f.__name__ for f in SCENES])
    args = parser.parse_args()
    args.size = tuple(map(int, args.size.split("x")))
    args.out.mkdir(parents=True, exist_ok=True)
    studio = Studio(args)
    for scene in SCENES:
        if scene.__name__ in args.scenes:
            scene(studio)
    studio.window.close()
    QApplication.processEvents()


if __name__ == "__main__":
    main()
