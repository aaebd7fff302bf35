"""``radmeasure mark-class``: simulated students of known scatter and bias, marked end to end."""

import csv
import json
import shutil

import numpy as np
import pytest
from class_made import FILMS, SAMPLES, as_marked, student, teacher, truth_of
from scipy.stats import chi2
from small_film import SMALL

from radmeasure.cli import main
from radmeasure.errors import Cancelled
from radmeasure.files.landmarks_json import landmarks_text, read_landmarks
from radmeasure.files.recipe import recipe_text
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.edits import (
    AcceptSuggestion,
    Place,
    SetIdentity,
    SetLabel,
    SetScale,
    SetSuggestions,
    StartChart,
)
from radmeasure.teaching.placement import axes
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.mark_class import mark_class
from radmeasure.workflow.session import Session
from radmeasure.workflow.synthetic import Known, against_truth

SCATTER = 0.15


@pytest.fixture(scope="module")
def marked(tmp_path_factory):
    """(folder, result): ash errs by chance, beech sees the apex 0.6 mm too far coronal."""
    folder = teacher(tmp_path_factory.mktemp("class") / "films")
    student(folder, "ash", 21, SCATTER)
    student(folder, "beech", 22, SCATTER, {"apex": (-0.6, 0.0)})
    out = folder.parent / "result"
    assert main(["mark-class", str(folder), "--out", str(out), "--quiet"]) == 0
    return folder, out


def rows(path):
    with path.open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def test_every_file_is_there_and_nothing_else(marked):
    _, out = marked
    assert sorted(p.name for p in out.iterdir()) == [
        "ash.rulebook.toml",
        "beech.rulebook.toml",
        "class.json",
        "intervals.csv",
        "marks.csv",
        "readings.csv",
    ]
    assert not [p for p in out.parent.iterdir() if p.name.startswith(".")]


def test_the_biased_student_is_found_and_only_there(marked):
    _, out = marked
    data = json.loads((out / "class.json").read_text())
    assert (data["format"], data["version"]) == ("radmeasure.class", 1)
    (apex,) = (e for e in data["landmarks"] if (e["landmark"], e["direction"]) == ("apex", "along"))
    by_name = {o["observer"]: o for o in apex["observers"]}
    assert by_name["beech"]["direction"] == "low"
    # eight apices: the mean is off by chance by SCATTER / sqrt(8), 1 in 1000 beyond 3.3 of it
    assert by_name["beech"]["bias"] == pytest.approx(-0.6, abs=3.3 * SCATTER / 8**0.5)
    assert abs(by_name["ash"]["bias"]) < 3.3 * SCATTER / 8**0.5
    # an apex called too far coronal makes teeth short
    length = {
        o["observer"]: o
        for r in data["observers"]["readings"]
        if r["reading"] == "tooth_length"
        for o in r["observers"]
    }
    assert length["beech"]["direction"] == "low"
    assert length["beech"]["bias"] < length["ash"]["bias"]


def test_the_own_rulebook_states_the_scatter(marked):
    _, out = marked
    own = read_rulebook(out / "ash.rulebook.toml")
    assert own.changed
    assert all(id_.startswith("placement.") for id_ in own.changed)
    placement = {
        p["entry"]: p
        for s in json.loads((out / "class.json").read_text())["students"]
        if s["student"] == "ash"
        for p in s["placement"]
    }
    for id_, (_, entry) in own.changed.items():
        n = placement[id_]["marks"]
        assert n >= 5
        free = n * (1 if "canal" in id_ or "wall" in id_ else 2)
        low, high = np.sqrt(chi2.ppf([0.0005, 0.9995], free) / free)
        assert SCATTER * low < entry.value < SCATTER * high, id_
        assert entry.trust == "measured"
    shipped = read_rulebook()
    for id_, p in placement.items():
        if not p["written"]:
            assert own.value(id_) == shipped.value(id_)
    assert not placement["placement.lesion"]["written"]  # two marks only
    beech = read_rulebook(out / "beech.rulebook.toml")
    assert beech.value("placement.apex") > 1.5 * own.value("placement.apex")


