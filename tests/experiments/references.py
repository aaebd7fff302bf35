"""Measure the search for reference objects and write docs/accuracy-references.md.

    python -m tests.experiments.references [FOLDER] [--fresh 50] [--other 24] [--out FILE]

FOLDER holds films of a generator that is not ours, with their exact references.
``--fresh`` films are drawn by our own generator from seeds nobody looked at before,
``--other`` ones with receptors of every kind (8 to 16 bit, linear response, more blur).
Every object is looked for on the whole film and by clicks scattered about it; clicks
far from any object must be refused.
"""

import argparse
import json
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace

import numpy as np

from radmeasure.errors import RadmeasureError
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model.landmarks import KnownLength, Sphere
from radmeasure.workflow.references import look_over, meant
from radmeasure.workflow.synthesise import drawn, synthesise
from tests.experiments.suggest_recipes import random_recipe

KINDS = ("sphere", "wire", "file")
# Asked for: median of the relative error, %; the 90th percentile may be twice that.
WANTED = {"sphere": 0.5, "wire": 0.3, "file": 1.0}
# An independent plain baseline (steepest gradient, no model of the edge), median %.
BASELINE = {"sphere": 0.9, "wire": 0.16, "file": 1.0}
CLICK_SD_MM, CLICKS, ASTRAY_MM = 1.0, 2, 5.0


@dataclass
class Result:
    """What the search gave on one film."""

    film: str
    errors: dict = field(default_factory=dict)  # kind -> (error %, deviation / u)
    missed: list = field(default_factory=list)  # kinds
    false: list = field(default_factory=list)  # kinds
    hits: list = field(default_factory=list)  # click on an object: the right one?
    astray: list = field(default_factory=list)  # click far from any object: refused?


def size_of(kind, points):
    """Size in px of a true object."""
    if kind == "sphere":
        return 2 * np.hypot(*(points - points.mean(axis=0)).T).mean()
    return np.hypot(*np.diff(points, axis=0).T).sum()


def references_of(entries):
    """{kind: points} of the scale entries of a landmark file."""
    true = {}
    for entry in entries:
        if isinstance(entry, Sphere):
            true["sphere"] = np.array(entry.points)
        elif isinstance(entry, KnownLength):
            true["file" if entry.along == "tooth" else "wire"] = np.array(entry.points)
    return true


def read_film(path):
    """(pixels, {kind: points}, px per mm) of a film with its truth beside it."""
    from PIL import Image

    marks = read_landmarks(path.with_name(f"{path.stem}.landmarks.json"))
    truth = json.loads(path.with_name(f"{path.stem}.truth.json").read_text())
    return np.asarray(Image.open(path)), references_of(marks.scale), truth["px_per_mm_across"]


def own_film(table):
    """The same of a film of our generator; None when the treatment does not fit the tooth."""
    try:
        pixels, landmarks, exact = synthesise(table)
    except (RadmeasureError, ValueError):
        return None
    return pixels, references_of(landmarks.scale), exact.px_per_mm_across


def measure(task):
    """The result on one film: a path, or (maker of the recipe, seed)."""
    name = task.stem if isinstance(task, Path) else f"seed {task[1]}"
    made = read_film(task) if isinstance(task, Path) else own_film(task[0](task[1]))
    if made is None:
        return None
    pixels, true, px_per_mm = made
    film, result = SimpleNamespace(pixels=pixels), Result(name)
    candidates = list(look_over(film))
    found = [one for _, one in candidates if one]
    result.false += [f.kind for f in found if f.kind not in true]
    for kind, points in true.items():
        _compare(result, kind, points, [f for f in found if f.kind == kind])
    _click(result, candidates, film, true, px_per_mm)
    print(name, result.errors, result.missed, result.false, flush=True)
    return result


def _compare(result, kind, points, found):
    near = [f for f in found if _apart(f, points) < 0.3 * size_of(kind, points)]
    result.false += [kind for f in found if f not in near[:1]]
    if not near:
        result.missed.append(kind)
        return
    off = near[0].size_px - float(size_of(kind, points))
    result.errors[kind] = (100 * off / float(size_of(kind, points)), off / near[0].u_size_px)


def _apart(found, points):
    return np.hypot(*(np.mean(found.points, axis=0) - points.mean(axis=0)))


