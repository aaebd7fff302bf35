"""Follow-up films held against the plan made before."""

import datetime

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from plan_made import SIZES, rules

from radmeasure.model.case import FILM_ROLES, Case, Chart, FilmEntry, PlanChoice
from radmeasure.model.landmarks import GIVEN, ROOT_LINES, ROOT_POINTS, TOOTH_POINTS, KnownLength
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.followup import (
    BY_ID,
    JOBS,
    follow_up_of,
    job_for,
    next_recall,
    recall_dates,
)

TOOTH = "11"


class Treatment:
    """A case of drawn films in treatment order."""

    def __init__(self, choice=None, **films):
        self._landmarks = {}
        entries, charts = [], {}
        for i, (role, drawn) in enumerate(films.items()):
            film = FilmEntry(f"film-{i}", f"{role}.png", f"{i}", role.replace("_", " "))
            landmarks = drawn.landmarks() if hasattr(drawn, "landmarks") else drawn
            self._landmarks[film.film_id] = landmarks
            entries.append(film)
            charts[film.film_id, TOOTH] = Chart(landmarks)
        plans = {TOOTH: choice} if choice else {}
        self.case = Case(films=tuple(entries), charts=charts, plans=plans)
        self.last = entries[-1].film_id

    def evaluation(self, film_id):
        choice = self.case.plans.get(TOOTH)
        return evaluate(self._landmarks[film_id], rules(), None, choice, SIZES, live=True)

    def follow(self, job):
        return follow_up_of(self.case, self.last, TOOTH, job, self.evaluation)


def tooth(**root):
    usual = {"length": 13.0, "filling": (0.0, 13.0)}
    drawn = DrawnRoot(**{**usual, **root})
    return DrawnTooth(crest=(2.0, 2.0), roots={"single": drawn})


def with_file(gap, file_mm=21.0, tooth_mm=23.5):
    """A length-check film: a file of ``file_mm`` from the edge, its tip ``gap`` short."""
    drawn = tooth(filling=None).landmarks()
    top, apex = drawn.points["coronal_reference"], drawn.get("apex", "single")
    part = (tooth_mm - gap) / tooth_mm
    tip = tuple(a + part * (b - a) for a, b in zip(top, apex, strict=True))
    drawn = drawn.with_placed("file_stop", top, "single").with_placed("file_tip", tip, "single")
    return drawn.with_given("file_length_mm", file_mm).with_scale(
        KnownLength(file_mm, 0.25, (top, tip), "tooth")
    )


# -- length check ---------------------------------------------------------------------------------


def test_alder_gap_corrected_length_and_stop():
    """File of 21.0 and a tip 0.5 short: 21 + 0.5 - 1.0 = 20.5; accepted; 21 mm reaches.

    The tooth is then 21.5 mm long: the gap in pixels is 0.5 of that.
    """
    (found,) = Treatment(length_check=with_file(0.5 * 23.5 / 21.5)).follow("length check")
    length = found.length
    assert length.gap.value == pytest.approx(0.5, abs=0.01)
    assert length.working_length.value == pytest.approx(20.5, abs=0.01)
    assert length.outcome == "accepted"
    assert (length.stop_setting_mm, length.instrument_mm) == (20.5, 21)
    assert "0.46 mm" in length.remark  # Williams et al. 2006 (read), beside the number


def test_a_file_far_short_is_set_anew_for_the_next_film():
    """A tip 3 mm short: repeat with the stop at 21 + 3 - 1 = 23.0, a 25 mm instrument."""
    (found,) = Treatment(length_check=with_file(3.0 * 23.5 / 24.0)).follow("length check")
    assert found.length.outcome == "repeat"
    assert (found.length.stop_setting_mm, found.length.instrument_mm) == (23.0, 25)


def test_a_gap_at_the_limit_is_left_undecided():
    """1.0 mm against a limit of 1 mm is too close to call, and says so."""
    (found,) = Treatment(length_check=with_file(1.0 * 23.5 / 22.0)).follow("length check")
    assert found.length.outcome == "undecided" and found.length.finding.p == pytest.approx(
        0.5, abs=0.05
    )


