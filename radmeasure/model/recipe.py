"""The recipe of a synthetic film: what a teacher writes, checked entry by entry.

A recipe is a nested mapping (a TOML file). Every section is a frozen class
whose fields carry their kind, range and unit, so reading, checking, listing
the known entries and offering a form all come from one place.
"""

import math
from dataclasses import dataclass, field, fields, is_dataclass, replace

from radmeasure.errors import InputError
from radmeasure.model.tooth import ROOT_NAMES, Tooth


def _number(low, high, unit="", default=None, whole=False):
    kind = {"kind": "number", "low": low, "high": high, "unit": unit, "whole": whole}
    return field(default=default, metadata=kind)


def _choice(*words, default=None):
    return field(default=default, metadata={"kind": "choice", "words": words})


def _flag(default):
    return field(default=default, metadata={"kind": "flag"})


def _text(default=""):
    return field(default=default, metadata={"kind": "text"})


def _of(cls):
    return {"kind": "section", "cls": cls}


@dataclass(frozen=True)
class Sides:
    """A value for the mesial and the distal side of the tooth, mm."""

    mesial: float | None = _number(-20.0, 40.0, "mm")
    distal: float | None = _number(-20.0, 40.0, "mm")


@dataclass(frozen=True)
class SidesPercent:
    """A value for the mesial and the distal side of the tooth, per cent."""

    mesial: float | None = _number(0.0, 95.0, "%")
    distal: float | None = _number(0.0, 95.0, "%")


@dataclass(frozen=True)
class Size:
    """Sizes that replace the table's mean tooth, mm.

    ``crown_mm`` runs from the coronal reference to the middle of the two
    proximal CEJ points, ``root_mm`` from there to the apex, so both are what
    the readings of the same name give.
    """

    crown_mm: float | None = _number(4.0, 16.0, "mm")
    root_mm: float | None = _number(5.0, 28.0, "mm")
    crown_md_mm: float | None = _number(3.0, 14.0, "mm")
    cervix_md_mm: float | None = _number(2.5, 12.0, "mm")
    cervix_bl_mm: float | None = _number(3.0, 13.0, "mm")
    tip_deg: float | None = _number(-30.0, 30.0, "deg")


@dataclass(frozen=True)
class RootRecipe:
    """One root: its length, its bend and what was done in its canal.

    ``curve_deg`` is Schneider's angle; the canal leaves the straight part
    ``straight_mm`` apical to its orifice in one arc that ends at the apex
    (or has the radius ``radius_mm``, its start then follows).
    """

    root_mm: float | None = _number(5.0, 28.0, "mm")
    curve_deg: float | None = _number(0.0, 40.0, "deg")
    straight_mm: float | None = _number(0.0, 20.0, "mm")
    radius_mm: float | None = _number(2.0, 200.0, "mm")
    toward: str | None = _choice("distal", "mesial", "buccal", "lingual", default="distal")
    splay_deg: float | None = _number(-30.0, 30.0, "deg")
    foramen_mm: float | None = _number(0.0, 1.5, "mm")
    orifice_mm: float | None = _number(-3.0, 8.0, "mm")
    filling_short_mm: float | None = _number(-3.0, 15.0, "mm")
    filling_from_mm: float | None = _number(0.0, 15.0, "mm")


@dataclass(frozen=True)
class Bone:
    """Bone beside the tooth: by percent of the root lost, or CEJ to crest in mm."""

    loss_percent: SidesPercent | None = field(default=None, metadata=_of(SidesPercent))
    crest_mm: Sides | None = field(default=None, metadata=_of(Sides))
    trabecular_percent: float = _number(8.0, 45.0, "%", default=None)


@dataclass(frozen=True)
class Crown:
    """State of the crown; ``margin_mm`` is how far tooth is left coronal to the CEJ per side."""

    state: str = _choice("sound", "opened", "restored", "lost", default=None)
    margin_mm: Sides | None = field(default=None, metadata=_of(Sides))


@dataclass(frozen=True)
class Filling:
    """Root filling: its end short of the apex, its start below the orifice, voids in it."""

    short_mm: float = _number(-3.0, 15.0, "mm", default=1.0)
    from_mm: float = _number(0.0, 15.0, "mm", default=0.0)
    voids: int = _number(0, 8, "", default=0, whole=True)
    apical_size: int = _number(15, 80, "1/100 mm", default=35, whole=True)


@dataclass(frozen=True)
class File:
    """A hand file (ISO 3630-1) in a canal.

    ``length_mm`` runs from the tip to the stop. Without ``short_mm`` the stop
    touches the coronal reference; with it the tip ends that far short of the
    apex and the stop stands where the length puts it.
    """

    length_mm: float | None = _number(8.0, 33.0, "mm")
    short_mm: float | None = _number(-4.0, 12.0, "mm")
    size: int = _number(6, 80, "1/100 mm", default=15, whole=True)
    root: str | None = _choice(*ROOT_NAMES)


