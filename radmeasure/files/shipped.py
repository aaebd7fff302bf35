"""Where the data shipped with the program lives."""

from pathlib import Path

from radmeasure.errors import InputError

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(*parts):
    """Path of a file or folder of the top-level data (``calibration``, ``sample_images``).

    A wheel carries a copy inside the package; a source tree has the one original.

    Raises
    ------
    InputError
        The installation is incomplete.
    """
    for base in (_PACKAGE / "_shipped", _PACKAGE.parent):
        path = base.joinpath(*parts)
        if path.exists():
            return path
    raise InputError(
        f"the installation lacks {'/'.join(parts)}", "install radmeasure again from a whole wheel"
    )