def _click(result, candidates, film, true, px_per_mm):
    """Scattered clicks on every object, and clicks far from all."""
    rng = np.random.default_rng([3, *result.film.encode()])
    for kind, points in true.items():
        for _ in range(CLICKS):
            at = points.mean(axis=0)
            if kind != "sphere":  # anywhere along it
                share = rng.uniform(0, len(points) - 1)
                at = np.array([np.interp(share, np.arange(len(points)), c) for c in points.T])
            one = meant(candidates, film, at + rng.normal(0, CLICK_SD_MM * px_per_mm, 2))
            right = bool(one) and one.kind == kind
            result.hits.append(right and _apart(one, points) < 0.3 * size_of(kind, points))
    for _ in range(2 * CLICKS):
        at = rng.uniform([0, 0], np.array(film.pixels.shape[::-1]) - 1)
        far = [np.hypot(*(p - at).T).min() for p in true.values()]
        if min(far, default=np.inf) > ASTRAY_MM * px_per_mm:
            result.astray.append(not meant(candidates, film, at))


def table(results):
    """Markdown rows of one set."""
    yield "| | on film | found | median %, wanted, plain baseline | 90th %, wanted | in 95 % |"
    yield "|---|---|---|---|---|---|"
    for kind in KINDS:
        errors = np.array([abs(r.errors[kind][0]) for r in results if kind in r.errors])
        count = len(errors) + sum(kind in r.missed for r in results)
        if not len(errors):
            yield f"| {kind} | {count} | 0 | | | |"
            continue
        half, most = np.quantile(errors, (0.5, 0.9))
        wanted = WANTED[kind]
        yield (
            f"| {kind} | {count} | {len(errors)} | {_marked(half, wanted)}, {wanted}, "
            f"{BASELINE[kind]} | {_marked(most, 2 * wanted)}, {2 * wanted} | "
            f"{_inside(results, (kind,))} |"
        )


def _marked(value, limit):
    return f"{value:.2f}" if round(value, 2) <= limit else f"**{value:.2f}**"


def _inside(results, kinds=KINDS):
    """Share of objects whose stated 95 % interval holds the true size."""
    z = [r.errors[kind][1] for r in results for kind in kinds if kind in r.errors]
    return f"{100 * np.mean(np.abs(z) <= 1.96):.0f} % of {len(z)}"


def section(title, results):
    """Markdown of one set of films."""
    yield f"## {title} ({len(results)} films)"
    yield ""
    yield from table(results)
    yield ""
    worst = [
        f"{kind} on {r.film} {r.errors[kind][0]:+.2f} %"
        for r in results
        for kind in r.errors
        if abs(r.errors[kind][0]) > 2 * WANTED[kind]
    ]
    missed = [f"{kind} on {r.film}" for r in results for kind in r.missed]
    false = [f"{kind} on {r.film}" for r in results for kind in r.false]
    for words, names in (
        ("Off by more than the 90th percentile wanted", worst),
        ("Missed", missed),
        ("Found where none is", false),
    ):
        yield f"- {words}: {', '.join(names) or 'none'}."
    hits = [hit for r in results for hit in r.hits]
    astray = [refused for r in results for refused in r.astray]
    yield (
        f"- One click about an object (each coordinate off by {CLICK_SD_MM:g} mm, standard "
        f"deviation) found it in {sum(hits)} of {len(hits)} tries; a click more than "
        f"{ASTRAY_MM:g} mm from any was refused in {sum(astray)} of {len(astray)}."
    )
    yield ""


NOTES = "## Not good enough yet"  # written by hand, kept
HEAD = (
    "# How well reference objects are found\n\n"
    "`python -m tests.experiments.references FOLDER` writes this page. Error: found size in "
    "pixels against the true one, of the object as projected. Plain baseline: a search written "
    "apart from this one, without a model of the edge; it missed two spheres of sixteen that "
    "touch a crown and saw one wire that was none on 48 films. In 95 %: share of objects whose "
    "stated 95 % interval holds the true size. **Bold** where a figure wanted is not reached.\n"
)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", nargs="?", default="../shared/films")
    parser.add_argument("--fresh", type=int, default=50)
    parser.add_argument("--other", type=int, default=24)
    parser.add_argument("--first", type=int, default=700_000, help="the first seed")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", default="docs/accuracy-references.md")
    args = parser.parse_args()
    fresh, other = (range(args.first, args.first + n) for n in (args.fresh, args.other))
    sets = {
        "Films of another generator": sorted(Path(args.folder).glob("*.png")),
        "Fresh films of our own generator": [(drawn, seed) for seed in fresh],
        "Fresh films with receptors of every kind": [(random_recipe, seed) for seed in other],
    }
    lines, every = [HEAD], []
    with ProcessPoolExecutor(args.workers) as pool:
        for title, tasks in sets.items():
            results = [r for r in pool.map(measure, tasks) if r is not None]
            lines += section(title, results)
            every += results
    lines.append(f"Over all films, 95 % intervals hold {_inside(every)} true sizes.")
    page = Path(args.out)
    _, notes, words = (page.read_text("utf-8") if page.exists() else "").partition(NOTES)
    page.write_text("\n".join([*lines, "", notes + words]).rstrip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
