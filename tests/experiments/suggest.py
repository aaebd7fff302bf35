"""Measure suggestions from scattered clicks and write the table of docs/accuracy-suggest.md.

    python -m tests.experiments.suggest [FOLDER ...] [--scatters 5] [--out FILE]

Every film is clicked ``--scatters`` times: coronal reference and apex, each coordinate
off by normal noise of 0.7 mm standard deviation, and again with a third click half-way
down every canal. A film's landmarks are compared with its exact truth.
"""

import argparse
import time
from pathlib import Path

import numpy as np

from radmeasure.tracing.suggest import propose
from tests.experiments.suggest_errors import dentine_errors, misses
from tests.experiments.suggest_films import films, scattered_hints

# What issue 5 asks for: kinds, median and 90th percentile, mm; with a third click or not.
WANTED = (
    ("crest", ("crest",), 0.10, 0.40, False),
    ("CEJ", ("cej",), 0.25, 0.60, False),
    ("apex", ("apex",), 0.30, 0.80, False),
    ("canal line, single root", ("canal_single",), 0.12, 0.40, False),
    ("canal line, molar", ("canal_molar",), 0.30, 0.80, False),
    ("canal line, single root, third click", ("canal_single",), 0.08, 0.30, True),
    ("canal line, molar, third click", ("canal_molar",), 0.15, 0.45, True),
    ("root wall 2-8 mm from the apex", ("root_wall",), 0.10, 0.30, False),
    ("dentine thickness", ("dentine",), 0.07, 0.30, False),
    (
        "filling, post, file ends",
        ("filling_coronal", "filling_apical", "post_coronal", "post_apical", "file_tip"),
        0.10,
        0.40,
        False,
    ),
)
LEVEL_95 = 1.96


def measured(source, scatters, third_click, seed=11):
    """All misses, dentine errors and seconds per film."""
    found, dentine, seconds = [], [], []
    for film in source:
        rng = np.random.default_rng([seed, int(third_click)])
        for _ in range(scatters):
            hints = scattered_hints(film, rng, third_click)
            start = time.perf_counter()
            proposed = propose(film.pixels, hints)
            seconds.append(time.perf_counter() - start)
            found += misses(film, proposed)
            dentine += dentine_errors(film, proposed)
    return found, np.array(dentine), np.array(seconds)


def target_rows(two, three):
    """Markdown rows of the issue's table; ``two`` and ``three`` are results of measured."""
    yield "| | median mm | wanted | 90th percentile mm | wanted | shown | worst films |"
    yield "|---|---|---|---|---|---|---|"
    for label, kinds, median, high, third in WANTED:
        found, dentine, _ = three if third else two
        chosen = [m for m in found if m.kind in kinds and m.true]
        shown = [m for m in chosen if m.shown]
        errors = dentine if kinds == ("dentine",) else np.array([m.error_mm for m in shown])
        if not len(errors):
            yield f"| {label} | none | {median:.2f} | none | {high:.2f} | | |"
            continue
        share = f"{100 * len(shown) / len(chosen):.0f} %" if chosen else ""
        half, most = np.quantile(errors, (0.5, 0.9))
        yield (
            f"| {label} | {_marked(half, median)} | {median:.2f} | {_marked(most, high)} | "
            f"{high:.2f} | {share} | {_worst(shown)} |"
        )


def _marked(value, limit):
    return f"{value:.2f}" if round(value, 2) <= limit else f"**{value:.2f}**"


def _worst(shown, count=3):
    films = {}
    for m in shown:
        films.setdefault(m.film, []).append(m.error_mm)
    order = sorted(films, key=lambda name: -np.mean(films[name]))[:count]
    return ", ".join(f"{name} {np.mean(films[name]):.2f}" for name in order)


def certainty_rows(found):
    """Markdown rows: how often the stated 95 % interval holds the truth, by landmark."""
    yield "| landmark | n | shown | median mm | 90th mm | in 1.96 u, distance | in 1.96 u, along |"
    yield "|---|---|---|---|---|---|---|"
    kinds = sorted({m.kind for m in found if m.true})
    total_in, total_along, total = 0, 0, 0
    for kind in kinds:
        chosen = [m for m in found if m.kind == kind and m.true]
        shown = [m for m in chosen if m.shown]
        if not shown:
            yield f"| {kind} | {len(chosen)} | 0 % | | | | |"
            continue
        error = np.array([m.error_mm for m in shown])
        inside = [np.mean(m.each_mm <= LEVEL_95 * m.u_mm) for m in shown]
        points = [m for m in shown if np.isfinite(m.along_mm)]
        along = [m.along_mm <= LEVEL_95 * m.u_mm for m in points]
        words = f"{100 * np.mean(along):.0f} %" if along else ""
        yield (
            f"| {kind} | {len(chosen)} | {100 * len(shown) / len(chosen):.0f} % | "
            f"{np.median(error):.2f} | {np.quantile(error, 0.9):.2f} | "
            f"{100 * np.mean(inside):.0f} % | {words} |"
        )
        total_in, total = total_in + np.sum(inside), total + len(shown)
        total_along += np.sum(along) if along else np.sum(inside)
    inside, along = 100 * total_in / total, 100 * total_along / total
    yield f"| all | {total} | | | | {inside:.0f} % | {along:.0f} % |"


def needless(found):
    """Landmarks shown where the truth has none, in words."""
    extra = [m for m in found if not m.true and m.shown]
    if not extra:
        return "Nothing was suggested that is not there."
    names = sorted({(m.name, m.film) for m in extra})
    words = ", ".join(f"{name} on {film}" for name, film in names[:12])
    return f"Suggested although not there ({len(extra)} times): {words}."


def report(title, source, scatters):
    """Markdown section on one set of films."""
    two, three = (measured(source, scatters, third) for third in (False, True))
    yield f"## {title}"
    yield ""
    yield f"{len(source)} films, {scatters} scatters each."
    yield ""
    yield from target_rows(two, three)
    yield ""
    yield from certainty_rows(two[0])
    yield ""
    yield needless(two[0])
    low, high = np.quantile(two[2], (0.5, 1.0))
    yield f"Time per film: median {low:.2f} s, longest {high:.2f} s."
    yield ""


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folders", nargs="*", default=["../shared/films"])
    parser.add_argument("--scatters", type=int, default=5)
    parser.add_argument("--out", help="text file to write the sections to")
    args = parser.parse_args()
    lines = []
    for folder in args.folders:
        lines += report(Path(folder).name, films(folder), args.scatters)
    text = "\n".join(lines)
    print(text)
    if args.out:
        Path(args.out).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