def test_the_own_rulebook_changes_the_stated_uncertainty(marked, tmp_path):
    """measure --rulebook with beech's copy: lengths to the apex are less sure than shipped."""
    _, out = marked
    u = {}
    for name, more in (
        ("shipped", []),
        ("beech", ["--rulebook", str(out / "beech.rulebook.toml")]),
    ):
        path = tmp_path / f"{name}.json"
        film, marks = SAMPLES / "cedar.png", SAMPLES / "cedar.landmarks.json"
        call = ["measure", str(film), "--landmarks", str(marks), "--out", str(path), "--quiet"]
        assert main([*call, *more]) == 0
        for reading in json.loads(path.read_text())["readings"]:
            if reading["id"] == "tooth_length":
                u[name] = reading["budget"]
    own = read_rulebook(out / "beech.rulebook.toml").value("placement.apex")
    apex = {name: budget["placement of apex"] for name, budget in u.items()}
    assert apex["beech"] / apex["shipped"] == pytest.approx(own / 0.20, rel=0.02)


def test_intervals_and_marks_add_up(marked):
    _, out = marked
    data = json.loads((out / "class.json").read_text())
    held = rows(out / "intervals.csv")
    for entry in data["students"]:
        own = [row for row in held if row["student"] == entry["student"]]
        assert entry["intervals"]["of"] == len(own)
        assert entry["intervals"]["hold"] == sum(row["holds"] == "yes" for row in own)
    for row in held:
        inside = float(row["low"]) <= float(row["truth"]) <= float(row["high"])
        assert inside == (row["holds"] == "yes")
        off = float(row["value"]) - float(row["truth"])
        assert float(row["off"]) == pytest.approx(off, abs=2e-3)
    # a student who scatters as the rulebook expects holds his intervals
    ash = next(s["intervals"] for s in data["students"] if s["student"] == "ash")
    assert ash["hold"] >= 0.9 * ash["of"]
    marks = rows(out / "marks.csv")
    truth, _ = truth_of("alder")
    assert len([r for r in marks if (r["student"], r["film"]) == ("ash", "alder")]) == len(
        list(truth.placed())
    )
    for row in marks:
        if row["along_mm"]:
            rms = np.hypot(float(row["along_mm"]), float(row["across_mm"])) / 2**0.5
            assert float(row["rms_mm"]) == pytest.approx(rms, abs=1e-4)
        assert float(row["in_u"]) == pytest.approx(
            float(row["rms_mm"]) / float(row["u_mm"]), rel=1e-2
        )


def test_the_table_of_readings_is_read_by_observers(marked, tmp_path):
    _, out = marked
    study = tmp_path / "study.json"
    assert main(["observers", str(out / "readings.csv"), "--out", str(study), "--quiet"]) == 0
    found = json.loads(study.read_text())
    assert found["observers"] == ["ash", "beech"]
    written = json.loads((out / "class.json").read_text())["observers"]
    assert [r["reading"] for r in found["readings"]] == [r["reading"] for r in written["readings"]]


def test_with_his_own_figures_a_careless_student_holds_his_intervals(tmp_path):
    """Scatter of 0.4 mm, twice what is shipped: marked on seven films read twice, then on others.

    Of 95 % intervals the shipped rulebook holds clearly fewer, the student's own 19 of 20.
    """
    folder = teacher(tmp_path / "films")
    for number in (1, 2):
        student(folder, "rowan", 50 + number, 0.4, end=f".{number}.landmarks.json")
    mark_class(folder, tmp_path / "out")
    own = read_rulebook(tmp_path / "out" / "rowan.rulebook.toml")
    held = {}
    for name, rulebook in (("shipped", read_rulebook()), ("own", own)):
        draw = np.random.default_rng(60)
        found = []
        for film in 2 * FILMS:
            data = json.loads((SAMPLES / f"{film}.truth.json").read_text())
            evaluation = evaluate(as_marked(film, draw, 0.4), rulebook)
            known = Known(truth_of(film)[0], data["values"])
            found += [
                low <= c.true <= high
                for c in against_truth(evaluation, known)
                for low, high in [c.reading.quantity.interval95]
            ]
        held[name] = np.mean(found)
    assert held["shipped"] < 0.90
    assert held["own"] >= 0.93


