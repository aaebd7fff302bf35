"""Random synthetic films to train and measure suggestions on: every tooth, jaw, treatment.

    python -m tests.experiments.suggest_recipes OUT [--first 0] [--last 168]

Ranges are wide on purpose (assumptions of this experiment, no source): the scorers
learn, and are measured, on more than the mean tooth. From seed WILD on the anatomy itself
is random too (suggest_anatomy), so that a film of another make is one more variation.
"""

import argparse
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from radmeasure.errors import RadmeasureError
from radmeasure.files.landmarks_json import landmarks_text
from radmeasure.model.recipe import recipe
from radmeasure.model.tooth import Tooth
from radmeasure.phantoms import film, landmarks, truth
from radmeasure.tracing.proportions import usual
from radmeasure.workflow.synthesise import tables
from tests.experiments.suggest_anatomy import drawn_by, random_anatomy

WILD = 1000
CROWNS = ("sound", "sound", "sound", "sound", "opened", "restored", "lost")
KINDS = ("none", "none", "filling", "filling", "file", "post")
FDI = [f"{q}{p}" for q in (1, 2, 3, 4) for p in range(1, 8)]


def random_recipe(seed):
    """A recipe as nested mapping, for radmeasure.model.recipe.recipe."""
    rng = np.random.default_rng([seed, 77])
    fdi = FDI[seed % len(FDI)]
    position = int(fdi[1])
    table = {"tooth": fdi, "name": f"train-{seed:04d}", "seed": int(seed), "formats": ["png"]}
    table["neighbours"] = bool(rng.random() < 0.85)
    table["size"] = _size(rng, Tooth(fdi))
    table["bone"] = _bone(rng)
    table["roots"] = {name: _root(rng) for name in _root_names(fdi)}
    if "single" in table["roots"]:
        # The root face: level with the cervical line on the facial side, or a little below it.
        below = 0.6 + usual(Tooth(fdi)).curvature + rng.normal(0.0, 0.25)
        if seed >= WILD and rng.random() < 0.5:
            below = _in(rng, -0.8, 4.2)
        table["roots"]["single"]["orifice_mm"] = float(below)
    kinds = ("none", "filling", "file", "file", "post", "post") if seed >= WILD else KINDS
    _treatment(rng, table, position, _one(rng, *CROWNS), _one(rng, *kinds))
    if rng.random() < 0.3:
        table["lesion"] = {"diameter_mm": _in(rng, 1.0, 8.0)}
    if rng.random() < 0.1 and table.get("crown", {}).get("state") != "lost":
        table["caries"] = {"side": _one(rng, "mesial", "distal"), "depth_mm": _in(rng, 0.8, 3.0)}
    if rng.random() < 0.25:
        table["sphere"] = {"diameter_mm": 5.0}
    elif rng.random() < 0.25:
        table["wire"] = {"length_mm": 10.0, "angle_deg": _in(rng, -15.0, 15.0)}
    table["view"] = _view(rng)
    table["receptor"] = _receptor(rng, position)
    if seed >= WILD:  # coarse, so that there can be many
        table["receptor"]["pitch_um"] = _one(rng, 40.0, 50.0, 60.0, 75.0)
    return table


def _in(rng, low, high):
    return float(rng.uniform(low, high))


def _one(rng, *words):
    return words[int(rng.integers(len(words)))]


def _root_names(fdi):
    upper, position = fdi[0] in "12", int(fdi[1])
    if position < 6:
        return ("single",) if not (upper and position == 4) else ()
    return ("mesiobuccal", "distobuccal", "palatal") if upper else ("mesial", "distal")


def _size(rng, tooth):
    """Sizes about the mean tooth's, 9 % standard deviation."""
    mean = usual(tooth)
    crown, root, cervix = np.clip(np.exp(rng.normal(0.0, 0.09, 3)), 0.8, 1.25)
    size = {
        "crown_mm": max(4.0, crown * mean.crown),
        "cervix_md_mm": max(2.6, cervix * mean.cervix),
    }
    return {**size, "root_mm": root * mean.root, "tip_deg": float(rng.normal(0.0, 4.0))}


def _bone(rng):
    bone = {"trabecular_percent": _in(rng, 14.0, 34.0)}
    if rng.random() < 0.5:
        bone["crest_mm"] = {"mesial": _in(rng, 0.8, 3.5), "distal": _in(rng, 0.8, 3.5)}
    else:
        bone["loss_percent"] = {"mesial": _in(rng, 5.0, 60.0), "distal": _in(rng, 5.0, 60.0)}
    return bone


def _root(rng):
    root = {"toward": _one(rng, "distal", "distal", "mesial", "buccal", "lingual")}
    root["foramen_mm"] = _in(rng, 0.0, 1.0) if rng.random() < 0.5 else 0.0
    if rng.random() < 0.6:
        root["curve_deg"] = _in(rng, 0.0, 30.0)
    return root


