"""Reads the table of post sizes (TOML): plain geometry, no makers, and a practice's own table.

::

    use_shipped = true          # in an own table: false leaves the shipped sizes out

    [[post]]
    name = "tapered 0.8 / 4 %"
    tip_mm = 0.8                # diameter at the tip
    taper_mm_per_mm = 0.04      # diameter gained per mm above the tip; 0 when not given
    length_mm = 20              # longest use; no limit when not given
"""

import math
import tomllib

from radmeasure.errors import RulebookError
from radmeasure.files.shipped import shipped
from radmeasure.files.text import read_bytes
from radmeasure.model.plan import PostSize

# Lowest and highest plausible value, mm (mm per mm for the taper).
_RANGES = {"tip_mm": (0.2, 4.0), "taper_mm_per_mm": (0.0, 0.3), "length_mm": (1.0, 40.0)}
_KEYS = ("name", *_RANGES)
_TOP = ("post", "use_shipped")


def read_post_sizes(own=None):
    """The shipped post sizes, and those of a practice's own table over them.

    Parameters
    ----------
    own : path, optional
        An own table. A size of the same name replaces the shipped one, others are added.

    Returns
    -------
    tuple of PostSize
        In the order of the tables.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    sizes = {size.name: size for size in _read(shipped("calibration", "posts.toml"))[0]}
    if own is not None:
        added, use_shipped = _read(own)
        if not use_shipped:
            sizes = {}
        sizes.update({size.name: size for size in added})
        if not sizes:
            raise RulebookError(f"{own} leaves no post size", "add one [[post]]")
    return tuple(sizes.values())


def _read(path):
    """(sizes, use_shipped) of one table."""
    text = read_bytes(path, "table of post sizes", RulebookError)
    try:
        data = tomllib.loads(text.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as cause:
        raise RulebookError(f"{path} is not valid TOML ({cause})", "correct it") from None
    for key in data:
        if key not in _TOP:
            raise RulebookError(f"{path}: unknown key {key!r}", f"known: {', '.join(_TOP)}")
    use_shipped = data.get("use_shipped", True)
    if not isinstance(use_shipped, bool):
        raise RulebookError(f"{path}: use_shipped is {use_shipped!r}", "give true or false")
    entries = data.get("post", [])
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        raise RulebookError(f"{path}: post is not a list of tables", "write each as [[post]]")
    sizes, names = [], set()
    for number, entry in enumerate(entries, 1):
        size = _size(entry, number, path)
        if size.name in names:
            raise RulebookError(f"{path}: post {size.name!r} stands there twice", "rename one")
        names.add(size.name)
        sizes.append(size)
    return sizes, use_shipped


def _size(entry, number, path):
    name = entry.get("name")
    if not isinstance(name, str) or not name.strip():
        raise RulebookError(f"{path}: post {number} has no name", 'give name = "..."')

    def refuse(reason, do):
        raise RulebookError(f"{path}: post {name!r}: {reason}", do)

    for key in entry:
        if key not in _KEYS:
            refuse(f"unknown key {key!r}", f"known: {', '.join(_KEYS)}")
    if "tip_mm" not in entry:
        refuse("tip_mm is missing", "give the diameter at the tip in mm")
    numbers = {}
    for key, (low, high) in _RANGES.items():
        value = entry.get(key)
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            refuse(f"{key} is {value!r}", "give a number")
        if not math.isfinite(value) or not low <= value <= high:
            refuse(f"{key} is {value:g}, outside {low:g} to {high:g}", "check the entry")
        numbers[key] = float(value)
    return PostSize(name.strip(), **numbers)