def small_class(tmp_path, *films):
    """A folder with a few films and no student yet."""
    folder = tmp_path / "films"
    folder.mkdir()
    for film in films:
        shutil.copy(SAMPLES / f"{film}.truth.json", folder)
    return folder


def case_of(path, film, seed, name=None):
    """A case file in which a film is marked, its mesial CEJ left as suggested.

    What it knows of a person is invented, to be looked for in the results.
    """
    marks = as_marked(film, np.random.default_rng(seed), SCATTER)
    fdi = marks.tooth.fdi
    with Session.create(path, author="Planted") as session:
        session.apply(SetLabel("Planted"))
        session.apply(SetIdentity("name", "Planted^Person"))
        entry = session.add_film((SAMPLES / f"{film}.dcm").read_bytes(), name or f"{film}.dcm")
        session.apply(StartChart(entry.film_id, fdi))
        session.apply(SetScale(entry.film_id, fdi, marks.scale))
        suggested = type(marks)(marks.tooth, points={"cej_mesial": marks.points["cej_mesial"]})
        session.apply(SetSuggestions(entry.film_id, fdi, suggested))
        session.apply(AcceptSuggestion(entry.film_id, fdi, "cej_mesial"))
        for root, mark, value in marks.placed():
            if mark != "cej_mesial":
                session.apply(Place(entry.film_id, fdi, mark, root, value))


def test_case_files_are_matched_by_the_films_digest(tmp_path):
    """Whatever the student's file is called; a suggestion left as it was is no mark of his."""
    folder = small_class(tmp_path, "alder", "cedar")
    shutil.copy(SAMPLES / "alder.dcm", folder)
    (folder / "elder").mkdir()
    case_of(folder / "elder" / "homework.radcase", "alder", 3, name="tooth.dcm")
    before = sorted(p.name for p in (folder / "elder").iterdir())
    found = mark_class(folder, tmp_path / "out")
    assert not found.troubles
    assert [(h.student, h.film, h.occasion) for h in found.handed] == [("elder", "alder", 1)]
    placed = {m.error.name: m.own for m in found.marks}
    assert placed.pop("cej_mesial") is False
    assert all(placed.values())
    cej = next(p for p in found.placements["elder"] if p.entry == "placement.cej")
    assert cej.marks == 1
    assert found.readings
    assert sorted(p.name for p in (folder / "elder").iterdir()) == before
    for path in (tmp_path / "out").iterdir():  # the folder's name is all that is written of him
        assert "Planted" not in path.read_text()
        assert "homework" not in path.read_text()


def test_a_film_marked_again_gives_the_students_own_error(tmp_path, capsys):
    folder = small_class(tmp_path, "birch", "cedar", "elm")
    for number in (1, 2):
        films = ("birch", "cedar", "elm")
        student(folder, "rowan", number, SCATTER, films=films, end=f".{number}.landmarks.json")
    assert main(["mark-class", str(folder), "--out", str(tmp_path / "out")]) == 0
    assert "Students: 1." in capsys.readouterr().out
    data = json.loads((tmp_path / "out" / "class.json").read_text())
    assert sorted({h["occasion"] for h in data["students"][0]["handed"]}) == [1, 2]
    errors = [
        o["error"] for e in data["landmarks"] for o in e["observers"] if o.get("repeats", 0) > 2
    ]
    # each is Dahlberg's of three pairs at least: pooled they come back to the scatter
    assert np.sqrt(np.mean(np.square(errors))) == pytest.approx(SCATTER, rel=0.2)


