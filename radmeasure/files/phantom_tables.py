"""Reads the data the synthetic films need from ``calibration/``."""

import csv
import tomllib

import numpy as np

from radmeasure.files.shipped import shipped


def anatomy():
    """``calibration/anatomy.toml`` as a nested mapping."""
    return tomllib.loads(shipped("calibration", "anatomy.toml").read_text(encoding="utf-8"))


def columns(name):
    """A table of numbers of ``calibration/``: mapping of column name to ndarray."""
    with open(shipped("calibration", name), newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    values = np.array([[float(cell) for cell in row] for row in rows[1:]])
    return dict(zip(rows[0], values.T))
