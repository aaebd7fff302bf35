"""A value with its named sources of uncertainty, propagation and the decision rule.

Knows nothing of teeth or films; any package may import it.
"""

from radmeasure.quantity.decision import FAILS, MEETS, TOO_CLOSE, bounds, verdict
from radmeasure.quantity.quantity import (
    K95,
    Quantity,
    correlation,
    difference,
    difference_of_two,
    normal,
)
from radmeasure.quantity.sampling import Inputs, Sampling

__all__ = [
    "FAILS",
    "K95",
    "MEETS",
    "TOO_CLOSE",
    "Inputs",
    "Quantity",
    "Sampling",
    "bounds",
    "correlation",
    "difference",
    "difference_of_two",
    "normal",
    "verdict",
]