def test_what_cannot_be_marked_is_said_and_the_rest_is_marked(tmp_path, capsys):
    folder = small_class(tmp_path, "alder", "cedar")
    shutil.copy(SAMPLES / "cedar.png", folder)
    student(folder, "ash", 1, SCATTER, films=("cedar",))
    good = (folder / "ash" / "cedar.landmarks.json").read_text()
    (folder / "ash" / "cedar.copy.json").write_text(good)
    (folder / "ash" / "broken.json").write_text("{")
    (folder / "ash" / "willow.landmarks.json").write_text(good)
    (folder / "ash" / "notes.txt").write_text("not marks")
    (folder / "ash" / "readings.json").write_text('{"format": "radmeasure.readings"}')
    (folder / "ash" / "alder.landmarks.json").write_text(good.replace('"11"', '"12"'))
    off = truth_of("cedar")[0].with_placed("apex", (5000.0, 9.0), "single")
    (folder / "ash" / "cedar.off.json").write_text(landmarks_text(off))
    truth = truth_of("cedar")[0]
    cej = truth.points["cej_mesial"], truth.points["cej_distal"]
    turned = truth.with_placed("cej_mesial", cej[1]).with_placed("cej_distal", cej[0])
    (folder / "ash" / "cedar.turned.json").write_text(landmarks_text(turned))
    other = truth.with_placed("apex", truth.get("apex", "single"), "palatal")
    (folder / "ash" / "cedar.other.json").write_text(landmarks_text(other))
    (folder / "beech").mkdir()
    (folder / "cheat").mkdir()
    shutil.copy(SAMPLES / "cedar.truth.json", folder / "cheat")
    assert main(["mark-class", str(folder), "--out", str(tmp_path / "out")]) == 1
    said = capsys.readouterr().out
    for words in (
        "ash/broken.json is not valid JSON",
        "ash/willow.landmarks.json: goes with no film by its name",
        "films of the class: alder, cedar",
        "ash/cedar.landmarks.json: the same marks",
        "ash/alder.landmarks.json: tooth 12 is marked, film alder is of 11",
        "ash/cedar.off.json: single.apex at (5000, 9) lies off the film",
        "ash/cedar.turned.json: mesial and distal CEJ are exchanged on film cedar",
        "ash/cedar.other.json: film cedar has no palatal root; roots: single",
        "beech: nothing was handed in",
        "cheat/cedar.truth.json is a truth file",
    ):
        assert words in said
    assert "notes.txt" not in said
    assert "readings.json" not in said
    data = json.loads((tmp_path / "out" / "class.json").read_text())
    assert len(data["not_marked"]) == 10
    assert [s["student"] for s in data["students"]] == ["ash"]


def test_results_in_the_class_folder_are_no_student_the_next_time(tmp_path):
    folder = small_class(tmp_path, "cedar")
    student(folder, "ash", 1, SCATTER, films=("cedar",))
    assert main(["mark-class", str(folder), "--out", str(folder / "result"), "--quiet"]) == 0
    assert main(["mark-class", str(folder), "--out", str(folder / "again"), "--quiet"]) == 0
    data = json.loads((folder / "again" / "class.json").read_text())
    assert [s["student"] for s in data["students"]] == ["ash"]


