"""Readings of exact landmarks held against the 3-D truth of synthetic films.

Draws cases from seeds, takes their projected landmarks (no picture is needed)
and measures them. Prints, for every reading, the median and largest error and
the share of truths inside the stated 95 % interval.

Run: python tests/experiments/truth_measured.py [COUNT] [--level]
``--level`` draws every case without any tilt and with the exact magnification,
where the only residue is perspective.
"""

import sys
from collections import defaultdict
from dataclasses import replace

import numpy as np

from radmeasure.model.landmarks import Detector
from radmeasure.model.recipe import recipe
from radmeasure.phantoms import scene, truth
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.rulebook import load_rulebook
from radmeasure.workflow.synthesise import drawn, tables

# Readings whose truth is a length or ratio on the tooth.
SKIPPED = ("working_length", "stop_setting")


def level(table):
    """The same case without any tilt: a paralleled film, the tooth upright."""
    table = dict(table)
    table["view"] = {"technique": "paralleling", "receptor_tilt_deg": 0.0}
    table["size"] = {"tip_deg": 0.0}
    return table


def case(seed, flat):
    """Truth and evaluation of the case a seed draws."""
    table = level(drawn(seed)) if flat else drawn(seed)
    made = scene.build(recipe(table), tables().anatomy)
    exact = truth.truth(made)
    marks = exact.landmarks
    if flat:
        scale = (Detector(exact.pitch_mm, exact.magnification, 0.001),)
        marks = replace(marks, scale=scale)
    return exact, evaluate(marks, load_rulebook(None))


def compare(exact, found):
    """Yield (reading, root, side, truth, value, u, inside) of every reading both know."""
    for key, value in exact.values.items():
        reading, root, side = (None if part == "None" else part for part in key.split("|"))
        got = found.reading(reading, root, side) or found.reading(reading, None, side)
        if got is None or got.quantity is None or reading in SKIPPED:
            continue
        low, high = got.quantity.interval95
        yield reading, root, side, value, got.quantity.value, got.quantity.u, low <= value <= high


def main():
    words = [a for a in sys.argv[1:] if not a.startswith("-")]
    count, flat = int(words[0]) if words else 40, "--level" in sys.argv
    rows = defaultdict(list)
    for seed in range(count):
        exact, found = case(seed, flat)
        for reading, root, side, true, value, u, inside in compare(exact, found):
            rows[reading].append((value - true, true, u, inside))
            if not inside:
                tooth = exact.landmarks.tooth.fdi
                print(f"  outside: seed {seed} tooth {tooth} {reading} {root} {side} ", end="")
                print(f"true {true:.3f} value {value:.3f} u {u:.3f}")
    print(f"{'reading':24}{'n':>5}{'median |error|':>16}{'worst':>9}{'worst %':>9}{'inside':>8}")
    for reading, found in sorted(rows.items()):
        error, true, _, inside = (np.array(c, float) for c in zip(*found))
        share = np.max(np.abs(error) / np.maximum(np.abs(true), 1e-9)) * 100
        print(
            f"{reading:24}{len(error):5}{np.median(np.abs(error)):16.4f}"
            f"{np.max(np.abs(error)):9.3f}{share:9.2f}{np.mean(inside):8.3f}"
        )
    everything = [r[3] for found in rows.values() for r in found]
    print(f"inside the 95 % interval: {np.mean(everything):.4f} of {len(everything)}")


if __name__ == "__main__":
    main()
