"""Teeth, date and orientation that a DICOM film states."""

import pytest
from made_films import dataset, file_bytes, teeth
from pydicom.sr._concepts_dict import concepts
from pydicom.sr._snomed_dict import mapping

from radmeasure.files.dicom_identity import acquired_on, view_of
from radmeasure.files.film import read_film_bytes
from radmeasure.files.tooth_codes import code_of_tooth, tooth_code
from radmeasure.model.tooth import Tooth

PERMANENT = [f"{q}{n}" for q in "1234" for n in range(1, 9)]
PRIMARY = [f"{q}{n}" for q in "5678" for n in range(1, 6)]


def _concept(keyword):
    """(code, meaning) of a keyword in pydicom's copy of the DICOM dictionaries."""
    ((value, (meaning, _)),) = concepts["SCT"][keyword].items()
    return value, meaning


def _keyword(fdi):
    """Keyword of PS3.16 CID 4018 / 4019 built from our own names of the tooth."""
    tooth = Tooth(fdi)
    jaw, side = ("Maxillary" if tooth.upper else "Mandibular"), ("Right" if tooth.right else "Left")
    kind = tooth.type_name.title().replace(" ", "")
    if tooth.primary:
        return f"Deciduous{jaw}{side}{kind}Tooth"
    keyword = ("Permanent" if tooth.upper else "") + f"{jaw}{side}{kind}Tooth"
    return keyword if keyword in concepts["SCT"] else "MandibularLeftLateralTooth"


@pytest.mark.parametrize("fdi", PERMANENT + PRIMARY)
def test_current_code_is_the_one_of_the_standard(fdi):
    """Each of the 52 teeth: the code of CID 4018 or 4019 as pydicom carries them (2024c)."""
    value, meaning = _concept(_keyword(fdi))
    assert code_of_tooth(fdi)[:5] == (fdi, "SCT", value, "current", meaning)
    assert tooth_code("SCT", value).fdi == fdi


@pytest.mark.parametrize("fdi", PERMANENT)
def test_code_in_use_before_2021_is_read(fdi):
    """'Structure of ... tooth', which does not tell permanent from primary."""
    tooth = Tooth(fdi)
    jaw, side = ("Maxillary" if tooth.upper else "Mandibular"), ("Right" if tooth.right else "Left")
    value, _ = _concept(f"StructureOf{jaw}{side}{tooth.type_name.title().replace(' ', '')}Tooth")
    assert tooth_code("SCT", value).fdi == fdi


def test_snomed_rt_twins_are_read_under_all_their_designators():
    """Every code with a twin in pydicom's SNOMED mapping gives the same tooth by it."""
    found = 0
    for fdi in PERMANENT + PRIMARY:
        twin = mapping["SCT"].get(code_of_tooth(fdi).value)
        if twin:
            found += 1
            assert {tooth_code(s, twin).fdi for s in ("SRT", "SNM3", "99SDM")} == {fdi}
    assert found == 40  # the 12 new codes of 2021 have none
    assert tooth_code("SRT", "T-54210").fdi == "18"
    assert tooth_code("SRT", "T-54280").fdi == "11"


def test_unknown_code_names_no_tooth():
    """A code of another thing, or of another scheme, is no tooth."""
    assert tooth_code("SCT", "38199008") is None
    assert tooth_code("DCM", code_of_tooth("11").value) is None


def _film(**attributes):
    return read_film_bytes(file_bytes(dataset(**attributes)), "film")


def test_film_names_its_teeth():
    """New, old and SNOMED RT codes of three teeth, in the order of the file."""
    film = _film(**teeth(("SCT", "866006002"), ("SRT", "T-54380"), ("SCT", "24573005")))
    assert film.tooth_fdi == ("36", "37", "35")
    assert any("37 is named by an older code" in note for note in film.notes)


