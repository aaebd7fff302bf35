"""Intraclass correlation and kappa, against the published examples."""

import numpy as np
import pytest
from scipy.stats import f_oneway

from radmeasure.errors import InputError
from radmeasure.teaching.kappa import crossed, kappa, kappa_words
from radmeasure.teaching.reliability import intraclass

# Four judges on six targets: Shrout & Fleiss, Psychol Bull 1979;86:420-428, table 2.
RATINGS = np.array(
    [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
)


def test_the_six_forms_are_those_of_shrout_and_fleiss():
    found = {form: round(value, 2) for form, value in intraclass(RATINGS).items()}
    published = {"1,1": 0.17, "2,1": 0.29, "3,1": 0.71, "1,k": 0.44, "2,k": 0.62, "3,k": 0.91}
    assert found == published


def test_the_first_form_follows_from_scipys_analysis_of_variance():
    """ICC(1,1) = (F - 1) / (F + k - 1) with F of the one-way analysis, in scipy.stats."""
    f = f_oneway(*RATINGS).statistic
    assert intraclass(RATINGS)["1,1"] == pytest.approx((f - 1) / (f + 3))


def test_a_constant_shift_of_one_judge_spares_the_third_form_alone():
    base = np.column_stack([np.arange(8.0), np.arange(8.0)])
    base[:, 1] += 3
    found = intraclass(base)
    assert found["3,1"] == pytest.approx(1)
    assert found["2,1"] < 0.8


def test_no_full_table_no_coefficient():
    for bad in ([[1.0, 2.0]], [[1.0], [2.0]], [[1, np.nan], [2, 3]]):
        with pytest.raises(ValueError, match="full table"):
            intraclass(bad)
    assert np.isnan(intraclass(np.ones((4, 3)))["1,1"])


# 200 patients in three classes, disagreement weights and both kappas:
# Cohen, Psychol Bull 1968;70:213-220, table 1 (proportions from memory).
COHEN = np.array([[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]])


def test_kappa_and_weighted_kappa_are_cohens():
    assert kappa(200 * COHEN) == pytest.approx(0.492, abs=0.0005)
    own = [[0, 1, 3], [1, 0, 6], [3, 6, 0]]
    assert kappa(200 * COHEN, own) == pytest.approx(0.348, abs=0.0005)


def test_kappa_by_its_definition():
    """(p_o - p_e) / (1 - p_e): Cohen, Educ Psychol Meas 1960;20:37-46; a textbook's table."""
    assert kappa([[20, 5], [10, 15]]) == pytest.approx((0.7 - 0.5) / (1 - 0.5))
    # one observed share, other marginals, another kappa (Feinstein & Cicchetti's paradox)
    first, second = kappa([[45, 15], [25, 15]]), kappa([[25, 35], [5, 35]])
    assert (round(first, 4), round(second, 4)) == (0.1304, 0.2593)


def test_quadratic_weights_give_the_intraclass_correlation():
    """Fleiss & Cohen, Educ Psychol Meas 1973;33:613-619: for many subjects they are equal."""
    draw = np.random.default_rng(3)
    true = draw.integers(0, 4, 20000)
    first, second = (np.clip(true + draw.integers(-1, 2, true.size), 0, 3) for _ in "ab")
    weighted = kappa(crossed(first, second, range(4)), "quadratic")
    assert weighted == pytest.approx(intraclass(np.column_stack([first, second]))["2,1"], abs=0.001)
    assert kappa(crossed(first, second, range(4)), "linear") < weighted


def test_two_classes_need_no_weights():
    table = [[20, 5], [10, 15]]
    assert kappa(table, "linear") == pytest.approx(kappa(table))
    assert kappa(table, "quadratic") == pytest.approx(kappa(table))


def test_one_class_only_is_not_perfect_agreement():
    assert np.isnan(kappa([[12, 0], [0, 0]]))
    assert kappa_words(float("nan")) == ""


@pytest.mark.parametrize(
    "weights", [np.zeros((2, 2)), np.eye(3), -np.ones((3, 3)) + np.eye(3)], ids=str
)
def test_weights_that_do_not_fit_are_refused(weights):
    with pytest.raises(InputError, match="weights"):
        kappa(COHEN, weights)


def test_words_are_those_of_landis_and_koch():
    """Biometrics 1977;33:159-174: bands in steps of 0.20."""
    words = {-0.1: "poor", 0.0: "slight", 0.2: "slight", 0.21: "fair", 0.5: "moderate"}
    words |= {0.8: "substantial", 0.81: "almost perfect", 1.0: "almost perfect"}
    assert {value: kappa_words(value) for value in words} == words