def _treatment(rng, table, position, crown, kind):
    if kind == "file":
        crown = "opened"
        table["file"] = {"short_mm": _in(rng, -1.0, 4.0), "size": _one(rng, 8, 10, 15, 20, 25, 30)}
        if rng.random() < 0.3:
            table["file"]["length_mm"] = _in(rng, 19.0, 24.0)
    if kind in ("filling", "post"):
        short = _in(rng, 0.0, 3.5) if rng.random() < 0.85 else _in(rng, -1.5, 0.0)
        table["filling"] = {"short_mm": short, "voids": int(rng.integers(0, 3))}
        table["filling"]["from_mm"] = _in(rng, 0.0, 2.0) if rng.random() < 0.5 else 0.0
        table["filling"]["apical_size"] = int(rng.integers(25, 50))
        crown = _one(rng, "sound", "restored", "lost")
    if kind == "post":
        for name in ("single", "distal", "palatal"):
            if name in table["roots"]:
                table["roots"][name]["curve_deg"] = 0.0  # a post does not bend
        table["post"] = {
            "depth_mm": _in(rng, 4.0, 7.5 if position < 6 else 5.5),
            "diameter_mm": _in(rng, 0.8, 1.5),
            "taper_percent": _one(rng, 0.0, 0.0, 2.0, 4.0),
            "gap_mm": _one(rng, 0.0, 0.0, _in(rng, 0.2, 2.0)),
            "height_mm": _in(rng, 2.0, 5.0),
            "kind": _one(rng, "fibre", "titanium", "steel"),
            "core": bool(rng.random() < 0.7),
        }
    table["crown"] = {"state": crown}
    if crown == "lost":
        table["crown"]["margin_mm"] = {"mesial": _in(rng, -0.3, 3.0), "distal": _in(rng, -0.3, 3.0)}


def _view(rng):
    technique = _one(rng, "paralleling", "paralleling", "bisecting")
    return {
        "technique": technique,
        "vertical_deg": float(np.clip(rng.normal(0.0, 5.0), -12, 12)),
        "horizontal_deg": float(np.clip(rng.normal(0.0, 4.0), -10, 10)),
        "shift_x_mm": _in(rng, -3.0, 3.0),
    }


def _receptor(rng, position):
    return {
        "size": _one(rng, "2", "2", "1") if position < 6 else "2",
        "pitch_um": _one(rng, 40.0, 50.0, 50.0, 60.0),
        "bits": _one(rng, 8, 12, 12, 16),
        "response": _one(rng, "logarithmic", "linear"),
        "beam": _one(rng, "60 kV", "65 kV", "70 kV"),
        "kerma_ugy": float(np.exp(rng.uniform(np.log(250.0), np.log(4000.0)))),
        "scatter": _in(rng, 0.05, 0.3),
        "blur_mm": _in(rng, 0.02, 0.08),
        "focal_spot_mm": _in(rng, 0.4, 0.8),
    }


def drawn(seed):
    """Pixels, truth and domain (mapping) of the film of one seed."""
    data, domain = tables(), {}
    rng = np.random.default_rng([seed, 78])
    if seed >= WILD:
        anatomy, domain = random_anatomy(data.anatomy, rng)
        data = replace(data, anatomy=anatomy)
    with drawn_by(domain):
        made, pixels = film.make(recipe(random_recipe(seed)), data)
        return pixels, truth.truth(made), neighbours(made), domain


def neighbours(made):
    """Of every tooth beside the tooth: where it would be clicked, and its CEJ points; px."""
    found = []
    for tooth in made.jaw.teeth[1:]:
        top = tooth.frame.to_scene(np.array([[0.0, 0.0, -tooth.shape.crown_mm]]))
        tips = {
            root.name: tooth.root_frames[root.name].to_scene(
                np.stack(root.bend.place(0.0, 0.0, root.length_mm))[None]
            )
            for root in tooth.shape.roots
        }
        cej = [landmarks.cej(made, side, tooth) for side in (1, -1)]
        points = made.view.project(np.vstack([top, *tips.values(), *cej])).tolist()
        rows, columns = made.view.shape
        if all(0 <= x <= columns - 1 and 0 <= y <= rows - 1 for x, y in points[: 1 + len(tips)]):
            apices = dict(zip(tips, points[1:]))
            number = tooth.shape.tooth.fdi
            found.append(
                {"tooth": number, "coronal": points[0], "apices": apices, "cej": points[-2:]}
            )
    return found


def write(seed, folder):
    """Film, landmarks and scale of one random recipe; returns why not, if not."""
    stem = Path(folder) / f"t{seed:04d}"
    if stem.with_suffix(".truth.json").exists():
        return None
    try:
        pixels, exact, beside, domain = drawn(seed)
    except (RadmeasureError, ValueError, TypeError) as error:  # it does not fit the tooth
        return " ".join(str(error).split())
    Image.fromarray(pixels.astype(np.uint16)).save(stem.with_suffix(".png"))
    stem.with_suffix(".landmarks.json").write_text(landmarks_text(exact.landmarks))
    scale = {"px_per_mm_along": exact.px_per_mm_along, "domain": domain, "neighbours": beside}
    stem.with_suffix(".truth.json").write_text(json.dumps(scale))
    return None


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--last", type=int, default=168)
    args = parser.parse_args()
    Path(args.out).mkdir(parents=True, exist_ok=True)
    for seed in range(args.first, args.last):
        problem = write(seed, args.out)
        print(f"{seed}: {problem or 'made'}", flush=True)


if __name__ == "__main__":
    main()