@dataclass(frozen=True)
class Post:
    """A post with core; ``depth_mm`` counts from the orifice along the canal."""

    depth_mm: float = _number(1.0, 20.0, "mm", default=8.0)
    diameter_mm: float = _number(0.6, 2.0, "mm", default=1.1)
    taper_percent: float = _number(0.0, 8.0, "%", default=0.0)
    gap_mm: float = _number(0.0, 8.0, "mm", default=0.0)
    height_mm: float = _number(0.0, 9.0, "mm", default=4.0)
    kind: str = _choice("fibre", "titanium", "steel", default="titanium")
    core: bool = _flag(True)
    root: str | None = _choice(*ROOT_NAMES)


@dataclass(frozen=True)
class Lesion:
    """An apical lesion, an ellipsoid around the apex."""

    diameter_mm: float = _number(0.6, 15.0, "mm", default=4.0)
    height_mm: float | None = _number(0.6, 15.0, "mm")
    depth_mm: float | None = _number(0.6, 15.0, "mm")
    root: str | None = _choice(*ROOT_NAMES)


@dataclass(frozen=True)
class Caries:
    """A cavity in the crown on one side; ``depth_mm`` counts from the surface inward."""

    side: str = _choice("mesial", "distal", default="distal")
    depth_mm: float = _number(0.3, 6.0, "mm", default=2.0)
    height_mm: float = _number(0.5, 8.0, "mm", default=2.5)


@dataclass(frozen=True)
class Sphere:
    """A steel ball; ``behind_mm`` is how far it lies behind the tooth's plane, to the receptor."""

    diameter_mm: float = _number(1.0, 10.0, "mm", default=5.0)
    behind_mm: float = _number(-15.0, 15.0, "mm", default=0.0)


@dataclass(frozen=True)
class Wire:
    """A straight steel wire laid across."""

    length_mm: float = _number(3.0, 25.0, "mm", default=10.0)
    diameter_mm: float = _number(0.3, 2.0, "mm", default=0.9)
    behind_mm: float = _number(-15.0, 15.0, "mm", default=0.0)
    angle_deg: float = _number(-45.0, 45.0, "deg", default=0.0)


@dataclass(frozen=True)
class ViewRecipe:
    """Source, receptor and angles.

    ``vertical_deg`` and ``horizontal_deg`` are errors against the technique's
    own direction. ``receptor_tilt_deg`` is the angle between tooth and
    receptor: 0 paralleling, 40 bisecting by default. ``receptor_mm`` is how far
    behind the tooth the receptor stands: 14 or 10 (practice). ``source_mm`` to
    the receptor is 250-400 in use (read in part, memory in part).
    """

    technique: str = _choice("paralleling", "bisecting", default="paralleling")
    source_mm: float = _number(150.0, 600.0, "mm", default=380.0)
    receptor_mm: float | None = _number(0.0, 40.0, "mm")
    receptor_tilt_deg: float | None = _number(-60.0, 60.0, "deg")
    vertical_deg: float = _number(-40.0, 40.0, "deg", default=0.0)
    horizontal_deg: float = _number(-30.0, 30.0, "deg", default=0.0)
    shift_x_mm: float = _number(-20.0, 20.0, "mm", default=0.0)
    shift_y_mm: float = _number(-20.0, 20.0, "mm", default=0.0)


@dataclass(frozen=True)
class Receptor:
    """Receptor, exposure and response.

    ``white`` is the optical depth -ln(I/I0) drawn white; by default it suits
    the tooth's region. Defaults: 60-70 kV and 2.11 mGy (national survey of 102
    units, Imaging Sci Dent 2012, read), focal spot 0.4-0.8 mm (IEC 60336,
    memory), scatter of small fields 0.1-0.3 (memory; 0.5 at most, Oishi 1981,
    read), blur from an MTF of 10 % at 9.5-20 per mm (derived; shape Costa 2006,
    read); electronic noise is an assumption.
    """

    size: str = _choice("0", "1", "2", "3", default="2")
    lying: bool | None = _flag(None)
    pitch_um: float = _number(15.0, 100.0, "um", default=40.0)
    bits: int = _number(8, 16, "bit", default=12, whole=True)
    white: float | None = _number(0.5, 8.0, "")
    response: str = _choice("logarithmic", "linear", default="logarithmic")
    beam: str = _choice(
        "60 kV", "65 kV", "70 kV", "70 kV 1.5 mm Al", "70 kV 2.5 mm Al", default="65 kV"
    )
    kerma_ugy: float = _number(20.0, 20000.0, "uGy", default=2000.0)
    scatter: float = _number(0.0, 0.6, "", default=0.15)
    blur_mm: float = _number(0.0, 0.2, "mm", default=0.03)
    focal_spot_mm: float = _number(0.0, 2.0, "mm", default=0.7)
    electronic_noise: float = _number(0.0, 2000.0, "quanta", default=20.0)


