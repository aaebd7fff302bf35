"""Random edits of every kind, for a fixed seed or for hypothesis (``st.randoms()``).

Light on purpose: the process that is killed 200 times imports this.
"""

import hashlib

from radmeasure.model.case import FILM_ROLES, IDENTITY_FIELDS, Case, FilmEntry
from radmeasure.model.edits import (
    AcceptSuggestion,
    AddFilm,
    ChoosePlan,
    CorrectSuggestion,
    Place,
    RejectSuggestion,
    Remove,
    RemoveChart,
    RemoveFilm,
    RenameTooth,
    SetGiven,
    SetIdentity,
    SetLabel,
    SetOrientation,
    SetRecall,
    SetRole,
    SetScale,
    SetSuggestions,
    SetUncertainty,
    SetVisit,
    SetWorksheet,
    Several,
    StartChart,
    StartFrom,
    accept_all,
)
from radmeasure.model.landmarks import (
    ROOT_LINES,
    ROOT_POINTS,
    TOOTH_POINTS,
    Detector,
    KnownLength,
    Landmarks,
    Sphere,
)
from radmeasure.model.tooth import Tooth

TEETH = ("11", "36")
ROOTS = ("single", "mesial", "distal")


def _xy(rng):
    return (round(rng.uniform(0, 1500), 3), round(rng.uniform(0, 2000), 3))


def _line(rng, name):
    at_least = 3 if name == "lesion" else 2
    return tuple(_xy(rng) for _ in range(at_least + rng.randrange(4)))


def _spot(rng):
    """(name, root, value) of any landmark."""
    if rng.random() < 0.3:
        return rng.choice(TOOTH_POINTS), None, _xy(rng)
    root = rng.choice(ROOTS)
    if rng.random() < 0.5:
        return rng.choice(ROOT_POINTS), root, _xy(rng)
    name = rng.choice(ROOT_LINES)
    return name, root, _line(rng, name)


def _scale(rng):
    return (
        KnownLength(21.0, 0.25, [_xy(rng), _xy(rng)], rng.choice(("tooth", "across", "free"))),
        Sphere(5.0, 0.01, [_xy(rng), _xy(rng), _xy(rng)]),
        Detector(0.024, rng.choice((None, 1.05)), None),
    )[: rng.randrange(4)]


def _film(case, rng):
    return rng.choice(case.films).film_id if case.films else None


def _charted(case, rng):
    return rng.choice(sorted(case.charts)) if case.charts else None


def _suggested(case, rng):
    """(film, tooth, name, root) of an open suggestion, or None."""
    found = [
        (film_id, tooth, name, root)
        for (film_id, tooth), chart in sorted(case.charts.items())
        if chart.suggested
        for root, name, _ in chart.suggested.placed()
    ]
    return rng.choice(found) if found else None


def _landmarks(rng, tooth):
    made = Landmarks(Tooth(tooth), scale=_scale(rng), left_out={"foramen": "not seen"})
    for _ in range(rng.randrange(6)):
        name, root, value = _spot(rng)
        made = made.with_placed(name, value, root)
    u_px = {name: 1.5 for _, name, _ in made.placed()}
    sure = {name: 0.5 for _, name, _ in made.placed()}
    return Landmarks(made.tooth, made.scale, made.points, made.roots, u_px, {}, sure, made.left_out)


def film_data(name):
    """The bytes of a made-up film; its name decides."""
    return name.encode() * 1000


def films_of(edit):
    """The bytes that ``Session.apply`` wants beside ``edit``."""
    return [film_data(edit.entry.name)] if isinstance(edit, AddFilm) else []


def _add_film(case, rng):
    name = f"ä film {rng.randrange(10**9)}.png"
    sha256 = hashlib.sha256(film_data(name)).hexdigest()
    return AddFilm(FilmEntry(f"film-{sha256[:8]}", name, sha256, rng.choice(FILM_ROLES)))


def _place(case, rng):
    name, root, value = _spot(rng)
    return Place(_film(case, rng), rng.choice(TEETH), name, root, value)


def _remove(case, rng):
    found = [
        (film_id, tooth, name, root)
        for (film_id, tooth), chart in sorted(case.charts.items())
        for root, name, _ in chart.landmarks.placed()
    ]
    return Remove(*rng.choice(found)) if found else None


def _rename_tooth(case, rng):
    key = _charted(case, rng)
    to = rng.choice(("11", "21", "36", "46"))
    return None if key is None or (key[0], to) in case.charts else RenameTooth(*key, to)


