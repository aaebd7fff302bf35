"""Coverage of the stated uncertainties: how often does the 95 % interval hold the truth?

Landmarks are scattered by their stated placement uncertainty, references by theirs; the
truth stays the film's three-dimensional truth. Films: those of the outside generator
(``../shared/films`` when present) and fresh ones of our own generator, paralleled and
bisected, with angulation errors, with and without a file.

    python tests/experiments/coverage.py [--draws N] [--fresh N] [--out docs/accuracy-coverage.md]
"""

import argparse
import json
import time
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np

from radmeasure.errors import InputError
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.rulebook import read_rulebook
from radmeasure.geometry.polyline import cumulative, normals
from radmeasure.model.landmarks import ROOT_LINES, Detector, Sphere
from radmeasure.workflow.evaluate import evaluate, placement_entry, rough_mm_per_px

OUTSIDE = Path(__file__).resolve().parents[3] / "shared" / "films"
# Truth keys -> reading ids.
ALIASES = {"canal_length_to_foramen": "canal_length"}
WAVE_MM = 3.0


def outside_films():
    """(name, landmarks, truth values) of the outside generator's films."""
    for path in sorted(OUTSIDE.glob("*.truth.json")):
        name = path.name.removesuffix(".truth.json")
        values = json.loads(path.read_text())["values"]
        yield name, read_landmarks(OUTSIDE / f"{name}.landmarks.json"), values


def fresh_films(count, technique, reference, first_seed):
    """Fresh synthetic films with angulation errors up to 15 degrees; no pixels are needed.

    ``reference`` is 'file', 'file and sphere' or 'sphere'.
    """
    from radmeasure.model.recipe import recipe
    from radmeasure.phantoms import scene, truth
    from radmeasure.workflow.synthesise import drawn, tables

    seed, made = first_seed, 0
    while made < count:
        seed += 1
        rng = np.random.default_rng(seed)
        table = drawn(seed)
        for key in ("file", "sphere", "wire", "post", "crown"):
            table.pop(key, None)
        if "file" in reference:
            table.pop("filling", None)
            table["file"] = {"short_mm": round(float(rng.uniform(-0.5, 2.5)), 1), "size": 15}
        if "sphere" in reference:
            table["sphere"] = {"behind_mm": round(float(rng.uniform(-3, 4)), 1)}
        view = {"technique": technique, "source_mm": round(float(rng.uniform(250, 400)))}
        view["vertical_deg"] = round(float(np.clip(rng.normal(0, 7), -15, 15)), 1)
        view["horizontal_deg"] = round(float(np.clip(rng.normal(0, 5), -15, 15)), 1)
        if technique == "paralleling":
            view["receptor_tilt_deg"] = round(float(np.clip(rng.normal(0, 4), -10, 10)), 1)
        table["view"] = view
        try:
            exact = truth.truth(scene.build(recipe(table), tables().anatomy))
        except InputError:
            continue  # an object off the film: not a film a clinician would use
        made += 1
        yield f"seed {seed}", exact.landmarks, dict(exact.values)


def scattered(landmarks, rulebook, rng):
    """Landmarks and references moved by their stated standard uncertainties."""
    rough = rough_mm_per_px(landmarks)
    moved = landmarks
    for root, name, value in list(landmarks.placed()):
        stated = landmarks.stated_u_px(name, root)
        u = rulebook.value(placement_entry(name)) / rough if stated is None else stated
        if name in ROOT_LINES:
            new = _waved(np.array(value), u, rough, name == "lesion", rng)
        else:
            new = tuple(np.array(value) + rng.normal(0, u, 2))
        moved = moved.with_placed(name, new, root)
    return moved.with_scale(*(_reference(e, rulebook, rough, rng) for e in landmarks.scale))


