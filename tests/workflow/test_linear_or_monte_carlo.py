"""Where linear propagation is used it agrees with Monte Carlo; elsewhere the reading says so.

JCGM 101:2008, clause 8, validates the law of propagation by Monte Carlo on the same inputs.
"""

from pathlib import Path

import numpy as np
import pytest

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.rulebook import read_rulebook
from radmeasure.workflow import evaluate as workflow
from radmeasure.workflow.declare import declare, with_own_scale

SAMPLES = Path(__file__).parents[2] / "sample_images"
NAMES = sorted(path.name.split(".")[0] for path in SAMPLES.glob("*.landmarks.json"))
RULES = read_rulebook()
DRAWS = 20_000
# The standard deviation of n normal draws is known to 1 / sqrt(2 n): 0.5 %; three of them.
BY_CHANCE = 3 / np.sqrt(2 * DRAWS)


def drawn_u(landmarks):
    """Standard deviation of every reading over fresh draws of all inputs, by key."""
    model = declare(with_own_scale(landmarks, None, RULES)[0], RULES)
    sampling = model.inputs.draws(DRAWS, seed=11)
    run = workflow._Run(model, sampling, RULES, workflow.PlanChoice(), ())
    return {key: float(np.std(found.values[1:])) for key, found in run.table.items() if found}


@pytest.mark.parametrize("name", NAMES)
def test_linear_readings_agree_with_monte_carlo_within_two_per_cent(name):
    """u of every linear reading within 2 % of the draws' (and chance); the others say so."""
    landmarks = read_landmarks(SAMPLES / f"{name}.landmarks.json")
    by_draws = drawn_u(landmarks)
    linear = 0
    for reading in workflow.evaluate(landmarks, RULES).readings:
        if reading.quantity is None:
            continue
        assert ("Monte Carlo" in reading.method) == reading.quantity.by_monte_carlo, reading.key
        if not reading.quantity.by_monte_carlo:
            linear += 1
            ratio = reading.quantity.u / by_draws[reading.key]
            assert ratio == pytest.approx(1, abs=0.02 + BY_CHANCE), reading.key
    assert linear > (20 if landmarks.scale else 5)  # without a scale only ratios and angles