def _given(case, rng):
    name, value = rng.choice(
        (
            ("file_length_mm", 21.0),
            ("technique", "paralleling"),
            ("walls_left", 2),
            ("age_years", 4),
        )
    )
    return SetGiven(_film(case, rng), rng.choice(TEETH), name, rng.choice((value, None)))


def _suggestions(case, rng):
    tooth = rng.choice(TEETH)
    made = rng.choice((None, _landmarks(rng, tooth)))
    return SetSuggestions(_film(case, rng), tooth, made)


def _correct(case, rng):
    spot = _suggested(case, rng)
    if spot is None:
        return None
    value = _line(rng, spot[2]) if spot[2] in ROOT_LINES else _xy(rng)
    return CorrectSuggestion(*spot, value)


def _answer(kind):
    def make(case, rng):
        spot = _suggested(case, rng)
        return None if spot is None else kind(*spot)

    return make


def _uncertainty(case, rng):
    name, root, _ = _spot(rng)
    value = rng.choice((None, 2.5))
    return SetUncertainty(_film(case, rng), rng.choice(TEETH), name, root, value)


def _several(case, rng):
    key = _charted(case, rng)
    confirm = accept_all(case, *key) if key else None
    return confirm or Several("two labels", (SetLabel("first"), SetLabel(f"{rng.random()}")))


def _plan(case, rng):
    name, value = rng.choice((("depth_mm", 8.25), ("size_name", "1.1"), ("root", "distal")))
    return ChoosePlan(rng.choice(TEETH), name, rng.choice((value, None)))


def _start_from(case, rng):
    return StartFrom(Case(label="anew", films=case.films[:2], recalls={"11": "2027-01-31"}))


# kind in the log -> maker(case, rng), None when the case does not allow it now
MAKERS = {
    "add_film": _add_film,
    "remove_film": lambda case, rng: RemoveFilm(_film(case, rng)),
    "set_role": lambda case, rng: SetRole(_film(case, rng), rng.choice(FILM_ROLES)),
    "set_visit": lambda case, rng: SetVisit(_film(case, rng), f"2026-0{rng.randrange(1, 9)}-01"),
    "set_orientation": lambda case, rng: SetOrientation(
        _film(case, rng), rng.randrange(-1, 5), rng.random() < 0.5
    ),
    "start_chart": lambda case, rng: StartChart(_film(case, rng), rng.choice(TEETH)),
    "remove_chart": lambda case, rng: RemoveChart(*_charted(case, rng)) if case.charts else None,
    "rename_tooth": _rename_tooth,
    "place": _place,
    "remove": _remove,
    "set_u_px": _uncertainty,
    "set_scale": lambda case, rng: SetScale(_film(case, rng), rng.choice(TEETH), _scale(rng)),
    "set_given": _given,
    "set_suggestions": _suggestions,
    "accept": _answer(AcceptSuggestion),
    "correct": _correct,
    "reject": _answer(RejectSuggestion),
    "set_worksheet": lambda case, rng: SetWorksheet(
        rng.choice(TEETH), "symptoms", rng.choice((None, True, 2, 0.5, "none – ‘ok’"))
    ),
    "choose_plan": _plan,
    "set_recall": lambda case, rng: SetRecall(rng.choice(TEETH), rng.choice((None, "2027-03-01"))),
    "set_label": lambda case, rng: SetLabel(f"label {rng.randrange(1000)}"),
    "set_identity": lambda case, rng: SetIdentity(
        rng.choice(IDENTITY_FIELDS), rng.choice(("", f"someone {rng.randrange(9)}"))
    ),
    "start_from": _start_from,
    "several": _several,
}
_NEED_FILM = frozenset(MAKERS) - {
    "add_film", "remove_chart", "rename_tooth", "remove", "accept", "correct", "reject",
    "set_worksheet", "choose_plan", "set_recall", "set_label", "set_identity", "start_from",
    "several",
}  # fmt: skip


def random_edit(case, rng, kind=None):
    """An edit that fits ``case``; of ``kind`` when given, else None where it does not fit."""
    if kind is not None:
        return None if kind in _NEED_FILM and not case.films else MAKERS[kind](case, rng)
    while True:
        # Placing is what users do most; the rest is drawn evenly.
        drawn = "place" if rng.random() < 0.4 else rng.choice(sorted(MAKERS))
        if drawn in ("start_from", "remove_film") and rng.random() < 0.8:
            continue
        edit = random_edit(case, rng, drawn)
        if edit is not None:
            return edit
