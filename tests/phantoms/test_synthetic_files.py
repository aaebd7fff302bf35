"""``radmeasure synth``: recipes, seeds, files, progress and the stop in the middle."""

import json
import shutil
import subprocess
import tomllib

import numpy as np
import pydicom
import pytest

from radmeasure.cli import main
from radmeasure.errors import Cancelled, InputError
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model.recipe import entries, recipe, recipes
from radmeasure.workflow.films import open_film
from radmeasure.workflow.synthesise import drawn, synthesise, synthesise_files

# The example of docs/synthetic-films.md.
SIX_LINES = """\
tooth = "upper left central incisor"
bone.loss_percent.mesial = 30
filling.short_mm = 3.0
file.length_mm = 21.0
view.technique = "paralleling"
seed = 1
"""
SMALL = {"neighbours": False, "receptor": {"size": "0", "pitch_um": 100.0}}
SMALL_LINES = 'neighbours = false\nreceptor.size = "0"\nreceptor.pitch_um = 100\n'


def small(**more):
    return {**SMALL, **more}


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Files of the six-line recipe."""
    folder = tmp_path_factory.mktemp("synth")
    path = folder / "film.toml"
    path.write_text(SIX_LINES + "receptor.pitch_um = 80\n")
    assert main(["synth", "--quiet", "--recipe", str(path), "--out", str(folder / "out")]) == 0
    return folder / "out"


def test_the_six_lines_make_a_film_with_all_it_names(made):
    assert {p.name for p in made.iterdir()} == {
        f"film.{end}" for end in ("png", "dcm", "landmarks.json", "truth.json")
    }
    truth = json.loads((made / "film.truth.json").read_text())
    values = truth["values"]
    assert truth["tooth"] == "21"
    assert values["bone_loss|single|mesial"] == pytest.approx(30.0, abs=0.05)
    assert values["filling_to_apex|single|None"] == pytest.approx(3.0, abs=0.01)
    marks = read_landmarks(made / "film.landmarks.json")
    assert marks.given["file_length_mm"] == pytest.approx(21.0)
    assert {"file_stop", "file_tip", "filling_apical"} <= set(marks.roots["single"].points)


def test_the_truth_file_serves_as_landmark_file(made, capsys):
    film, truth = str(made / "film.dcm"), str(made / "film.truth.json")
    assert main(["measure", film, "--landmarks", truth]) == 0
    assert "Tooth length" in capsys.readouterr().out


def test_png_and_dicom_hold_the_same_film(made):
    png, dicom = open_film(made / "film.png"), open_film(made / "film.dcm")
    assert png.pixels.dtype == np.uint16
    scaled = dicom.pixels.astype(float) / dicom.pixels.max()
    assert np.allclose(png.pixels / png.pixels.max(), scaled, atol=1e-3)


@pytest.mark.parametrize("case", ["file", "14 linear 16 bit", "lower molar"])
def test_dicom_has_no_errors(case, tmp_path, made):
    """dciodvfy (dicom3tools, DICOM PS3.3): zero errors."""
    more = {
        "file": None,
        "14 linear 16 bit": 'tooth = "14"\nreceptor.bits = 16\nreceptor.response = "linear"\n',
        "lower molar": 'tooth = "37"\nlesion.diameter_mm = 3\npost.depth_mm = 5\nfilling = {}\n',
    }[case]
    path = made / "film.dcm"
    if more:
        (tmp_path / "r.toml").write_text(more + SMALL_LINES)
        written = synthesise_files(str(tmp_path / "r.toml"), None, str(tmp_path / "out"))
        path = next(p for p in written if p.suffix == ".dcm")
    assert shutil.which("dciodvfy"), "dciodvfy is missing: run .ci/setup dev"
    done = subprocess.run(["dciodvfy", "-new", path], capture_output=True, text=True, check=False)
    said = (done.stdout + done.stderr).splitlines()
    assert said[0] == "IntraoralImageForPresentation"
    assert not [line for line in said if line.startswith("Error")]
    assert pydicom.dcmread(path).SOPClassUID.name.startswith("Digital Intra-Oral X-Ray")


def test_a_seed_alone_draws_a_plausible_case():
    """Whatever the seed, the case is a valid recipe of a tooth that exists."""
    tables = [drawn(seed) for seed in range(200)]
    assert all(recipe(t) for t in tables)
    assert len({t["tooth"] for t in tables}) == 28
    for key in ("file", "filling", "post", "caries", "lesion", "sphere", "wire"):
        assert any(key in t for t in tables), key
    assert drawn(7) == drawn(7)


def test_seed_on_the_command_line(tmp_path, capsys):
    """--seed replaces the recipe's own; the same seed draws the same film, another another."""
    path = tmp_path / "r.toml"
    path.write_text('tooth = "11"\nseed = 3\n' + SMALL_LINES)
    for name, seed in (("a", "9"), ("b", None)):
        args = ["synth", "--recipe", str(path), "--out", str(tmp_path / name)]
        assert main(args + (["--seed", seed] if seed else [])) == 0
    first, second = (open_film(tmp_path / n / "r.dcm").pixels for n in "ab")
    assert (first == synthesise(small(tooth="11", seed=9))[0]).all()
    assert (first != second).any()
    assert str(tmp_path / "a" / "r.png") in capsys.readouterr().out


