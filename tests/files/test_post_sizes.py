"""Tables of post sizes: read strictly, errors name file and entry."""

import pytest

from radmeasure.errors import RulebookError
from radmeasure.files.post_sizes import read_post_sizes
from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

OWN = '[[post]]\nname = "own"\ntip_mm = 0.7\ntaper_mm_per_mm = 0.02\nlength_mm = 18\n'


def own(tmp_path, text):
    path = tmp_path / "posts.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_shipped_sizes_are_plain_geometry():
    """Parallel and tapered posts, from the thinnest upper limit (0.6 mm) on."""
    sizes = read_post_sizes()
    assert {size.taper_mm_per_mm > 0 for size in sizes} == {True, False}
    assert min(size.tip_mm for size in sizes) == 0.6
    tapered = next(size for size in sizes if size.taper_mm_per_mm == 0.06)
    assert tapered.diameter_mm(10.0) == pytest.approx(tapered.tip_mm + 0.6)


def test_an_own_table_adds_and_replaces(tmp_path):
    """A new name is added, a known name replaced in its place."""
    shipped = read_post_sizes()
    text = OWN + f'[[post]]\nname = "{shipped[0].name}"\ntip_mm = 0.65\n'
    sizes = read_post_sizes(own(tmp_path, text))
    assert [s.name for s in sizes] == [s.name for s in shipped] + ["own"]
    assert sizes[0].tip_mm == 0.65 and sizes[-1].length_mm == 18.0


def test_an_own_table_may_stand_alone(tmp_path):
    """use_shipped = false leaves only the own sizes."""
    sizes = read_post_sizes(own(tmp_path, "use_shipped = false\n" + OWN))
    assert [s.name for s in sizes] == ["own"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[post]\n", "TOML"),
        ("posts = 1\n", "'posts'"),
        ("use_shipped = 1\n", "use_shipped"),
        ("use_shipped = false\n", "no post size"),
        ("post = 3\n", "list of tables"),
        ("[[post]]\ntip_mm = 1\n", "post 1"),
        ('[[post]]\nname = "a"\n', "'a'"),
        ('[[post]]\nname = "a"\ntip_mm = "1"\n', "tip_mm"),
        ('[[post]]\nname = "a"\ntip_mm = true\n', "tip_mm"),
        ('[[post]]\nname = "a"\ntip_mm = nan\n', "tip_mm"),
        ('[[post]]\nname = "a"\ntip_mm = 9\n', "outside"),
        ('[[post]]\nname = "a"\ntip_mm = 1\ntaper = 0.1\n', "'taper'"),
        (OWN + OWN, "twice"),
        ("", "empty"),
    ],
)
def test_a_wrong_table_is_refused_by_name(tmp_path, text, told):
    """One line with the file and the entry that is wrong."""
    path = own(tmp_path, text)
    with pytest.raises(RulebookError) as caught:
        read_post_sizes(path)
    assert told in caught.value.one_line and str(path) in caught.value.one_line


def test_the_own_copy_in_the_data_folder_is_in_force(tmp_path, monkeypatch):
    """Found without being named, and read anew when it changes."""
    monkeypatch.setenv("RADMEASURE_DATA", str(tmp_path))
    assert "own" not in {s.name for s in load_post_sizes()}
    own(tmp_path, OWN)
    assert "own" in {s.name for s in load_post_sizes()}
    assert load_rulebook() is load_rulebook()
    assert not load_rulebook().changed
    (tmp_path / "rulebook.toml").write_text("[post.seal]\nvalue = 4.0\n")
    assert load_rulebook().value("post.seal") == 4.0
    assert set(load_rulebook().changed) == {"post.seal"}


def test_a_named_file_that_is_missing_is_refused(tmp_path):
    """Asking for a rulebook or table that is not there never falls back silently."""
    for load in (load_rulebook, load_post_sizes):
        with pytest.raises(RulebookError, match="does not exist"):
            load(tmp_path / "nowhere.toml")
