"""Keep the libraries that read films from talking: the program words what it meets itself."""

import logging
import warnings
from contextlib import contextmanager

_TALKATIVE = ("pydicom", "tifffile", "PIL", "imagecodecs")


@contextmanager
def quiet_libraries():
    """No warnings and no log lines of the reading libraries inside the block."""
    loggers = [logging.getLogger(name) for name in _TALKATIVE]
    before = [logger.disabled for logger in loggers]
    try:
        for logger in loggers:
            logger.disabled = True
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        for logger, disabled in zip(loggers, before, strict=True):
            logger.disabled = disabled