@dataclass(frozen=True)
class GivenRecipe:
    """Entered values that go into the landmark file."""

    planned_crown_mm: float | None = _number(1.0, 30.0, "mm")
    stop_short_mm: float | None = _number(0.0, 5.0, "mm")
    cusps_lost: int | None = _number(0, 5, whole=True)
    walls_left: int | None = _number(0, 4, whole=True)
    age_years: float | None = _number(1.0, 130.0, "year")


@dataclass(frozen=True)
class Recipe:
    """A whole recipe; see the sections for their entries.

    Attributes
    ----------
    tooth : Tooth
    roots : mapping of root name to RootRecipe
    scale : tuple of str or None
        References written into the landmark file ('file', 'sphere', 'wire',
        'detector'); None takes every object there is, else the detector.
    formats : tuple of str
        'png', 'dicom' and 'jpeg'.
    """

    tooth: Tooth | None = field(default=None, metadata={"kind": "tooth"})
    name: str = _text()
    seed: int = _number(0, 2**31, default=1, whole=True)
    bone_seed: int | None = _number(0, 2**31, whole=True)
    neighbours: bool = _flag(True)
    size: Size = field(default=None, metadata=_of(Size))
    roots: dict = field(default_factory=dict, metadata={"kind": "roots"})
    bone: Bone = field(default=None, metadata=_of(Bone))
    crown: Crown = field(default=None, metadata=_of(Crown))
    filling: Filling | None = field(default=None, metadata=_of(Filling))
    file: File | None = field(default=None, metadata=_of(File))
    post: Post | None = field(default=None, metadata=_of(Post))
    lesion: Lesion | None = field(default=None, metadata=_of(Lesion))
    caries: Caries | None = field(default=None, metadata=_of(Caries))
    sphere: Sphere | None = field(default=None, metadata=_of(Sphere))
    wire: Wire | None = field(default=None, metadata=_of(Wire))
    view: ViewRecipe = field(default=None, metadata=_of(ViewRecipe))
    receptor: Receptor = field(default=None, metadata=_of(Receptor))
    given: GivenRecipe = field(default=None, metadata=_of(GivenRecipe))
    scale: tuple | None = field(
        default=None,
        metadata={"kind": "words", "words": ("file", "sphere", "wire", "detector")},
    )
    formats: tuple = field(
        default=("png", "dicom"), metadata={"kind": "words", "words": ("png", "dicom", "jpeg")}
    )


# Sections a film always has, so their defaults apply when the recipe is silent.
_ALWAYS = {
    "size": Size,
    "bone": Bone,
    "crown": Crown,
    "view": ViewRecipe,
    "receptor": Receptor,
    "given": GivenRecipe,
}


def tooth_from_words(text, entry="tooth"):
    """A :class:`Tooth` from '21' or from words such as 'upper left central incisor'.

    Raises
    ------
    InputError
        Neither a designation nor the name of a permanent tooth.
    """
    if isinstance(text, int) and not isinstance(text, bool):
        text = str(text)
    if not isinstance(text, str):
        raise InputError(f"{entry} is {text!r:.40}", "give '21' or 'upper left central incisor'")
    if text.strip().isdigit():
        return Tooth(text.strip())
    jaw = {"upper": "maxillary", "lower": "mandibular"}
    wanted = " ".join(jaw.get(word, word) for word in text.lower().split())
    for quadrant in "1234":
        for position in "12345678":
            tooth = Tooth(quadrant + position)
            if tooth.name == wanted:
                return tooth
    raise InputError(
        f"{entry} {text!r:.60} is not a permanent tooth",
        "give '21' or words such as 'upper left central incisor'",
    )


def _check_number(value, rule, entry):
    span = f"a number from {rule['low']:g} to {rule['high']:g} {rule['unit']}".rstrip()
    good = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    if not good:
        raise InputError(f"{entry} is {value!r:.40}", f"give {span}")
    if not rule["low"] <= value <= rule["high"]:
        raise InputError(f"{entry} is {value:g}", f"give {span}")
    if rule["whole"]:
        if value != int(value):
            raise InputError(f"{entry} is {value:g}", f"give a whole number, {span}")
        return int(value)
    return float(value)


