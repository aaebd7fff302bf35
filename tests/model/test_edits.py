"""Edits: what each does to a case, its sentence, its JSON form, and what it refuses."""

import json

import pytest

from radmeasure.errors import InputError
from radmeasure.model.case import Case, FilmEntry, PlanChoice
from radmeasure.model.case_json import case_from_json, case_to_json
from radmeasure.model.edits import (
    KINDS,
    SCALE,
    AcceptSuggestion,
    AddFilm,
    ChoosePlan,
    CorrectSuggestion,
    Place,
    RejectSuggestion,
    Remove,
    RemoveChart,
    RenameTooth,
    SetGiven,
    SetIdentity,
    SetLabel,
    SetOrientation,
    SetRecall,
    SetRole,
    SetScale,
    SetSuggestions,
    SetVisit,
    SetWorksheet,
    Several,
    StartChart,
    accept_all,
    from_json,
    landmark_words,
)
from radmeasure.model.landmarks import Detector, KnownLength, Landmarks
from radmeasure.model.landmarks_json import scale_from_json
from radmeasure.model.tooth import Tooth

ENTRY = FilmEntry("f1", "before.png", "0" * 64)
CASE = AddFilm(ENTRY).apply(Case())
FILE = KnownLength(21.0, 0.25, [(1.0, 2.0), (3.0, 900.0)], "tooth")


def _after(*edits, case=CASE):
    for edit in edits:
        case = edit.apply(case)
    return case


def _suggested(**kept):
    made = Landmarks(
        Tooth("36"),
        scale=(FILE,),
        points={"cej_distal": (5.0, 6.0)},
        u_px={"apex": 2.0, "mesial.apex": 1.25},
        confidence={"apex": 0.5, "mesial.apex": 0.9},
        **kept,
    )
    made = made.with_placed("apex", (10.0, 20.0), "mesial")
    return made.with_placed("apex", (40.0, 20.0), "distal")


def _chart(case, tooth="36"):
    return case.chart("f1", tooth)


# -- the log's form -------------------------------------------------------------
def test_the_names_in_the_log_are_the_ones_released():
    """A case file of today must be read by every later version: names are only added."""
    assert set(KINDS) >= {
        "add_film", "remove_film", "set_role", "set_visit", "set_orientation", "start_chart",
        "remove_chart", "rename_tooth", "place", "remove", "set_u_px", "set_scale", "set_given",
        "set_suggestions", "accept", "correct", "reject", "set_worksheet", "choose_plan",
        "set_recall", "set_label", "set_identity", "start_from", "several",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("edit", "text"),
    [
        (
            Place("f1", "11", "apex", "single", (1.5, 2)),
            '{"kind": "place", "film_id": "f1", "tooth": "11", "name": "apex", "root": "single",'
            ' "value": [1.5, 2.0]}',
        ),
        (
            SetScale("f1", "11", [Detector(0.024, 1.05)]),
            '{"kind": "set_scale", "film_id": "f1", "tooth": "11", "entries":'
            ' [{"from": "detector", "mm_per_px": 0.024, "magnification": 1.05}]}',
        ),
        (SetRecall("11"), '{"kind": "set_recall", "tooth": "11"}'),
        (
            Several("both", [SetLabel("a"), SetVisit("f1", "2026-03-01")]),
            '{"kind": "several", "title": "both", "edits": [{"kind": "set_label", "label": "a"},'
            ' {"kind": "set_visit", "film_id": "f1", "visit": "2026-03-01"}]}',
        ),
    ],
)
def test_the_json_form_is_what_the_documentation_shows(edit, text):
    """Frozen texts: reading one of them must give the same edit for ever."""
    assert json.dumps(edit.to_json()) == text
    assert from_json(json.loads(text)) == edit


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"kind": "teleport"}, "unknown edit 'teleport'"),
        ({}, "unknown edit None"),
        ({"kind": "set_label", "label": "x", "colour": "red"}, "unknown fields"),
        ({"kind": "set_label"}, "lacks a field"),
        ({"kind": "place", "film_id": "f", "tooth": "11", "name": "apex", "value": 3}, "finite"),
    ],
)
def test_a_log_entry_that_is_no_edit_is_named(data, words):
    with pytest.raises(InputError, match=words):
        from_json(data)


def test_unknown_keys_of_a_case_are_errors_not_losses():
    for data in ({"labels": "x"}, {"films": [{**case_to_json(CASE)["films"][0], "size": 3}]}):
        with pytest.raises(InputError, match="unknown key"):
            case_from_json(data)
    with pytest.raises(InputError, match="unknown scale 'ruler'"):
        scale_from_json({"from": "ruler"})