def _waved(line, u, rough, closed, rng):
    s = cumulative(line)
    count = int(np.clip(round(s[-1] * rough / WAVE_MM) + 1, 2, 9))
    knots = np.linspace(0, s[-1], count)
    offset = rng.normal(0, u, count)
    if closed:
        offset[-1] = offset[0]
    shift = np.interp(s, knots, offset)
    return tuple(map(tuple, line + shift[:, None] * normals(line, closed)))


def _reference(entry, rulebook, rough, rng):
    if isinstance(entry, Detector):
        return entry
    if isinstance(entry, Sphere):
        u = rulebook.value("placement.sphere_diameter") / rough
        rim = np.array(entry.points)
        centre = rim.mean(axis=0)
        radius = np.hypot(*(rim - centre).T).mean()
        grown = centre + (rim - centre) * (1 + 0.5 * rng.normal(0, u) / radius)
        return replace(
            entry,
            points=tuple(map(tuple, grown)),
            diameter_mm=entry.diameter_mm + rng.normal(0, entry.u_mm),
        )
    points = np.array(entry.points)
    u = rulebook.value("placement.reference_end") / rough
    points[[0, -1]] += rng.normal(0, u, (2, 2))
    length = entry.length_mm + rng.normal(0, entry.u_mm)
    return replace(entry, points=tuple(map(tuple, points)), length_mm=length)


def _parts(key):
    """(id, root, side) of a truth key, as text or as a tuple."""
    parts = key.split("|") if isinstance(key, str) else key[:3]
    return tuple(None if part in ("None", None) else part for part in parts)


def coverage(films, draws, rulebook, rng, live=True):
    """{reading id: [inside, total, sum of squared z]} over all films and draws."""
    counts = defaultdict(lambda: [0, 0, 0.0])
    for _, landmarks, values in films:
        for _ in range(draws):
            evaluation = evaluate(scattered(landmarks, rulebook, rng), rulebook, live=live)
            table = {r.key[:3]: r.quantity for r in evaluation.readings if r.depth_mm is None}
            for key, true in values.items():
                id_, root, side = _parts(key)
                id_ = ALIASES.get(id_, id_)
                quantity = table.get((id_, root, side))
                if quantity is None:
                    continue
                low, high = quantity.interval95
                row = counts[id_]
                row[0] += low <= true <= high
                row[1] += 1
                row[2] += ((quantity.value - true) / quantity.u) ** 2
    return counts


def table(title, counts):
    """Markdown rows of one experiment."""
    lines = [f"### {title}", "", "| reading | draws | inside 95 % | rms of error / u |"]
    lines.append("|---|---|---|---|")
    for id_, (inside, total, z2) in sorted(counts.items()):
        lines.append(
            f"| {id_} | {total} | {100 * inside / total:.1f} % | {(z2 / total) ** 0.5:.2f} |"
        )
    return [*lines, ""]


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=30)
    parser.add_argument("--fresh", type=int, default=70)
    parser.add_argument("--out")
    parser.add_argument("--monte-carlo", action="store_true")
    args = parser.parse_args()
    rulebook, rng, start = read_rulebook(), np.random.default_rng(20), time.time()
    lines = []
    outside = list(outside_films())
    if outside:
        counts = coverage(outside, args.draws, rulebook, rng, not args.monte_carlo)
        lines += table(f"{len(outside)} films of the outside generator", counts)
    for technique in ("paralleling", "bisecting") if args.fresh else ():
        for reference in ("sphere", "file", "file and sphere"):
            films = list(fresh_films(args.fresh, technique, reference, 5000))
            draws = max(1, args.draws // 4)
            counts = coverage(films, draws, rulebook, rng, not args.monte_carlo)
            lines += table(f"{len(films)} fresh films, {technique}, {reference}", counts)
    lines.append(f"{time.time() - start:.0f} s.")
    text = "\n".join(lines)
    print(text)
    if args.out:
        Path(args.out).write_text(text + "\n")


if __name__ == "__main__":
    main()
