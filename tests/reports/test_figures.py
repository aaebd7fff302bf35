"""A number becomes text in one place, with digits that suit its uncertainty."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from radmeasure.model.reading import Reading
from radmeasure.quantity import Quantity, normal
from radmeasure.reports import figures

_FINITE = st.floats(-200, 200).filter(lambda v: abs(v) > 1e-6)
_U = st.floats(1e-3, 50)


@pytest.mark.parametrize(
    ("value", "u", "unit", "text"),
    [
        (20.5, 0.2, "mm", "20.5 ± 0.4 mm"),
        (3.1, 0.2, "mm", "3.1 ± 0.4 mm"),
        (69.2, 1.53, "%", "69 ± 3 %"),
        (1.214, 0.036, "1", "1.21 ± 0.07"),
        (26.77, 1.6, "deg", "27 ± 3°"),
        (17.2, 2.5, "mm2", "17 ± 5 mm²"),
        (1.1, 0.0, "mm", "1.1 mm"),
        (0.95, 0.067, "mm", "0.95 ± 0.13 mm"),
    ],
)
def test_value_and_expanded_uncertainty(value, u, unit, text):
    """Digits follow the expanded uncertainty: one digit of it, two when it begins with 1."""
    assert figures.quantity_text(normal(value, u), unit) == text


def test_lopsided_interval_is_shown_as_one():
    """A Monte Carlo result that is not symmetrical gets no ±, which would mislead."""
    radius = Quantity(27.0, 20.0, (15.2, 94.8))
    assert figures.quantity_text(radius, "mm") == "27 mm (15 to 95)"


def test_shown_uncertainty_is_never_much_smaller_than_the_true_one():
    """Rounding may not flatter: JCGM 100:2008, 7.2.6 rounds up where rounding down misleads."""

    @given(_FINITE, _U, st.sampled_from(["mm", "%", "deg", "mm2", "1"]))
    def check(value, u, unit):
        text = figures.stated_text(value, u, unit)
        shown = float(text.split("±")[1].split("°")[0].split()[0]) if "±" in text else 0.0
        assert shown >= 0.95 * 1.959964 * u - 1e-9

    check()


@given(_FINITE, _U)
def test_shown_value_lies_within_the_shown_uncertainty(value, u):
    """Rounding moves a value by less than its own expanded uncertainty."""
    text = figures.stated_text(value, u, "mm")
    shown = float(text.split()[0].replace("−", "-"))
    assert abs(shown - value) <= max(1.96 * u, 0.05) + 1e-9


def test_minus_sign_and_zero():
    """A negative figure carries a true minus sign; a rounded zero carries none."""
    assert figures.number(-1.25, 1) == "−1.2"
    assert figures.number(-0.04, 1) == "0.0"


def test_a_setting_has_no_uncertainty_of_its_own():
    """The stop's setting is a choice; its uncertainty is that of the working length."""
    reading = Reading("stop_setting", "single", None, "mm", quantity=normal(20.5, 0.3))
    assert figures.value_text(reading) == "20.5 mm"


def test_a_missing_reading_has_no_text():
    reading = Reading("tooth_length", "single", None, "mm", missing=("apex",))
    assert figures.value_text(reading) == ""


@pytest.mark.parametrize(
    ("relation", "limit", "unit", "text"),
    [
        ("between", (0.0, 2.0), "mm", "0 to 2 mm"),
        ("between", (-1.0, 1.0), "mm", "within 1 mm either way"),
        ("at_least", 5.0, "mm", "at least 5 mm"),
        ("at_most", 33.0, "%", "at most 33 %"),
        ("at_most", 1.0, "1", "at most 1:1"),
        ("at_most", 0.6667, "1", "at most 2:3"),
    ],
)
def test_limits_in_words(relation, limit, unit, text):
    assert figures.limit_text(relation, limit, unit) == text


def test_probability_is_never_certain():
    """0 and 100 % are never claimed."""
    assert figures.probability_text(0.0) == "under 1 % likely"
    assert figures.probability_text(1.0) == "over 99 % likely"
    assert figures.probability_text(0.312) == "31 % likely"


def test_figure_and_unit_stay_on_one_line():
    assert figures.unbroken("5.2 ± 0.6 mm of") == "5.2\u00a0±\u00a00.6\u00a0mm of"


def test_infinite_uncertainty_does_not_break_the_text():
    assert "mm" in figures.measure(12.0, "mm")
    assert figures.decimals(math.inf) >= 0


@pytest.mark.parametrize(("p", "shown"), [(0.9489, "94"), (0.0511, "6"), (0.951, "95")])
def test_probability_is_not_rounded_across_a_verdict(p, shown):
    """95 % is the customary certainty (JCGM 106:2012 leaves it open): 94.9 % must not look met."""
    assert figures.probability_text(p) == f"{shown} % likely"