# -- films and charts ------------------------------------------------------------
def test_orientation_leaves_landmarks_in_their_original_pixels():
    placed = _after(Place("f1", "11", "apex", "single", (1.0, 2.0)))
    turned = _after(SetOrientation("f1", 5, True), case=placed)
    assert (turned.film("f1").turns, turned.film("f1").mirrored) == (1, True)
    assert turned.charts == placed.charts


def test_roles_are_those_of_the_treatment():
    assert _after(SetRole("f1", "recall")).film("f1").role == "recall"
    with pytest.raises(InputError, match="not the role of a film"):
        _after(SetRole("f1", "holiday"))


def test_a_wrongly_named_tooth_takes_its_landmarks_along():
    case = _after(
        Place("f1", "11", "apex", "single", (1.0, 2.0)),
        SetSuggestions("f1", "11", Landmarks(Tooth("11"), points={"cej_mesial": (1.0, 1.0)})),
        RenameTooth("f1", "11", "21"),
    )
    assert case.chart("f1", "11") is None
    assert case.chart("f1", "21").landmarks.tooth == Tooth("21")
    assert case.chart("f1", "21").suggested.tooth == Tooth("21")
    with pytest.raises(InputError, match="already"):
        _after(StartChart("f1", "36"), RenameTooth("f1", "36", "21"), case=case)
    with pytest.raises(InputError, match="not on film"):
        RenameTooth("f1", "11", "12").apply(case)


def test_placing_and_removing():
    case = _after(Place("f1", "11", "canal", "single", [(1, 2), (3, 4)]))
    assert case.chart("f1", "11").landmarks.get("canal", "single") == ((1.0, 2.0), (3.0, 4.0))
    case = _after(Remove("f1", "11", "canal", "single"), case=case)
    assert case.chart("f1", "11").landmarks.get("canal", "single") is None
    with pytest.raises(InputError, match=r"single\.canal is not placed"):
        Remove("f1", "11", "canal", "single").apply(case)
    assert _after(RemoveChart("f1", "11"), case=case).charts == {}


@pytest.mark.parametrize(
    "make",
    [
        lambda: Place("f1", "11", "canal", "single", [(1, 2)]),
        lambda: Place("f1", "11", "lesion", "single", [(1, 2), (3, 4)]),
        lambda: Place("f1", "11", "apex", "single", (1, float("inf"))),
        lambda: Place("f1", "11", "apex", "single", ()),
        lambda: Place("f1", "11", "canal", "single", [(1, 2), (1, 2)]),
    ],
)
def test_a_landmark_that_is_none_cannot_even_be_made(make):
    with pytest.raises(InputError):
        make()


def test_given_values_are_checked_and_taken_away_with_none():
    case = _after(SetGiven("f1", "11", "file_length_mm", 21))
    assert case.chart("f1", "11").landmarks.given == {"file_length_mm": 21.0}
    with pytest.raises(InputError, match="file_length_mm is 210"):
        SetGiven("f1", "11", "file_length_mm", 210).apply(case)
    assert (
        _after(SetGiven("f1", "11", "file_length_mm"), case=case)
        .charts[("f1", "11")]
        .landmarks.given
        == {}
    )


# -- suggestions -----------------------------------------------------------------
def test_an_accepted_suggestion_brings_its_own_uncertainty_and_confidence():
    case = _after(
        SetSuggestions("f1", "36", _suggested()),
        AcceptSuggestion("f1", "36", "apex", "mesial"),
        AcceptSuggestion("f1", "36", "apex", "distal"),
    )
    marks = _chart(case).landmarks
    assert marks.stated_u_px("apex", "mesial") == 1.25
    assert marks.stated_u_px("apex", "distal") == 2.0  # the one that holds for every root
    assert _chart(case).accepted == {"mesial.apex": 0.9, "distal.apex": 0.5}
    assert _chart(case).suggested.get("apex", "mesial") is None


def test_suggestions_count_nowhere_until_answered():
    case = _after(SetSuggestions("f1", "36", _suggested()))
    assert not list(_chart(case).landmarks.placed()) and _chart(case).landmarks.scale == ()
    case = _after(AcceptSuggestion("f1", "36", SCALE), case=case)
    assert _chart(case).landmarks.scale == (FILE,) and _chart(case).suggested.scale == ()


