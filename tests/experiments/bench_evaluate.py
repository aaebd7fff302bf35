"""How long all numbers take after one landmark moved, beside the bare geometry in numpy.

Run on a quiet machine:  OMP_NUM_THREADS=1 python tests/experiments/bench_evaluate.py

Times are of the process, so other work on the machine counts less. The floor is what a
program without uncertainty would compute: axis, projections, canal length and widths once.
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
REPEATS = 80


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


def median_ms(work, landmarks):
    times = []
    for i in range(REPEATS):
        moved = landmarks.points["crest_mesial"]
        film = landmarks.with_placed("crest_mesial", (moved[0] + 0.01 * i, moved[1]), None)
        start = time.process_time()
        work(film)
        times.append(1e3 * (time.process_time() - start))
    return statistics.median(times)


def main():
    rules, sizes = read_rulebook(), read_post_sizes()
    print("| film | roots | while dragged, ms | let go, ms | bare numpy, ms | dragged / bare |")
    print("|---|---|---|---|---|---|")
    for name in ("alder", "birch", "cedar", "fir"):
        landmarks = read_landmarks(SAMPLES / f"{name}.landmarks.json")
        live = median_ms(lambda film: evaluate(film, rules, sizes=sizes, live=True), landmarks)
        full = median_ms(lambda film: evaluate(film, rules, sizes=sizes), landmarks)
        floor = median_ms(bare, landmarks)
        row = f"{live:.1f} | {full:.0f} | {floor:.2f} | {live / floor:.0f}"
        print(f"| {name} | {len(landmarks.roots)} | {row} |")


if __name__ == "__main__":
    main()