def test_progress_runs_from_nothing_to_all():
    seen = []
    synthesise(small(tooth="11"), report=seen.append)
    assert seen == sorted(seen)
    assert seen[0] < 0.2
    assert seen[-1] == 1.0
    assert len(seen) > 5


def test_a_stop_in_the_middle_writes_nothing(tmp_path):
    path = tmp_path / "r.toml"
    path.write_text('tooth = "11"\n' + SMALL_LINES)

    def stop(share):
        if share > 0.4:
            raise Cancelled

    with pytest.raises(Cancelled):
        synthesise_files(str(path), None, str(tmp_path / "out"), stop)
    assert not list((tmp_path / "out").glob("*"))


def test_films_of_one_recipe_share_what_stands_above_them():
    found = recipes(
        {
            "tooth": "13",
            "lesion": {"diameter_mm": 5.0},
            "film": [{"name": "a"}, {"name": "b", "lesion": {"diameter_mm": 3.0}}],
        }
    )
    assert [(r.name, r.tooth.fdi, r.lesion.diameter_mm) for r in found] == [
        ("a", "13", 5.0),
        ("b", "13", 3.0),
    ]


BAD = {
    'tooth = "19"': "19",
    "seed = 1": "tooth",
    'tooth = "upper left fang"': "fang",
    'tooth = "55"': "primary",
    'tooth = "11"\ncrwon.state = "lost"': "crwon",
    'tooth = "11"\ncrown.state = "gone"': "crown.state",
    'tooth = "11"\nfile.length_mm = -3': "file.length_mm",
    'tooth = "11"\nfile.length_mm = nan': "file.length_mm",
    'tooth = "11"\nroots.palatal.curve_deg = 3': "palatal",
    'tooth = "11"\nfilling.voids = 1.5': "filling.voids",
    'tooth = "11"\nfilling.short_mm = 14': "filling",
    'tooth = "11"\nname = "../up"': "../up",
    "tooth = ": "TOML",
}


@pytest.mark.parametrize("text", BAD)
def test_a_wrong_recipe_is_one_line_and_no_file(text, tmp_path, capsys):
    """Exit 2, the entry named, nothing written."""
    path = tmp_path / "bad.toml"
    path.write_text(text + "\n")
    out = tmp_path / "out"
    assert main(["synth", "--recipe", str(path), "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert said.startswith("radmeasure: error: ")
    assert said.count("\n") == 1
    assert BAD[text] in said
    assert not out.exists() or not list(out.iterdir())


def test_neither_recipe_nor_seed(tmp_path, capsys):
    assert main(["synth", "--out", str(tmp_path / "out")]) == 2
    assert "--recipe" in capsys.readouterr().err


def test_an_object_that_does_not_fit_the_film_is_refused():
    with pytest.raises(InputError, match="off the film"):
        synthesise(small(tooth="11", wire={"length_mm": 25.0}, receptor={"size": "0"}))


def test_every_number_of_a_recipe_has_a_range_and_a_unit_for_forms():
    found = list(entries())
    assert len(found) > 80
    for name, rule, default in found:
        if rule["kind"] == "number":
            assert rule["low"] < rule["high"], name
            if default is not None:
                assert rule["low"] <= default <= rule["high"], name


def test_the_examples_of_the_docs_are_recipes(request):
    """Every TOML block of docs/synthetic-films.md is read without a complaint."""
    text = (request.config.rootpath / "docs" / "synthetic-films.md").read_text()
    blocks = [b.split("```")[0] for b in text.split("```toml\n")[1:]]
    assert SIX_LINES in blocks
    for block in blocks:
        assert recipes(tomllib.loads(block))
