"""How long all numbers take after one landmark moved, beside the bare geometry in numpy.

Run on a quiet machine:  OMP_NUM_THREADS=1 python tests/experiments/bench_evaluate.py

Every point of the film is dragged in turn, each evaluation following that of the place before.
Times are of the process, so other work on the
machine counts less. The floor is what a program without uncertainty would compute: axis,
projections, canal length and widths once.
"""

import statistics
import time
from pathlib import Path

import numpy as np

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.post_sizes import read_post_sizes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.workflow.evaluate import evaluate

SAMPLES = Path(__file__).parents[2] / "sample_images"
REPEATS = 12


def bare(landmarks):
    """The plain numbers of every root, px, once."""
    points = {name: np.array(p) for name, p in landmarks.points.items()}
    found = []
    for root in landmarks.roots.values():
        top = 0.5 * (points["cej_mesial"] + points["cej_distal"])
        axis = np.array(root.points["apex"]) - top
        axis = axis / np.hypot(*axis)
        normal = np.array([-axis[1], axis[0]])
        found += [float((p - top) @ axis) for p in points.values()]
        canal = np.array(root.lines["canal"])
        found.append(float(np.hypot(*np.diff(canal, axis=0).T).sum()))
        level = (canal - top) @ axis
        for name in ("root_wall_mesial", "root_wall_distal"):
            wall = np.array(root.lines[name])
            found += list(np.interp(level, (wall - top) @ axis, (wall - top) @ normal))
    return found


def times_ms(work, landmarks, repeats):
    """Sorted times of ``work(film, before)`` after each point of the film was moved, ms.

    ``before`` is what it gave for the place the point had just before.
    """
    points = [(root, name, at) for root, name, at in landmarks.placed() if np.ndim(at) == 1]
    times = []
    for root, name, (x, y) in points:
        before = work(landmarks, None)
        for i in range(repeats):
            film = landmarks.with_placed(name, (x + 0.01 * (i + 1), y), root)
            start = time.process_time()
            before = work(film, before)
            times.append(1e3 * (time.process_time() - start))
    return sorted(times)


def main():
    rules, sizes = read_rulebook(), read_post_sizes()
    print("| film | roots | dragged, median ms | 95 % ms | let go, median ms | bare numpy, ms |")
    print("|---|---|---|---|---|---|")
    for name in ("alder", "birch", "cedar", "fir"):
        landmarks = read_landmarks(SAMPLES / f"{name}.landmarks.json")
        live = times_ms(
            lambda film, before: evaluate(film, rules, sizes=sizes, live=True, before=before),
            landmarks,
            REPEATS,
        )
        full = times_ms(lambda film, _: evaluate(film, rules, sizes=sizes), landmarks, 1)
        floor = times_ms(lambda film, _: bare(film), landmarks, REPEATS)
        middle, let_go, least = (statistics.median(times) for times in (live, full, floor))
        row = f"{middle:.1f} | {live[int(0.95 * len(live))]:.1f} | {let_go:.0f} | {least:.2f}"
        print(f"| {name} | {len(landmarks.roots)} | {row} |")


if __name__ == "__main__":
    main()
