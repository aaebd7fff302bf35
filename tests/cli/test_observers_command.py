"""``radmeasure observers``: tables as people write them, and what is refused."""

import json

import numpy as np
import pytest

from radmeasure.cli import main
from radmeasure.reports.words import use_language

HEAD = "observer,film,reading,value"


def table(tmp_path, *rows, head=HEAD, name="t.csv", encoding="utf-8"):
    path = tmp_path / name
    path.write_text("\n".join((head, *rows)) + "\n", encoding)
    return path


def study(tmp_path, path, *options):
    out = tmp_path / "s.json"
    assert main(["observers", str(path), "--out", str(out), *options]) == 0
    return json.loads(out.read_text())


def refused(capsys, tmp_path, path, *options):
    """The one line on stderr of a table that is refused."""
    out = tmp_path / "s.json"
    assert main(["observers", str(path), "--out", str(out), *options]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert not out.exists()
    (line,) = said.err.splitlines()
    assert line.startswith("radmeasure: error: ")
    return line


@pytest.fixture
def drawn(tmp_path):
    """Three observers read eight films twice; birch reads 0.5 high and scatters by 0.1."""
    draw = np.random.default_rng(11)
    rows, read = [], {}
    for film in range(8):
        true = 20 + film
        for name, bias in (("alder", 0.0), ("birch", 0.5), ("cedar", 0.0)):
            for occasion in (1, 2):
                value = round(true + bias + draw.normal(0, 0.1), 3)
                read.setdefault(name, []).append(value)
                rows.append(f"{name},f{film},canal_length,{occasion},mm,{value},{true}")
    head = "observer,film,reading,occasion,unit,value,truth"
    return table(tmp_path, *rows, head=head), read


def test_bias_error_and_reliability(drawn, tmp_path, capsys):
    path, read = drawn
    found = study(tmp_path, path)
    assert (found["format"], found["version"]) == ("radmeasure.observers", 1)
    (reading,) = found["readings"]
    assert (reading["against"], reading["unit"], reading["subjects"]) == ("truth", "mm", 8)
    by_name = {o["observer"]: o for o in reading["observers"]}
    birch = by_name["birch"]
    off = np.array(read["birch"]).reshape(8, 2) - np.arange(20, 28)[:, None]
    assert birch["bias"] == pytest.approx(off.mean(), abs=1e-4)
    assert birch["direction"] == "high"
    assert birch["error"] == pytest.approx(
        np.sqrt(np.sum(np.diff(off, axis=1) ** 2) / 16), abs=1e-4
    )
    assert birch["repeats"] == 8
    assert reading["icc"]["subjects"] == 8
    assert reading["icc"]["3,1"] > reading["icc"]["2,1"]
    words = capsys.readouterr().out
    assert "Canal length, mm, against the truth" in words
    assert "reads high" in words


def test_without_truth_each_is_held_against_the_mean_of_all_and_in_pairs(tmp_path):
    rows = [f"{o},f{i},canal,{20 + i + b}" for o, b in (("a", 0), ("b", 0.6)) for i in range(5)]
    (reading,) = study(tmp_path, table(tmp_path, *rows))["readings"]
    assert reading["against"] == "mean"
    assert [round(o["bias"], 6) for o in reading["observers"]] == [-0.3, 0.3]
    (pair,) = reading["pairs"]
    assert (pair["first"], pair["second"], round(pair["bias"], 6)) == ("a", "b", -0.6)


def test_a_table_as_german_spreadsheets_write_it(tmp_path):
    """Semicolon, decimal comma, Windows-1252: the same study as with comma and point."""
    rows = [("Müller", 20.5), ("Weiß", 20.75)]
    plain = [f"{n},f{i},canal,{v + i}" for n, v in rows for i in range(3)]
    local = [f"{n};f{i};canal;{v + i}".replace(".", ",") for n, v in rows for i in range(3)]
    one = study(tmp_path, table(tmp_path, *plain, name="plain.csv"))
    path = table(tmp_path, *local, name="lokal.csv", head=HEAD.replace(",", ";"), encoding="cp1252")
    assert study(tmp_path, path) == one
    assert one["observers"] == ["Müller", "Weiß"]
    tabs = [row.replace(",", "\t") for row in plain]
    path = table(tmp_path, *tabs, head=HEAD.replace(",", "\t"), encoding="utf-16")
    assert study(tmp_path, path) == one


def test_classes_give_kappa_and_in_order_weighted_kappa(tmp_path, capsys):
    """The textbook table 20, 5, 10, 15 has kappa 0.40: fair, by Landis & Koch's words."""
    said = [("yes", "yes")] * 20 + [("yes", "no")] * 5 + [("no", "yes")] * 10 + [("no", "no")] * 15
    rows = [f"{o},f{i},lesion,{pair[k]}" for i, pair in enumerate(said) for k, o in enumerate("ab")]
    path = table(tmp_path, *rows)
    (reading,) = study(tmp_path, path)["readings"]
    (pair,) = reading["pairs"]
    assert pair["kappa"] == pytest.approx(0.4)
    assert pair["agreement"] == pytest.approx(0.7)
    assert pair["linear"] is None
    assert "fair" in capsys.readouterr().out
    (reading,) = study(tmp_path, path, "--order", "no,yes")["readings"]
    assert reading["pairs"][0]["linear"] == pytest.approx(0.4)
    assert reading["classes"] == ["no", "yes"]
    assert "'yes' is missing in --order" in refused_order(capsys, tmp_path, path)


def refused_order(capsys, tmp_path, path):
    capsys.readouterr()
    (tmp_path / "s.json").unlink()
    return refused(capsys, tmp_path, path, "--order", "no,perhaps")


def test_figures_that_name_classes(tmp_path):
    rows = [f"{o},f{i},grade,{(i + k * (i == 3)) % 4},class" for i in range(8) for k, o in
            enumerate("ab")]  # fmt: skip
    (reading,) = study(tmp_path, table(tmp_path, *rows, head=HEAD + ",unit"))["readings"]
    assert reading["classes"] == ["0", "1", "2", "3"]
    assert reading["pairs"][0]["agreement"] == pytest.approx(7 / 8)


def test_an_unbalanced_table_says_how_many_were_left_out(tmp_path, capsys):
    rows = [f"{o},f{i},canal,{20 + i}.{k}" for k, o in enumerate("ab") for i in range(5)]
    (reading,) = study(tmp_path, table(tmp_path, *rows[:-1]))["readings"]
    assert reading["icc"]["subjects"] == 4
    assert reading["icc"]["left_out"] == 1
    assert "1 left out" in capsys.readouterr().out


def test_one_observer_gets_what_can_be_given(tmp_path, capsys):
    rows = [f"a,f{i},canal,{20.2 + i},{20 + i}" for i in range(4)]
    (reading,) = study(tmp_path, table(tmp_path, *rows, head=HEAD + ",truth"))["readings"]
    assert reading["observers"][0]["bias"] == pytest.approx(0.2)
    assert reading["icc"] is None
    assert "One observer only" in capsys.readouterr().out


def test_the_factor_is_named(drawn, tmp_path, capsys):
    path, _ = drawn
    two = study(tmp_path, path, "--factor", "2")
    assert two["factor"] == 2
    assert "2.00 standard" in capsys.readouterr().out
    wide = two["readings"][0]["observers"][0]["limits"]
    narrow = study(tmp_path, path)["readings"][0]["observers"][0]["limits"]
    assert wide[1] - wide[0] == pytest.approx((narrow[1] - narrow[0]) * 2 / 1.96, rel=1e-4)


@pytest.mark.parametrize(
    ("head", "rows", "says"),
    [
        ("observer,film,value", ["a,f,1"], ["row 1", "'reading' is missing", "known: observer"]),
        (HEAD + ",grade", ["a,f,c,1,2"], ["unknown column 'grade'", "known: observer, film"]),
        (HEAD + ",value", ["a,f,c,1,2"], ["'value' is there twice"]),
        (HEAD, ["a,f,c,1", "b,f,c,l2"], ["row 3, column value", "'l2' is not a number"]),
        (HEAD, ["a,f,c,1", "b,f,c,nan"], ["row 3, column value", "'nan'"]),
        (HEAD, ["a,f,c,1", "b,f,c,1e300"], ["row 3, column value", "no size of anything"]),
        (HEAD, ["a,f,c,1", "b,f,c,"], ["row 3, column value", "is empty"]),
        (HEAD, ["a,f,c,1", "b,,c,2"], ["row 3, column film", "is empty"]),
        (HEAD, ["a,f,c,1", "b,f,c,2,3"], ["row 3", "5 cells for 4 columns"]),
        (HEAD, ["a,f,c,1", "b,f,c,2", "a,f,c,3"], ["rows 2 and 4", "occasion"]),
        (HEAD, [], ["no rows"]),
        (HEAD, ["a,f,c,1", "a,g,c,1"], ["nothing to compare"]),
        (HEAD + ",unit", ["a,f,c,1,mm", "b,f,c,1,cm"], ["row 3, column unit", "'cm'"]),
        (HEAD + ",truth", ["a,f,c,1,1", "b,f,c,1,2"], ["row 3, column truth", "one truth"]),
        (HEAD + ",truth", ["a,f,c,1,one"], ["row 2, column truth", "'one' is not a number"]),
        (HEAD.replace(",", ";"), ["a;f;c;1,5", "b;f;c;1.5"], ["row 2", "one decimal sign"]),
        (HEAD, ['a,f,c,"1'], ["quotes"]),
    ],
)
def test_bad_tables_are_refused_in_one_line(head, rows, says, tmp_path, capsys):
    line = refused(capsys, tmp_path, table(tmp_path, *rows, head=head))
    for words in says:
        assert words in line


def test_no_file_a_folder_and_a_film_are_refused(tmp_path, capsys):
    assert "does not exist" in refused(capsys, tmp_path, tmp_path / "none.csv")
    assert "is a folder" in refused(capsys, tmp_path, tmp_path)
    path = tmp_path / "film.csv"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")
    refused(capsys, tmp_path, path)


def test_it_speaks_german(drawn, capsys, monkeypatch):
    path, _ = drawn
    monkeypatch.setenv("RADMEASURE_LANGUAGE", "de")
    try:
        assert main(["observers", str(path)]) == 0
        words = capsys.readouterr().out
        assert "Kanallänge" in words
        assert "misst zu viel" in words
        path.write_text("observer,film,reading,value\na,f,c,1\na,f,c,1\n")
        assert main(["observers", str(path)]) == 2
        assert "Zeilen 2 und 3 sind eine Messung" in capsys.readouterr().err
    finally:
        use_language("en")