def test_a_file_beyond_the_apex():
    """2 mm beyond: repeat, and the remark tells which way such a look errs."""
    (found,) = Treatment(length_check=with_file(-2.0 * 23.5 / 19.0)).follow("length check")
    assert found.length.outcome == "repeat" and found.length.gap.value < -1.5
    assert "1.2 mm" in found.length.remark


def test_the_working_length_is_held_against_the_film_before():
    """Estimated 22.5 before; 20.5 with the file: the difference exceeds its error."""
    films = {"before": tooth(filling=None), "length_check": with_file(0.5 * 23.5 / 21.5)}
    (found,) = Treatment(**films).follow("length check")
    held = found.difference("working_length")
    assert held.planned.value == pytest.approx(22.5, abs=0.02)
    assert held.difference.value == pytest.approx(-2.0, abs=0.02) and held.exceeds
    # Independent films: u in quadrature (JCGM 100:2008, 5.1).
    assert held.difference.u == pytest.approx((held.planned.u**2 + held.found.u**2) ** 0.5)


def test_without_the_files_length_there_is_no_length_check():
    """It waits for the number and guesses nothing."""
    drawn = with_file(0.5).with_given("file_length_mm", None)
    (found,) = Treatment(length_check=drawn).follow("length check")
    assert found.length is None


# -- filling check --------------------------------------------------------------------------------


def test_filling_against_the_working_length():
    """Working length 20.5 x 23.5 / 21.5; filled to 1 mm short of an apex at 23.5: 22.5."""
    films = {"length_check": tooth(filling=None), "filling_check": tooth(filling=(0.0, 12.0))}
    (found,) = Treatment(**films).follow("filling check")
    assert found.reading("filling_to_apex").quantity.value == pytest.approx(1.0, abs=0.01)
    assert {f.rule: f.verdict for f in found.findings}["filling.length"] == "meets"
    held = found.difference("filled_length")
    assert held.found.value == pytest.approx(22.5, abs=0.02)
    assert held.difference.value == pytest.approx(0.0, abs=0.02) and not held.exceeds


# -- post space and post --------------------------------------------------------------------------

PLAN = PlanChoice(depth_mm=8.0)


def test_post_space_depth_and_filling_left():
    """Filling removed to 7.0 of 8.0 planned: a millimetre short, 6 mm left."""
    films = {"filling_check": tooth(), "post_space_check": tooth(filling=(7.0, 13.0))}
    (found,) = Treatment(PLAN, **films).follow("post space check")
    assert found.planned_on == "film-0" and found.planned.depth_mm == 8.0
    depth = found.difference("depth")
    assert depth.found.value == pytest.approx(7.0, abs=0.01) and depth.planned.u == 0
    assert depth.difference.value == pytest.approx(-1.0, abs=0.01) and depth.exceeds
    left = found.difference("residual_filling")
    assert (round(left.planned.value, 2), round(left.found.value, 2)) == (5.0, 6.0)


def test_ivy_seated_depth_gap_and_filling_left():
    """Seated 7.6 of 8.0 (within error), gap 0.4 (not shown nor excluded), 5.0 left, 5.6 in bone."""
    films = {"filling_check": tooth(), "post_check": tooth(filling=(8.0, 13.0), post=(0.0, 7.6))}
    (found,) = Treatment(PLAN, **films).follow("post check")
    depth = found.difference("depth")
    assert depth.difference.value == pytest.approx(-0.4, abs=0.01) and not depth.exceeds
    assert found.reading("post_gap").quantity.value == pytest.approx(0.4, abs=0.01)
    verdicts = {f.rule: f.verdict for f in found.findings}
    assert verdicts["post.gap"] in ("too_close", "fails")
    assert verdicts["filling.residual_least"] == "meets"
    assert found.reading("post_depth_in_bone").quantity.value == pytest.approx(5.6, abs=0.02)
    assert found.difference("in_bone").difference.value == pytest.approx(-0.4, abs=0.02)
    assert not found.difference("in_bone").exceeds and not found.missing


