"""The folder of a class: films with their truth, and one sub-folder a student."""

import hashlib
from pathlib import Path

from radmeasure.errors import InputError
from radmeasure.files.case_file import SUFFIX as CASE
from radmeasure.files.landmarks_json import FORMAT, TRUTH, check_version, landmarks_from
from radmeasure.files.synth_out import TRUTH_VERSION
from radmeasure.files.text import read_bytes, read_json
from radmeasure.model.class_marks import TruthFilm

# The file a film is measured on comes first: DICOM says its own spacing.
_PICTURES = (".dcm", ".png", ".tif", ".tiff", ".jpg", ".jpeg")
_TRUTH_END = ".truth.json"


def read_truth_films(folder):
    """Films of a class by name, as ``radmeasure synth`` writes them.

    Returns
    -------
    dict of str to TruthFilm

    Raises
    ------
    InputError
        No truth file there, or one that is wrong.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise InputError(f"{folder} is no folder", "name the folder that holds the films")
    films = {}
    for path in sorted(folder.glob(f"*{_TRUTH_END}")):
        film = _read_film(path)
        films[film.name] = film
    if not films:
        raise InputError(
            f"{folder} holds no film with its truth",
            f"put the films of radmeasure synth and their *{_TRUTH_END} files there",
        )
    return films


def _read_film(path):
    name = path.name.removesuffix(_TRUTH_END)
    data = read_json(path, "truth file")
    try:
        if data["format"] != TRUTH:
            raise InputError(f"format is {data['format']!r}", f"expected {TRUTH!r}")
        check_version(data, TRUTH_VERSION)
        landmarks = landmarks_from(data["landmarks"])
        values = {str(key): float(value) for key, value in data["values"].items()}
        scale = (float(data["px_per_mm_along"]), float(data["px_per_mm_across"]))
        if min(scale) <= 0:
            raise InputError(f"px_per_mm is {min(scale):g}", "make the film anew")
    except InputError as error:
        raise InputError(f"{path}: {error.what}", error.do) from None
    except (KeyError, TypeError, ValueError, AttributeError):
        raise InputError(f"{path} is no whole truth file", "make the film anew") from None
    pictures = {}
    for suffix in _PICTURES:
        picture = path.with_name(name + suffix)
        if picture.is_file():
            data = read_bytes(picture, "film")
            pictures[hashlib.sha256(data).hexdigest()] = picture
    return TruthFilm(name, landmarks, values, scale, pictures)


def student_folders(folder):
    """Sub-folders of a class by student; results of an earlier marking are none."""
    return {
        path.name: path
        for path in sorted(Path(folder).iterdir())
        if path.is_dir() and not path.name.startswith(".") and not (path / "class.json").exists()
    }


def handed_files(folder):
    """Landmark files and case files anywhere in a student's folder, in the order of names."""
    ends = (".json", CASE)
    found = (path for path in sorted(Path(folder).rglob("*")) if path.suffix.lower() in ends)
    return [path for path in found if path.is_file() and not path.name.startswith(".")]


def is_case(path):
    """True for a case file, by its name."""
    return path.suffix.lower() == CASE


def handed_landmarks(path):
    """Landmarks of a file handed in; None for a file of another kind (readings, hints).

    Raises
    ------
    InputError
        The file is wrong, or holds the truth itself.
    """
    data = read_json(path)
    kind = data.get("format") if isinstance(data, dict) else None
    if kind == TRUTH:
        raise InputError(f"{path} is a truth file", "no student should have one")
    if kind != FORMAT:
        return None
    try:
        return landmarks_from(data)
    except InputError as error:
        raise InputError(f"{path}: {error.what}", error.do) from None


def film_named(file_name, films):
    """The film a file is of: the longest film's name it begins with as a whole word.

    Examples
    --------
    >>> film_named("film-1.second.landmarks.json", ["film", "film-1", "film-10"])
    'film-1'
    """
    file_name = file_name.lower()
    for name in sorted(films, key=len, reverse=True):
        rest = file_name.removeprefix(name.lower())
        if rest != file_name and not rest[:1].isalnum():
            return name
    return None
