"""Every value the model takes from anatomy or physics names its source and how far to trust it."""

import re

import pytest

from radmeasure.model.tooth import Tooth
from radmeasure.workflow.synthesise import tables

ANATOMY = tables().anatomy
TRUST = {"read", "memory", "derived", "computed", "assumption", "practice"}
GROUPS = ("tooth", "roots", "value", "form", "composition")
SECTIONS = ("canal", "alveolus", "receptor", "scintillator")


def rows():
    for group in GROUPS:
        for name, row in ANATOMY[group].items():
            yield f"{group}.{name}", row
    for name in SECTIONS:
        yield name, ANATOMY[name]


@pytest.mark.parametrize(
    ("name", "row"), list(rows()), ids=lambda v: v if isinstance(v, str) else ""
)
def test_a_value_has_a_known_source_and_a_trust_word(name, row):
    cited = set(re.findall(r"[a-z]+\d*", row["source"])) - {"density"}
    assert cited, name
    assert cited <= set(ANATOMY["source"]), (name, cited)
    assert set(re.findall(r"[a-z]+", row["trust"])) & TRUST, name


def test_every_permanent_tooth_has_its_sizes():
    """Both jaws, eight types; single and several roots."""
    for quadrant in "14":
        for position in "12345678":
            row = ANATOMY["tooth"][Tooth(quadrant + position).jaw_type]
            assert {"crown", "root", "crown_md", "cervix_md", "crown_bl", "cervix_bl"} <= set(row)


def test_average_sizes_of_teeth():
    """Wheeler's Dental Anatomy, measurements of crown and root, mm (read; 45 from memory)."""
    printed = {
        "11": (10.5, 13.0),
        "12": (9.0, 13.0),
        "13": (10.0, 17.0),
        "14": (8.5, 14.0),
        "15": (8.5, 14.0),
        "41": (9.5, 12.5),
        "42": (9.5, 14.0),
        "43": (11.0, 16.0),
        "44": (8.5, 14.0),
        "45": (8.0, 14.5),
    }
    for fdi, sizes in printed.items():
        row = ANATOMY["tooth"][Tooth(fdi).jaw_type]
        assert (row["crown"], row["root"]) == sizes, fdi


def test_compositions_add_up():
    """Weights of each material make 100 per cent."""
    for name, row in ANATOMY["composition"].items():
        assert sum(row["percent"].values()) == pytest.approx(100, abs=0.6), name