def test_tooth_named_twice_is_one_tooth_and_unknown_codes_are_told():
    """Doubles are dropped; a code we do not know is mentioned, not guessed."""
    film = _film(**teeth(("SCT", "866006002"), ("SCT", "866006002"), ("99XYZ", "1")))
    assert film.tooth_fdi == ("36",)
    assert any("code the program does not know" in note for note in film.notes)


def test_side_that_contradicts_the_tooth_is_told():
    """Tooth 36 is on the left; a film that says right asks for a look."""
    assert any("right side" in n for n in _film(ImageLaterality="R", **_lower_left()).notes)
    assert not _film(ImageLaterality="L", **_lower_left()).notes


def _lower_left():
    return teeth(("SCT", "866006002"))


@pytest.mark.parametrize(
    "attributes, expected",
    [
        ({"AcquisitionDateTime": "20260102030405.6+0100"}, "2026-01-02"),
        ({"AcquisitionDate": "20260102", "ContentDate": "20260203"}, "2026-01-02"),
        (
            {"AcquisitionDate": None, "ContentDate": "20260203", "StudyDate": "20260304"},
            "2026-02-03",
        ),
        ({"AcquisitionDate": None, "SeriesDate": "2026.03.04"}, "2026-03-04"),
        ({"AcquisitionDate": "20261345", "StudyDate": "20260304"}, "2026-03-04"),
        ({"AcquisitionDate": "", "StudyDate": "soon"}, ""),
        ({"AcquisitionDate": None}, ""),
    ],
)
def test_date_is_that_of_the_exposure_as_far_as_stated(attributes, expected):
    """The acquisition first; impossible dates are passed over; the old form with dots is read."""
    from pydicom import config

    with config.disable_value_validation():
        assert acquired_on(dataset(**attributes)) == expected


@pytest.mark.parametrize(
    "fdi, orientation, turns, mirrored",
    [
        ("11", ["L", "F"], 0, False),
        ("11", ["R", "F"], 0, True),
        ("11", ["R", "H"], 2, False),
        ("11", ["L", "H"], 2, True),
        ("46", ["A", "F"], 0, False),
        ("46", ["P", "F"], 0, True),
        ("36", ["P", "F"], 0, False),
        ("36", ["A", "F"], 0, True),
        ("36", ["AL", "FP"], 0, True),
        ("36", ["L", "F"], 0, False),
        ("36", ["A", "H"], 2, False),
    ],
)
def test_orientation_tells_how_to_see_the_film_as_usual(fdi, orientation, turns, mirrored):
    """Seen from the front, head up (common practice, no source)."""
    found_turns, found_mirrored, notes = view_of(dataset(PatientOrientation=orientation), (fdi,))
    assert (found_turns, found_mirrored) == (turns, mirrored)
    assert bool(notes) == (turns != 0 or mirrored)


def test_side_of_the_film_helps_when_no_tooth_is_named():
    """Image Laterality tells which way is forward."""
    made = dataset(PatientOrientation=["A", "F"], ImageLaterality="L")
    assert view_of(made, ())[:2] == (0, True)


@pytest.mark.parametrize("orientation", [None, "", ["L"], ["", ""], ["L", "F", "P"]])
def test_missing_orientation_says_nothing(orientation):
    """Nothing is turned or told when the file does not say."""
    assert view_of(dataset(PatientOrientation=orientation), ("11",)) == (0, False, [])


def test_orientation_of_no_film_is_told():
    """Axial directions on both axes do not fit a periapical film."""
    assert "does not fit" in view_of(dataset(PatientOrientation=["F", "P"]), ("11",))[2][0]


def test_film_carries_how_to_see_it_and_keeps_its_pixels_as_stored():
    """Landmarks refer to the stored pixels, so those are not turned."""
    film = _film(PatientOrientation=["R", "H"], **teeth(("SCT", "422653006")))
    assert (film.turns, film.mirrored) == (2, False)
    assert "the file says that the picture is upside down" in film.notes
    assert (film.pixels == _film().pixels).all()