def test_what_is_not_suggested_cannot_be_answered():
    for kind in (AcceptSuggestion, RejectSuggestion):
        with pytest.raises(InputError, match="no suggestion for foramen"):
            _after(SetSuggestions("f1", "36", _suggested()), kind("f1", "36", "foramen"))
        with pytest.raises(InputError, match="no suggestion for scale"):
            _after(kind("f1", "36", SCALE))


def test_suggestions_of_another_tooth_are_refused():
    with pytest.raises(InputError, match="for tooth 36, not 46"):
        _after(SetSuggestions("f1", "46", _suggested()))


def test_the_last_answer_leaves_no_suggestions():
    """Reasons for what was not found stay readable until the next suggestions."""
    case = _after(SetSuggestions("f1", "36", _suggested()))
    case = _after(accept_all(case, "f1", "36"), case=case)
    assert _chart(case).suggested is None and accept_all(case, "f1", "36") is None
    case = _after(SetSuggestions("f1", "36", _suggested(left_out={"foramen": "hidden"})))
    case = _after(accept_all(case, "f1", "36"), case=case)
    assert _chart(case).suggested.left_out == {"foramen": "hidden"}
    assert accept_all(case, "f1", "36") is None


def test_placing_by_hand_overrules_the_suggestion_of_that_name_only():
    case = _after(
        SetSuggestions("f1", "36", _suggested()), Place("f1", "36", "apex", "mesial", (9.0, 9.0))
    )
    assert _chart(case).suggested.get("apex", "mesial") is None
    assert _chart(case).suggested.get("apex", "distal") == (40.0, 20.0)
    case = _after(CorrectSuggestion("f1", "36", "apex", "distal", (41.0, 20.0)), case=case)
    assert _chart(case).landmarks.stated_u_px("apex", "distal") is None


# -- plan, worksheet, identity ------------------------------------------------------
def test_plan_choices_are_checked_and_forgotten_when_all_taken_back():
    case = _after(ChoosePlan("36", "root", "distal"), ChoosePlan("36", "depth_mm", 7))
    assert case.plans["36"] == PlanChoice(root="distal", depth_mm=7)
    case = _after(ChoosePlan("36", "root"), ChoosePlan("36", "depth_mm"), case=case)
    assert case.plans == {} and case.teeth == ()
    for name, value in (("depth_mm", -1), ("depth_mm", "deep"), ("root", 3), ("colour", "x")):
        with pytest.raises(InputError):
            ChoosePlan("36", name, value).apply(case)


def test_worksheet_entries_are_json_scalars():
    case = _after(SetWorksheet("36", "symptoms", "none"), SetWorksheet("36", "mobile", False))
    assert case.worksheets["36"] == {"symptoms": "none", "mobile": False}
    assert _after(SetWorksheet("36", "symptoms"), SetWorksheet("36", "mobile"), case=case) == CASE
    for value in ([1], {"a": 1}, float("nan")):
        with pytest.raises(InputError):
            SetWorksheet("36", "x", value).apply(case)
    with pytest.raises(InputError, match="ISO 3950"):
        SetWorksheet("99", "x", 1).apply(case)


def test_recall_dates_are_dates():
    assert _after(SetRecall("36", "2027-03-01")).recalls == {"36": "2027-03-01"}
    for text in ("next year", "2027-13-01", 20270301):
        with pytest.raises(InputError, match="not a date"):
            SetRecall("36", text).apply(CASE)


def test_identity_fields_are_few_and_their_sentences_silent():
    case = _after(SetIdentity("name", "Somebody Invented"))
    assert case.identity == {"name": "Somebody Invented"}
    assert SetIdentity("name", "Somebody Invented").sentence == "Identity: name entered"
    assert _after(SetIdentity("name", ""), case=case).identity == {}
    with pytest.raises(InputError, match="unknown identity field"):
        SetIdentity("shoe_size", "43").apply(CASE)


# -- words ---------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "root", "words"),
    [
        ("cej_mesial", None, "mesial CEJ"),
        ("apex", "single", "apex"),
        ("root_wall_distal", "mesiobuccal", "distal root wall of the mesiobuccal root"),
    ],
)
def test_landmarks_are_named_as_one_says_them(name, root, words):
    assert landmark_words(name, root) == words


def test_sentences_call_films_by_name():
    assert SetRole("f1", "recall").worded({"f1": "before.png"}) == "Film before.png is 'recall'"
    assert SetScale("f1", "11", (FILE,)).sentence == "Tooth 11: scale from known length"
    assert Several("", (SetLabel("a"), SetLabel("{b}"))).sentence == (
        "Case labelled 'a'; Case labelled '{b}'"
    )
