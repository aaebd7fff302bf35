"""What the allow-list lets through, against DICOM PS3.15 Table E.1-1.

``ps315_basic_profile.csv`` holds the table's tags and the action of the Basic Application
Confidentiality Profile (X remove, Z empty or dummy, D dummy, U new UID), read in a
machine-readable copy of the table; its rows for repeating and private groups are left out.
"""

import csv
import io
from pathlib import Path

import numpy as np
import planted
import pydicom
import pytest
from made_films import code, dataset, file_bytes
from planted import Words
from pydicom.datadict import tag_for_keyword
from pydicom.sequence import Sequence

from radmeasure.files.dicom_allowed import ALLOWED, SPACING, allowed, storage_class
from radmeasure.files.dicom_teaching import Keyed, masked, teaching_film
from radmeasure.files.film import read_film_bytes
from radmeasure.files.tooth_codes import code_of_tooth

TABLE = Path(__file__).with_name("ps315_basic_profile.csv")
KEYED = Keyed("a secret")


def profile():
    """Action of the basic profile by tag."""
    with TABLE.open() as file:
        rows = list(csv.DictReader(file))
    return {int(r["tag"], 16): r["action"] for r in rows}


def copy_of(film):
    film = read_film_bytes(film, "film")
    return pydicom.dcmread(io.BytesIO(teaching_film(film, masked(film.pixels, ()), KEYED)))


def test_nothing_the_profile_removes_is_on_the_list():
    table = profile()
    assert len(table) > 550
    listed = {**ALLOWED, **SPACING}
    assert not [k for k in listed if tag_for_keyword(k) in table]


@pytest.mark.parametrize("kind", planted.IODS)
def test_every_attribute_of_a_copy_obeys_the_profile(kind):
    """What must go is gone, what must be emptied is empty or a pseudonym, UIDs are new."""
    words, table = Words(), profile()
    film = planted.planted_dicom(kind, words)
    copy = copy_of(film)
    old = {str(e.value) for e in pydicom.dcmread(io.BytesIO(film)).iterall() if e.VR == "UI"}
    own = {"", KEYED.patient, f"Teaching^{KEYED.patient}"}
    replaced = 0
    for element in copy.iterall():
        action = table.get(int(element.tag))
        if action is None:
            continue
        assert action[0] != "X" or element.value in ("", None) or len(element.value) == 0, element
        if action == "U":
            assert element.value not in old
            replaced += 1
        elif element.VR != "SQ":
            assert str(element.value) in own, element
    assert replaced == 3
    assert not [e for e in copy.iterall() if e.tag.is_private]
    codes = [c.CodeValue for c in copy.DeidentificationMethodCodeSequence]
    assert codes == ["113100", "113101"]  # CID 7050


@pytest.mark.parametrize(
    ("keyword", "value"),
    [
        ("Modality", "SMITH"),
        ("ImageLaterality", "U"),
        ("PatientOrientation", ["ANN", "F"]),
        ("PatientOrientation", "L"),
        ("PositionerType", "DRSMITH"),
        ("PixelIntensityRelationshipSign", 42),
        ("ImagerPixelSpacing", [0.02]),
        ("ImagerPixelSpacing", [0.02, -1]),
        ("PixelSpacingCalibrationType", "ANN"),
        ("LossyImageCompressionMethod", "ANN_1"),
        ("PrimaryAnatomicStructureSequence", Sequence([code("1", "99ANN")])),
        ("AnatomicRegionSequence", Sequence([code("38866009", "SCT", "Body part")])),
        ("AnatomicRegionSequence", Sequence([code("70925003", "SCT"), code("1", "SCT")])),
    ],
)
def test_a_value_the_standard_does_not_give_is_left_out(keyword, value):
    """A listed attribute is no hiding place for words of others."""
    assert keyword not in allowed(dataset(**{keyword: value}), True)


def test_codes_are_worded_by_the_standard():
    film = planted.planted_dicom("intra-oral", Words())
    copy = copy_of(film)
    assert copy.AnatomicRegionSequence[0].CodeMeaning == "Maxilla"
    meaning = copy.PrimaryAnatomicStructureSequence[0].CodeMeaning
    assert meaning == code_of_tooth("11").meaning
    region = code("70925003", "SCT", "Ann")
    region.AnatomicRegionModifierSequence = Sequence([code("699453001", "SCT", "Smith")])
    taken = allowed(dataset(AnatomicRegionSequence=Sequence([region])), True)
    modifier = taken["AnatomicRegionSequence"][0].AnatomicRegionModifierSequence[0]
    assert modifier.CodeMeaning == "Central incisor region"  # CID 4017


def test_a_class_that_cannot_be_kept_whole_becomes_a_capture():
    """Nothing is invented to fill what the film lacks."""
    film = pydicom.dcmread(io.BytesIO(planted.planted_dicom("intra-oral", Words())))
    assert storage_class(film, allowed(film, True)).endswith("1.1.3")
    assert storage_class(film, allowed(film, False)).endswith("1.1.7")
    del film.AnatomicRegionSequence
    assert storage_class(film, allowed(film, True)).endswith("1.1.7")


def test_a_spacing_that_was_refused_is_not_copied():
    """The reader's verdict stays: here Pixel Spacing is larger than the detector's."""
    film = file_bytes(dataset(ImagerPixelSpacing=[0.02, 0.02], PixelSpacing=[0.03, 0.03]))
    assert read_film_bytes(film, "film").spacing is None
    copy = copy_of(film)
    assert "ImagerPixelSpacing" not in copy
    assert "PixelSpacing" not in copy


@pytest.mark.parametrize("photometric", ["MONOCHROME1", "MONOCHROME2"])
def test_the_sign_of_the_intensity_follows_the_pixels(photometric):
    """Bright stays dense: -1 says that higher values mean less X-ray (PS3.3 C.8.11.3.1.2)."""
    sign = 1 if photometric == "MONOCHROME1" else -1
    pixels = np.arange(4096, dtype=np.uint16).reshape(64, 64)
    film = dataset(
        pixels,
        PhotometricInterpretation=photometric,
        PixelIntensityRelationshipSign=sign,
        **{k: v for k, v in planted._XRAY.items() if "Sign" not in k and "Shape" not in k},
    )
    film.AnatomicRegionSequence = Sequence([code("70925003", "SCT")])
    film.PrimaryAnatomicStructureSequence = Sequence([code("422653006", "SCT")])
    assert copy_of(file_bytes(film)).PixelIntensityRelationshipSign == -1
