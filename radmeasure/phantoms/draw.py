"""A plausible case drawn from a seed: the recipe of a film nobody wrote."""

import numpy as np

_TEETH = [q + p for q in "1234" for p in "1234567"]
# Shares of cases; an assumption made for teaching, no source.
_KINDS = {"before": 0.2, "length": 0.2, "filled": 0.25, "broken": 0.2, "post": 0.15}


def draw(seed):
    """The nested mapping of a recipe, the same for the same seed.

    Parameters
    ----------
    seed : int

    Returns
    -------
    dict
    """
    rng = np.random.default_rng([seed, 5])
    kind = str(rng.choice(list(_KINDS), p=list(_KINDS.values())))
    tooth = str(rng.choice(_TEETH))
    table = {"tooth": tooth, "seed": int(seed)}
    table["size"] = {}
    table["bone"] = {"loss_percent": _sides(rng, rng.choice([10.0, 20.0, 35.0]))}
    table["view"] = _view(rng)
    if tooth[1] in "67" or tooth in ("14", "24"):
        table["roots"] = {}
    else:
        curve = round(float(np.clip(rng.gamma(2.0, 4.5), 0, 30)), 1)
        table["roots"] = {"single": {"curve_deg": curve, "foramen_mm": _foramen(rng)}}
    getattr(_Case(rng, table), kind)()
    if not any(k in table for k in ("file", "sphere", "wire")) and rng.random() < 0.8:
        table[str(rng.choice(["sphere", "wire"]))] = {"behind_mm": round(rng.uniform(-3, 4), 1)}
    if rng.random() < 0.3 and kind != "length":
        table["lesion"] = {"diameter_mm": round(float(rng.uniform(2, 7)), 1)}
    return {k: v for k, v in table.items() if v != {}}


def _foramen(rng):
    """Lateral deviation of the foramen, 0.46-0.78 mm on average, absent in 8 % (Burch 1972)."""
    return 0.0 if rng.random() < 0.08 else round(float(np.clip(rng.normal(0.4, 0.2), 0.1, 0.8)), 2)


def _sides(rng, middle):
    return {
        side: round(float(np.clip(middle + rng.normal(0, 6), 4, 60)), 1)
        for side in ("mesial", "distal")
    }


def _view(rng):
    bisecting = rng.random() < 0.35
    spread = 6.0 if bisecting else 3.0
    view = {
        "technique": "bisecting" if bisecting else "paralleling",
        "vertical_deg": round(float(np.clip(rng.normal(0, spread), -15, 15)), 1),
        "horizontal_deg": round(float(np.clip(rng.normal(0, 3), -10, 10)), 1),
        "source_mm": round(float(rng.uniform(300, 400))),
    }
    if not bisecting:
        view["receptor_tilt_deg"] = round(float(rng.normal(0, 3)), 1)
    return view


class _Case:
    """What each kind of case adds to the recipe."""

    def __init__(self, rng, table):
        self.rng, self.table = rng, table

    def before(self):
        if self.rng.random() < 0.5:
            self.table["caries"] = {
                "side": str(self.rng.choice(["mesial", "distal"])),
                "depth_mm": round(float(self.rng.uniform(1, 3)), 1),
            }

    def length(self):
        size = int(self.rng.choice([10, 15, 20]))
        short = round(float(np.clip(self.rng.normal(1.0, 1.0), -1.0, 4.0)), 1)
        self.table["file"] = {"short_mm": short, "size": size}

    def filled(self):
        self.table["filling"] = {
            "short_mm": round(float(np.clip(self.rng.normal(1.2, 1.3), -0.8, 5.0)), 1),
            "voids": int(self.rng.integers(0, 4)),
        }

    def broken(self):
        self.filled()
        margin = {
            side: round(float(self.rng.uniform(0.2, 4.0)), 1) for side in ("mesial", "distal")
        }
        self.table["crown"] = {"state": "lost", "margin_mm": margin}

    def post(self):
        self.broken()
        self.table["filling"]["short_mm"] = round(float(self.rng.uniform(0, 1.5)), 1)
        # No post goes round a bend: without an angle the scene draws its root straight.
        self.table["roots"].get("single", {}).pop("curve_deg", None)
        self.table["post"] = {
            "depth_mm": round(float(self.rng.uniform(4.0, 6.0)), 1),
            "gap_mm": round(float(max(0, self.rng.normal(0.3, 0.4))), 1),
            "diameter_mm": 0.9,
            "kind": str(self.rng.choice(["fibre", "titanium", "steel"])),
        }
