"""Evaluates drawn teeth with the shipped rulebook, for the tests of the plan."""

from functools import cache

from radmeasure.files.post_sizes import read_post_sizes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.case import PlanChoice
from radmeasure.workflow.evaluate import evaluate

SIZES = read_post_sizes()


@cache
def rules():
    """The shipped rulebook alone."""
    return read_rulebook()


def evaluated(tooth, live=True, rulebook=None, sizes=SIZES, **choice):
    """Evaluation of a DrawnTooth or of Landmarks, with a choice by field name."""
    landmarks = tooth.landmarks() if hasattr(tooth, "landmarks") else tooth
    return evaluate(
        landmarks, rulebook or rules(), choice=PlanChoice(**choice), sizes=sizes, live=live
    )


def space_of(tooth, root="single", **more):
    """Post space of one root."""
    return next(s for s in evaluated(tooth, **more).post_space if s.root == root)


def limit_mm(space, rule):
    """Value of one limit, mm; None when it could not be worked out."""
    quantity = space.limit(rule).quantity
    return None if quantity is None else quantity.value
