"""Synthetic films in a case: made from a form, their truth kept hidden beside them."""

from dataclasses import MISSING, dataclass, fields, is_dataclass

from radmeasure.model.landmarks import Landmarks
from radmeasure.model.recipe import recipe as checked_recipe
from radmeasure.model.tooth import Tooth

# Where the case keeps the truth: beside the films, no part of what was measured on them.
_KEPT = "truth"


@dataclass(frozen=True, eq=False)
class Made:
    """A synthetic film and what is exactly true of it.

    Attributes
    ----------
    film : Film
    tooth : str
        ISO 3950 designation.
    truth : dict
        JSON form of the truth, for :func:`keep_truth`.
    job : str
        The job such a film is for.
    """

    film: object
    tooth: str
    truth: dict
    job: str


@dataclass(frozen=True)
class Known:
    """Truth of a film: exact landmarks (px) and values by 'reading|root|side'."""

    landmarks: Landmarks
    values: dict


@dataclass(frozen=True)
class Compared:
    """A reading against the truth.

    ``off`` is reading minus truth in the reading's unit, ``in_u`` the same in
    units of its stated standard uncertainty (None when that is zero).
    """

    reading: object
    true: float
    off: float
    in_u: float | None


def make_film(table, report=None):
    """The film of a recipe, as if it had been opened from a DICOM file.

    Parameters
    ----------
    table : dict
        A recipe.
    report : callable, optional
        Called with the share done; may raise Cancelled.

    Returns
    -------
    Made

    Raises
    ------
    InputError
        The recipe is wrong or does not fit the tooth.
    """
    from radmeasure.model.landmarks_json import landmarks_to_json
    from radmeasure.workflow.films import reopen_film
    from radmeasure.workflow.synthesise import synthesise_dicom

    recipe = checked_recipe(table)
    name = recipe.name or f"synthetic-{recipe.tooth.fdi}-{recipe.seed}"
    data, truth = synthesise_dicom(recipe, name, report)
    film = reopen_film(data, f"{name}.dcm")
    kept = {"landmarks": landmarks_to_json(truth.landmarks), "values": dict(truth.values)}
    return Made(film, recipe.tooth.fdi, kept, _job(recipe))


def _job(recipe):
    """What a film with these things on it is taken for."""
    if recipe.file is not None:
        return "length check"
    if recipe.post is not None:
        return "post check"
    return "post plan" if recipe.crown.state == "lost" else "filling check"


# -- the truth in a case -------------------------------------------------------------------------


def keep_truth(session, film_id, truth):
    """Keep the truth of a film in its case; it shows nowhere until it is asked for."""
    session.remember(_KEPT, {**session.remembered().get(_KEPT, {}), film_id: truth})


def has_truth(session, film_id):
    """True when the case knows what is true of this film."""
    return film_id in session.remembered().get(_KEPT, {})


def all_synthetic(session):
    """True when every film of the case is a synthetic one, or there is none."""
    kept = session.remembered().get(_KEPT, {})
    return all(film.film_id in kept for film in session.case.films)


def known_truth(session, film_id):
    """The :class:`Known` truth of a film, or None."""
    from radmeasure.model.landmarks_json import landmarks_from_json

    kept = session.remembered().get(_KEPT, {}).get(film_id)
    if kept is None:
        return None
    return Known(landmarks_from_json(kept["landmarks"]), dict(kept["values"]))


def against_truth(evaluation, known):
    """Every reading that has a true value, in the order of the readings.

    Returns
    -------
    list of Compared
    """
    found = []
    for reading in evaluation.readings:
        true = known.values.get(f"{reading.id}|{reading.root}|{reading.side}")
        if true is None or reading.quantity is None or reading.depth_mm is not None:
            continue
        off, u = reading.quantity.value - true, reading.quantity.u
        found.append(Compared(reading, true, off, off / u if u > 0 else None))
    return found


# -- recipes -------------------------------------------------------------------------------------


def drawn_table(seed):
    """The recipe of a plausible case, drawn from a seed."""
    from radmeasure.workflow.synthesise import drawn

    return drawn(seed)


def open_recipe(path):
    """Recipes of a TOML file as [(name, table)]; raises InputError."""
    from radmeasure.workflow.synthesise import recipes_of

    return [(name, table_of(recipe)) for name, recipe in recipes_of(path)]


def save_recipe(path, table):
    """Write a recipe as TOML, whole or not at all.

    Raises
    ------
    InputError
        The recipe is wrong; nothing is written.
    OutputError
    """
    from radmeasure.files.recipe import recipe_text
    from radmeasure.files.text import write_whole

    write_whole(path, recipe_text(table_of(checked_recipe(table))))


def table_of(recipe):
    """The nested mapping of a recipe, without the entries that stand as they are anyway.

    Examples
    --------
    >>> table_of(checked_recipe({"tooth": "11", "file": {"length_mm": 21}}))
    {'tooth': '11', 'file': {'length_mm': 21.0}}
    """
    found = {}
    for spec in fields(recipe):
        value = getattr(recipe, spec.name)
        usual = spec.default_factory() if spec.default is MISSING else spec.default
        if value is None or value == usual:
            continue
        plain = _plain(value)
        # A section with nothing in it still says that its object is there.
        if plain != {} or not _always(spec):
            found[spec.name] = plain
    return found


def _always(spec):
    return spec.name in ("size", "bone", "crown", "view", "receptor", "given", "roots")


def _plain(value):
    if isinstance(value, Tooth):
        return value.fdi
    if is_dataclass(value):
        return table_of(value)
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return list(value) if isinstance(value, tuple) else value
