"""A viewer that applies our presentation state draws the film as the program does.

The viewer is dcmtk's dcmp2pgm, which renders an image through a presentation state.
"""

import subprocess

import numpy as np
import pydicom
import pytest
from made_films import dataset, every_kind, file_bytes, picture, png
from PIL import Image
from pydicom.data import get_testdata_file
from test_film_display import MADE, drawn

from radmeasure.files.film import read_film, read_film_bytes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.landmarks import Landmarks, Root
from radmeasure.model.tooth import Tooth
from radmeasure.reports.dicom_sr import Charted
from radmeasure.workflow.dicom_out import dicom_objects, write_objects
from radmeasure.workflow.evaluate import evaluate

RULES = read_rulebook()
MARKS = Landmarks(
    Tooth("11"), (), {"coronal_reference": (30.0, 4.0)}, {"single": Root({"apex": (9.0, 9.0)})}
)


def written(film, folder):
    """Objects of a film with two landmarks, written; their paths by name."""
    chart = Charted(MARKS, evaluate(MARKS, RULES, live=True))
    identity = {"name": "Sample^Ash"}  # dcmtk's viewer asks for a name
    objects = dicom_objects(film, [chart], RULES, b"%PDF-1.4\n", identity=identity)
    paths = write_objects(folder, objects)
    return {path.stem: path for path in paths}


def rendered(image, state, folder):
    """Grey levels of the image through the state."""
    out = folder / "out.pgm"
    subprocess.run(["dcmp2pgm", "-p", state, image, out], check=True, capture_output=True)
    return np.asarray(Image.open(out)).astype(int)


@pytest.mark.parametrize("name", MADE)
def test_the_state_draws_a_film_as_the_program_does(name, tmp_path):
    """Windows, tables, rescaled and inverse films, raw ones: within one grey level of 255."""
    path = tmp_path / "film.dcm"
    path.write_bytes(file_bytes(dataset(picture(), **MADE[name])))
    film = read_film(path)
    state = written(film, tmp_path)["presentation"]
    assert np.abs(rendered(path, state, tmp_path) - drawn(film)).max() <= 1


@pytest.mark.parametrize("name", ["RG1_UNCR.dcm", "RG3_UNCR.dcm", "mlut_18.dcm", "vlut_04.dcm"])
def test_the_state_draws_library_films_as_the_program_does(name, tmp_path):
    """Real radiographs, and films with a modality table of signed values and a display table."""
    path = get_testdata_file(name, download=False)
    film = read_film(path)
    state = written(film, tmp_path)["presentation"]
    assert np.abs(rendered(path, state, tmp_path) - drawn(film)).max() <= 1


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_a_picture_file_looks_the_same_once_it_is_dicom(bits, tmp_path):
    film = read_film_bytes(png(picture(bits=bits)), "film.png")
    paths = written(film, tmp_path)
    shown = rendered(paths["film"], paths["presentation"], tmp_path)
    assert np.abs(shown - drawn(film)).max() <= 1


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("dicom colour", "Color Softcopy Presentation State Storage"),
        ("examples_ybr_color.dcm", "Color Softcopy Presentation State Storage"),
        ("dicom two frames", "Grayscale Softcopy Presentation State Storage"),
        ("examples_palette.dcm", None),  # the standard has no state for palettes
        ("OBXXXX1A_rle_2frame.dcm", None),
        ("CT_small.dcm", "Grayscale Softcopy Presentation State Storage"),
    ],
)
def test_colour_captures_and_several_frames_are_reported_too(name, kind, tmp_path):
    """Zero errors from dciodvfy; of several frames the report means the first."""
    library = None if name.startswith("dicom ") else get_testdata_file(name, download=False)
    film = read_film(library) if library else read_film_bytes(every_kind()[name][0], "film")
    paths = written(film, tmp_path)
    assert ("presentation" in paths) == (kind is not None)
    if kind is not None:
        assert pydicom.dcmread(paths["presentation"]).SOPClassUID.name == kind
    for path in paths.values():
        checked = subprocess.run(
            ["dciodvfy", "-new", path], capture_output=True, text=True, errors="replace"
        )
        lines = (checked.stdout + checked.stderr).splitlines()
        assert not [line for line in lines if line.startswith("Error")]
    source = pydicom.dcmread(library) if library else None
    if source is not None and int(source.get("NumberOfFrames") or 1) > 1:
        named = [e.value for e in pydicom.dcmread(paths["report"]).iterall()
                 if e.keyword == "ReferencedFrameNumber"]  # fmt: skip
        assert named
        assert set(named) == {1}