def test_a_post_far_short_of_plan_is_told():
    """5 of 8 planned with 3 mm of gap: depth differs beyond error, the gap rule fails."""
    films = {"filling_check": tooth(), "post_check": tooth(filling=(8.0, 13.0), post=(0.0, 5.0))}
    (found,) = Treatment(PLAN, **films).follow("post check")
    assert found.difference("depth").exceeds
    assert {f.rule: f.verdict for f in found.findings}["post.gap"] == "fails"


def test_without_an_earlier_plan_the_film_speaks_for_itself():
    """No plan, no differences; readings and verdicts stand."""
    films = {"post_check": tooth(filling=(8.0, 13.0), post=(0.0, 7.6))}
    (found,) = Treatment(**films).follow("post check")
    assert found.planned is None and found.differences == ()
    assert found.reading("post_depth").quantity.value == pytest.approx(7.6, abs=0.01)


def test_a_plan_is_not_read_off_a_later_check():
    """The plan comes from the film it was made on, not from the post-space film in between."""
    films = {
        "filling_check": tooth(),
        "post_space_check": tooth(filling=(8.2, 13.0)),
        "post_check": tooth(filling=(8.2, 13.0), post=(0.0, 8.0)),
    }
    (found,) = Treatment(PLAN, **films).follow("post check")
    assert found.planned_on == "film-0"


def test_nothing_chosen_compares_with_the_safe_depth():
    """Without a chosen depth the longest safe one stands in, and says that it was not chosen."""
    films = {"filling_check": tooth(), "post_check": tooth(filling=(8.0, 13.0), post=(0.0, 7.9))}
    (found,) = Treatment(**films).follow("post check")
    assert not found.planned.chosen and found.planned.depth_mm == pytest.approx(8.0, abs=0.01)


def test_missing_landmarks_are_named():
    """A post check without the post says what it waits for."""
    films = {"filling_check": tooth(), "post_check": tooth()}
    (found,) = Treatment(PLAN, **films).follow("post check")
    assert "post_apical" in found.missing and found.difference("depth") is None


# -- jobs -----------------------------------------------------------------------------------------


def test_every_job_asks_for_known_things_in_treatment_order():
    """Names are landmarks or entries; each job's film has a known role."""
    known = {*TOOTH_POINTS, *ROOT_POINTS, *ROOT_LINES, *GIVEN, "scale", "film", "tooth", "roots"}
    for job in JOBS:
        assert {name.rstrip("?") for name in job.asks} <= known
        assert job.role in FILM_ROLES
        assert job.before == "" or job.before in BY_ID
    assert [job.id for job in JOBS] == [
        "length check", "filling check", "post plan", "post space check", "post check", "recall",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("job", "roots", "suggested", "own", "budget"),
    [
        ("length check", 1, False, 0, 8),  # Alder, by hand
        ("length check", 1, True, 0, 8),  # Alder
        ("filling check", 1, True, 1, 10),  # Birch: the outline of the radiolucency accepted
        ("post plan", 1, True, 2, 14),  # Cedar: seal and size chosen
        ("post plan", 1, True, 3, 16),  # Elm: two margins, one amount dragged
        ("post plan", 2, True, 2, 18),  # Fir: root and depth chosen
    ],
)
def test_jobs_keep_the_scenarios_budgets(job, roots, suggested, own, budget):
    """Open, choose the job, click, accept and type: within the counts of the scenarios."""
    assert BY_ID[job].actions(roots, suggested) + own <= budget


def test_the_job_a_film_suggests():
    """A file in the canal means a length check, whatever the role; else the role decides."""
    assert job_for("before", with_file(0.5)).id == "length check"
    assert job_for("post check").id == "post check"
    assert job_for("before").id == "post plan"


# -- recall ---------------------------------------------------------------------------------------


def test_recalls_at_one_year_and_up_to_four():
    """European Society of Endodontology 2006 (memory); a leap day falls back to the 28th."""
    treated = datetime.date(2024, 2, 29)
    dates = recall_dates(treated, rules())
    assert [d.isoformat() for d in dates] == [
        "2025-02-28",
        "2026-02-28",
        "2027-02-28",
        "2028-02-29",
    ]
    assert next_recall(treated, datetime.date(2025, 3, 1), rules()) == dates[1]
    assert next_recall(treated, datetime.date(2030, 1, 1), rules()) is None
