"""How long the case file takes: an edit, an undo, opening; on the disk the folder lies on.

python tests/experiments/case_speed.py [--folder DIR] [--out TABLE.md]
"""

import argparse
import os
import statistics
import tempfile
import time
from pathlib import Path

from radmeasure.model.edits import Place, SetLabel
from radmeasure.model.landmarks import ROOT_LINES, ROOT_POINTS
from radmeasure.workflow.session import Session

ROOTS = ("mesiobuccal", "distobuccal", "palatal")


def timed(action, times):
    """Median and 95th percentile in ms."""
    found = []
    for number in range(times):
        started = time.perf_counter()
        action(number)
        found.append(1e3 * (time.perf_counter() - started))
    return statistics.median(found), sorted(found)[int(0.95 * times)]


def chart_a_molar(session, film_id):
    """Every point and line of three roots; lines of 200 points as a tracing gives them."""
    line = tuple((100 + 1.37 * n, 200 + 4.21 * n) for n in range(200))
    for root in ROOTS:
        for name in ROOT_LINES:
            session.apply(Place(film_id, "16", name, root, line))
        for name in ROOT_POINTS:
            session.apply(Place(film_id, "16", name, root, (100.5, 200.25)))


def edits(folder):
    with Session.create(folder / "molar.radcase") as session:
        film_id = session.add_film(os.urandom(6_000_000), "film.dcm").film_id
        chart_a_molar(session, film_id)
        yield (
            "nudge of a landmark (54 landmarks, lines of 200 points)",
            *timed(
                lambda n: session.apply(
                    Place(film_id, "16", "apex", "palatal", (n + 0.5, 3.0)), merge=n % 10 > 0
                ),
                300,
            ),
        )
        yield ("undo and redo", *timed(lambda n: (session.undo(), session.redo()), 50))
        yield ("label", *timed(lambda n: session.apply(SetLabel(f"{n}")), 50))
        yield (
            "film of 6 MB added",
            *timed(lambda n: session.add_film(os.urandom(6_000_000), f"{n}.dcm"), 5),
        )
    yield ("opening it, six films of 6 MB, digests checked", *timed_opening(folder, "molar"))


def timed_opening(folder, name):
    return timed(lambda n: Session.open(folder / f"{name}.radcase").close(), 10)


def long_history(folder):
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as quick:
        path = Path(quick, "long.radcase")
        with Session.create(path) as session:
            film_id = session.add_film(b"film", "film.png").film_id
            for n in range(10_000):
                session.apply(Place(film_id, "11", "apex", "single", (n * 0.1, 2.0)))
            session.save_copy(folder / "long.radcase")
        yield ("opening a history of 10 000 edits", *timed_opening(folder, "long"))
        with Session.open(folder / "long.radcase") as session:
            yield ("its whole history in words", *timed(lambda n: session.history(), 3))


def raw_sync(folder):
    """The floor: one write made durable, without any database."""
    with open(folder / "raw", "wb", buffering=0) as file:

        def write(number):
            file.write(b"x" * 4096)
            os.fdatasync(file.fileno())

        yield ("(the disk itself: 4 KiB appended and synced)", *timed(write, 100))


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--folder")
    parser.add_argument("--out")
    args = parser.parse_args()
    rows = ["| | median ms | 95th percentile ms |", "|---|---|---|"]
    with tempfile.TemporaryDirectory(dir=args.folder) as name:
        for part in (raw_sync, edits, long_history):
            for what, median, high in part(Path(name)):
                rows.append(f"| {what} | {median:.1f} | {high:.1f} |")
    print("\n".join(rows))
    if args.out:
        Path(args.out).write_text("\n".join(rows) + "\n")


if __name__ == "__main__":
    main()
