"""Synthetic films: from a recipe, or a seed alone, to pixels, landmarks and truth."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from radmeasure.errors import InputError
from radmeasure.model.recipe import recipe as checked_recipe


@cache
def tables():
    """The data of ``calibration/`` the films need, read once."""
    from radmeasure.files import phantom_tables
    from radmeasure.phantoms.film import Tables

    return Tables(
        phantom_tables.anatomy(),
        phantom_tables.columns("spectra.csv"),
        phantom_tables.columns("attenuation.csv"),
    )


def drawn(seed):
    """A plausible case drawn at random, as the nested mapping of a recipe."""
    from radmeasure.phantoms.draw import draw

    return draw(seed)


def _made(recipe, report):
    from radmeasure.phantoms import film, truth

    scene, pixels = film.make(recipe, tables(), report)
    exact = truth.truth(scene)
    if report is not None:
        report(1.0)
    return scene, pixels, exact


def synthesise(recipe, seed=None, report=None):
    """A synthetic film with its truth.

    Parameters
    ----------
    recipe : Recipe, mapping or None
        None draws a plausible case from ``seed``.
    seed : int, optional
        Replaces the recipe's own.
    report : callable, optional
        Called with the share done, 0 to 1; it may raise
        :class:`~radmeasure.errors.Cancelled`.

    Returns
    -------
    pixels : ndarray, shape (H, W), uint16
        Larger is denser; values below ``2**recipe.receptor.bits``.
    landmarks : Landmarks
    truth : Truth

    Raises
    ------
    InputError
        The recipe is wrong or does not fit the tooth.
    """
    if recipe is None:
        recipe = drawn(0 if seed is None else seed)
    if isinstance(recipe, dict):
        recipe = checked_recipe(recipe)
    if seed is not None:
        recipe = replace(recipe, seed=seed)
    _, pixels, exact = _made(recipe, report)
    return pixels, exact.landmarks, exact


def synthesise_dicom(recipe, name, report=None):
    """A synthetic film as the bytes of a DICOM file, with its truth.

    Parameters
    ----------
    recipe : Recipe
    name : str
        Names the phantom in the file.
    report : callable, optional

    Returns
    -------
    bytes, Truth
    """
    from radmeasure.files.synth_out import dicom_bytes

    scene, pixels, exact = _made(recipe, report)
    return dicom_bytes(pixels, recipe, name, _distances(recipe, scene)), exact


def _distances(recipe, scene):
    """Source to receptor and source to tooth, mm."""
    source = scene.view.source
    return recipe.view.source_mm, float((source @ source) ** 0.5)


def recipes_of(path=None, seed=None):
    """Recipes of a file, or the one a seed draws.

    Returns
    -------
    list of (name, Recipe)

    Raises
    ------
    InputError
    """
    from radmeasure.files.recipe import read_recipes

    if path is None:
        if seed is None:
            raise InputError("neither a recipe nor a seed", "give --recipe FILE or --seed N")
        found = [checked_recipe(drawn(seed))]
        fallback = f"film-{seed}"
    else:
        found = read_recipes(path)
        found = [r if seed is None else replace(r, seed=seed) for r in found]
        fallback = Path(path).stem
    return [(_file_name(r.name or fallback), r) for r in found]


def _file_name(name):
    if name != Path(name).name or name.startswith(".") or not name.strip():
        raise InputError(f"name {name!r:.60} cannot be a file name", "use letters, digits and -")
    return name


def synthesise_files(path, seed, folder, report=None):
    """Make the films of a recipe file (or a seed) and write them into ``folder``.

    All films are made before the first file is written.

    Parameters
    ----------
    path : str or None
    seed : int or None
    folder : str
    report : callable, optional
        Called with the share done; may raise Cancelled.

    Returns
    -------
    list of Path
        The files written.
    """
    from radmeasure.files.synth_out import film_files
    from radmeasure.files.text import folder_for_output, write_whole

    todo = recipes_of(path, seed)
    files = {}
    for number, (name, recipe) in enumerate(todo):
        share = _share(report, number, len(todo))
        scene, pixels, exact = _made(recipe, share)
        files.update(film_files(pixels, recipe, name, exact, _distances(recipe, scene)))
    target = folder_for_output(folder)
    for name, data in files.items():
        write_whole(target / name, data)
    return [target / name for name in files]


def _share(report, number, count):
    if report is None:
        return None
    return lambda part: report((number + part) / count)