def _check_words(value, rule, entry):
    known = ", ".join(rule["words"])
    if not isinstance(value, list | tuple):
        raise InputError(f"{entry} is not a list", f"give a list of: {known}")
    for word in value:
        if word not in rule["words"]:
            raise InputError(f"{entry} has {word!r:.40}", f"known: {known}")
    return tuple(value)


def _check_roots(value, entry):
    if not isinstance(value, dict):
        raise InputError(f"{entry} is not a table of roots", "write [roots.distal]")
    found = {}
    for name, table in value.items():
        if name not in ROOT_NAMES:
            raise InputError(
                f"unknown root {name!r:.40} in {entry}", f"known: {', '.join(ROOT_NAMES)}"
            )
        found[name] = section(RootRecipe, table, f"{entry}.{name}")
    return found


def _check(value, spec, entry):
    rule = spec.metadata
    kind = rule["kind"]
    if kind == "number":
        return _check_number(value, rule, entry)
    if kind == "section":
        return section(rule["cls"], value, entry)
    if kind == "roots":
        return _check_roots(value, entry)
    if kind == "tooth":
        return tooth_from_words(value, entry)
    if kind == "words":
        return _check_words(value, rule, entry)
    if kind == "choice" and value not in rule["words"]:
        raise InputError(f"{entry} is {value!r:.40}", f"known: {', '.join(rule['words'])}")
    if kind == "flag" and not isinstance(value, bool):
        raise InputError(f"{entry} is {value!r:.40}", "write true or false")
    if kind == "text" and not isinstance(value, str):
        raise InputError(f"{entry} is {value!r:.40}", "give a text in quotes")
    return value


def section(cls, table, entry=""):
    """Build section ``cls`` from a mapping, checking every entry.

    Raises
    ------
    InputError
        Names the entry; an unknown one lists the known.
    """
    if not isinstance(table, dict):
        raise InputError(f"{entry or 'the recipe'} is {table!r:.40}", "write it as a table")
    known = {f.name: f for f in fields(cls)}
    found = {}
    for key, value in table.items():
        place = f"{entry}.{key}" if entry else key
        if key not in known:
            raise InputError(f"unknown entry {place!r} in the recipe", f"known: {', '.join(known)}")
        found[key] = _check(value, known[key], place)
    return cls(**found)


def recipe(table):
    """A :class:`Recipe` from a nested mapping without a ``film`` list.

    Raises
    ------
    InputError
        Names the entry that is wrong or missing.
    """
    made = section(Recipe, table)
    if made.tooth is None:
        raise InputError("the recipe names no tooth", 'write tooth = "11"')
    if made.tooth.primary:
        raise InputError(
            f"tooth {made.tooth.fdi} is a primary tooth", "recipes draw permanent teeth, 11 to 48"
        )
    missing = {k: cls() for k, cls in _ALWAYS.items() if getattr(made, k) is None}
    return replace(made, **missing)


def _merged(base, over):
    out = dict(base)
    for key, value in over.items():
        both = isinstance(value, dict) and isinstance(out.get(key), dict)
        out[key] = _merged(out[key], value) if both else value
    return out


def recipes(table):
    """All films of a recipe: one, or one per entry of its ``film`` list.

    Each ``[[film]]`` table overrides the entries above it and must have its own name.

    Returns
    -------
    tuple of Recipe
    """
    if not isinstance(table, dict):
        raise InputError("the recipe is not a table", 'write entries such as tooth = "11"')
    base = {k: v for k, v in table.items() if k != "film"}
    films = table.get("film")
    if films is None:
        return (recipe(base),)
    if not isinstance(films, list) or not films or not all(isinstance(f, dict) for f in films):
        raise InputError("film is not a list of tables", "write [[film]] above each film's entries")
    made = tuple(recipe(_merged(base, over)) for over in films)
    names = [m.name for m in made]
    if len(set(names)) < len(names) or not all(names):
        raise InputError(
            "the films of the recipe share a name", 'give each [[film]] its own name = "…"'
        )
    return made


def flat_entries(table, prefix=""):
    """(dotted name, value) of every entry a nested mapping holds, an empty table as one."""
    for key, value in table.items():
        if isinstance(value, dict) and value:
            yield from flat_entries(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value


def entries(cls=Recipe, prefix=""):
    """Yield (dotted name, metadata, default) of every entry, for help and forms."""
    for spec in fields(cls):
        place = prefix + spec.name
        kind = spec.metadata["kind"]
        if kind == "section":
            yield from entries(spec.metadata["cls"], place + ".")
        elif kind == "roots":
            yield from entries(RootRecipe, place + ".NAME.")
        else:
            yield place, spec.metadata, None if is_dataclass(spec.default) else spec.default