def test_bad_folders_are_refused_in_one_line(tmp_path, capsys):
    folder = small_class(tmp_path, "cedar")
    out = tmp_path / "out"

    def refused(place, says):
        assert main(["mark-class", str(place), "--out", str(out)]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        (line,) = said.err.splitlines()
        assert says in line
        assert not out.exists()

    refused(tmp_path / "none", "is no folder")
    refused(folder, "there is no student")
    (folder / "ash").mkdir()
    refused(folder, "nothing in the sub-folders could be marked")
    refused(folder / "ash", "holds no film with its truth")
    student(folder, "ash", 1, SCATTER, films=("cedar",))
    truth = folder / "cedar.truth.json"
    good = truth.read_text()
    truth.write_text(good.replace('"values"', '"worth"'))
    refused(folder, "no whole truth file")
    truth.write_text(good.replace("radmeasure.truth", "radmeasure.other"))
    refused(folder, "expected 'radmeasure.truth'")
    truth.write_text(good.replace('"version": 1', '"version": 2', 1))
    refused(folder, "version 2 is newer")
    truth.write_text(good)
    out.mkdir()
    (out / "mine.txt").write_text("mine")
    assert main(["mark-class", str(folder), "--out", str(out)]) == 2
    assert "holds files already" in capsys.readouterr().err
    assert [p.name for p in out.iterdir()] == ["mine.txt"]


def test_stopped_half_way_it_leaves_nothing(tmp_path):
    folder = small_class(tmp_path, "cedar")
    student(folder, "ash", 1, SCATTER, films=("cedar",))
    shares = []

    def stop(share):
        shares.append(share)
        if share > 0.1:
            raise Cancelled

    with pytest.raises(Cancelled):
        mark_class(folder, tmp_path / "out", stop)
    assert shares == sorted(shares)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["films"]


def test_no_student_is_named_but_by_the_folder(marked):
    """Nothing else is written about a person: no author, no date, no path of a machine."""
    folder, out = marked
    for path in out.iterdir():
        assert str(folder) not in path.read_text()


def test_a_folder_as_synth_writes_it_is_a_class(tmp_path, quick_folder):
    """Drawn, marked and held against the truth, with nothing in between."""
    recipe = tmp_path / "film.toml"
    recipe.write_text(recipe_text(SMALL | {"name": "hazel"}))
    assert main(["synth", "--recipe", str(recipe), "--out", str(quick_folder), "--quiet"]) == 0
    truth = read_landmarks(quick_folder / "hazel.landmarks.json")
    px_per_mm = json.loads((quick_folder / "hazel.truth.json").read_text())["px_per_mm_along"]
    along, _ = axes(truth, "single")
    apex = np.add(truth.get("apex", "single"), 0.5 * px_per_mm * along)
    (quick_folder / "rowan").mkdir()
    text = landmarks_text(truth.with_placed("apex", tuple(apex), "single"))
    (quick_folder / "rowan" / "hazel.landmarks.json").write_text(text)
    found = mark_class(quick_folder, tmp_path / "out")
    assert not found.troubles
    off = {m.error.name: m.error.along_mm for m in found.marks if m.error.along_mm is not None}
    assert off.pop("apex") == pytest.approx(0.5, abs=0.001)
    assert max(map(abs, off.values())) < 0.001
    length = next(h for h in found.readings if h.reading.id == "tooth_length")
    assert length.reading.quantity.value - length.truth == pytest.approx(0.5, abs=0.15)


def test_the_summary_says_how_many_means_miss_zero_by_chance(tmp_path, capsys):
    """Who looks at two hundred means must expect ten that are nothing (95 % intervals)."""
    folder = small_class(tmp_path, "birch", "cedar", "elm")
    for number, name in enumerate(("ash", "beech")):
        student(folder, name, number, 0.1, {"apex": (1.0, 0.0)}, films=("birch", "cedar", "elm"))
    assert main(["mark-class", str(folder), "--out", str(tmp_path / "out")]) == 0
    said = capsys.readouterr().out
    assert "ash    apex" in said
    assert "too far apical" in said
    landmarks = json.loads((tmp_path / "out" / "class.json").read_text())["landmarks"]
    means = [o for e in landmarks for o in e["observers"] if o["direction"] != "unknown"]
    off = [o for o in means if o["direction"] in ("high", "low")]
    assert f"{len(means)} means were looked at" in said
    assert len(off) == sum(" mm too far " in line for line in said.splitlines())
