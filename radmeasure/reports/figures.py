"""Numbers into text: the only place where a number becomes words or digits.

Digits follow the expanded uncertainty: one significant digit of it, two when it
begins with 1 (common practice, no source), and never finer than a reader can use
(:data:`_FINEST`). Cutting digits never makes the uncertainty look much smaller.
"""

import math
import re

from radmeasure.quantity import K95
from radmeasure.reports.language import decimal, translated
from radmeasure.reports.phrases import say

NO_BREAK = "\u00a0"
# Marks that stand beside a sentence or figure; colour never tells alone.
MARKS = {"meets": "✓", "fails": "✗", "too_close": "?", "": ""}
UNITS = {"mm": "mm", "mm2": "mm²", "deg": "°", "%": "%", "1": ""}
# Decimals beyond these say nothing to a reader.
_FINEST = {"mm": 2, "mm2": 1, "deg": 1, "%": 1, "1": 2}
_LONG_MM = 5.0
# Halves of an interval that differ by more than this are shown as an interval, not as ±.
_LOPSIDED = 1.25
# A setting is a choice: its uncertainty stands with the length behind it.
_CHOSEN = ("stop_setting",)


def unbroken(text):
    """``text`` with spaces that keep a figure, its uncertainty and its unit on one line."""
    text = re.sub(r"(\d) (mm²|mm|%|±)", rf"\1{NO_BREAK}\2", text)
    return re.sub(r"± (\d)", rf"±{NO_BREAK}\1", text)


def decimals(expanded, unit="mm", value=0.0):
    """How many decimals a value with this expanded uncertainty is shown with.

    Examples
    --------
    >>> decimals(0.41), decimals(0.14), decimals(3.2), decimals(0.14, value=22.0)
    (1, 2, 0, 1)
    """
    finest = _FINEST.get(unit, 2)
    if unit == "mm" and abs(value) >= _LONG_MM:
        finest = 1
    if not math.isfinite(expanded) or expanded <= 0:
        return finest
    place = math.floor(math.log10(expanded))
    if round(expanded / 10**place, 1) < 2:
        place -= 1
    return min(max(-place, 0), finest)


def number(value, places):
    """A number with a fixed count of decimals, never '-0.0'.

    Examples
    --------
    >>> number(-0.02, 1), number(3.14159, 2)
    ('0.0', '3.14')
    """
    text = f"{value:.{places}f}"
    return decimal(text.lstrip("-") if float(text) == 0 else text.replace("-", "−"))


def plain(value):
    """A number in as many digits as it has, four at most: '5', '24.25'."""
    return decimal(f"{value:.4g}".replace("-", "−"))


def measure(value, unit, places=None):
    """A bare number with its unit: '5 mm', '33 %', '2:3'.

    Examples
    --------
    >>> measure(5.0, "mm"), measure(24.25, "deg", 0), measure(0.6667, "1")
    ('5 mm', '24°', '2:3')
    """
    if unit == "1" and places is None:
        for ratio, words in ((1.0, "1:1"), (2 / 3, "2:3"), (0.5, "1:2")):
            if abs(value - ratio) < 1e-3:
                return words
    text = plain(value) if places is None else number(value, places)
    return _with_unit(text, unit)


def _with_unit(text, unit):
    sign = translated(UNITS.get(unit, unit))
    return f"{text}{sign}" if sign in ("", "°") else f"{text} {sign}"


def quantity_text(quantity, unit):
    """'23.4 ± 0.4 mm', or '27 mm (15 to 95)' where the interval is lopsided.

    Parameters
    ----------
    quantity : Quantity
        The figure after ± is the expanded uncertainty at 95 %.
    unit : str
        'mm', 'mm2', 'deg', '%' or '1'.

    Examples
    --------
    >>> from radmeasure.quantity import normal
    >>> quantity_text(normal(23.412, 0.21), "mm"), quantity_text(normal(69.2, 1.5), "%")
    ('23.4 ± 0.4 mm', '69 ± 3 %')
    """
    low, high = quantity.interval95
    below, above = quantity.value - low, high - quantity.value
    if _lopsided(below, above):
        places = decimals(min(max(below, 0), above) or above, unit, quantity.value)
        text = _with_unit(number(quantity.value, places), unit)
        return f"{text} ({number(low, places)} {_to()} {number(high, places)})"
    return plus_minus(quantity.value, quantity.expanded, unit)


def _lopsided(below, above):
    least, most = min(below, above), max(below, above)
    return most > 0 and (least <= 0 or most / least > _LOPSIDED)


def _to():
    return say("between", low="", high="").strip()


def plus_minus(value, expanded, unit):
    """'1.21 ± 0.07' with digits that suit the expanded uncertainty."""
    places = decimals(expanded, unit, value)
    step = 10.0**-places
    shown = round(expanded, places)
    if shown < 0.95 * expanded:
        shown += step
    if shown == 0:  # stated by a rule, not measured
        return measure(value, unit, None if unit != "1" else 2)
    return _with_unit(f"{number(value, places)} ± {number(shown, places)}", unit)


def value_text(reading, absolute=False):
    """Value, uncertainty and unit of a reading; '' when it is missing.

    ``absolute`` drops the sign, for sentences that say 'beyond' or 'below'.
    """
    quantity = reading.quantity
    if quantity is None:
        return ""
    if reading.id in _CHOSEN:
        return measure(quantity.value, reading.unit)
    return (size_text if absolute else quantity_text)(quantity, reading.unit)


def size_text(quantity, unit):
    """As :func:`quantity_text` without the sign, for words that say which way it lies."""
    return quantity_text(_Turned(quantity) if quantity.value < 0 else quantity, unit)


class _Turned:
    """A quantity with its sign turned, for text only."""

    def __init__(self, quantity):
        low, high = quantity.interval95
        self.value, self.interval95 = -quantity.value, (-high, -low)
        self.expanded = quantity.expanded


def stated_text(value, u, unit):
    """As :func:`quantity_text` for a value and its standard uncertainty."""
    return plus_minus(value, K95 * u, unit)


def percent(part, places=0):
    """A share as per cent, without the sign: 0.031 -> '3'."""
    return number(100 * part, places)


def limit_text(relation, limit, unit):
    """A limit in words.

    Examples
    --------
    >>> limit_text("between", (0.0, 2.0), "mm"), limit_text("at_most", 33.0, "%")
    ('0 to 2 mm', 'at most 33 %')
    """
    if relation == "between":
        low, high = limit
        if low == -high:
            return say("either_way", limit=measure(high, unit))
        return say("between", low=plain(low), high=measure(high, unit))
    return say(relation, limit=measure(limit, unit))


def probability_text(p):
    """'31 % likely'; never 0 or 100 %, and never rounded across the customary 5 and 95 %.

    Examples
    --------
    >>> probability_text(0.312), probability_text(0.9999)
    ('31 % likely', 'over 99 % likely')
    """
    if p < 0.01:
        return say("probability_under", percent="1")
    if p > 0.99:
        return say("probability_over", percent="99")
    return say("probability", percent=chance_text(p).split(NO_BREAK)[0])


def chance_text(p):
    """A probability as short as a table wants it: '31 %'."""
    shown = round(100 * p)
    if 0.05 < p < 0.95:
        shown = min(max(shown, 6), 94)
    return f"{shown}{NO_BREAK}%"


def depth_text(depth_mm):
    """A depth without uncertainty, such as a chosen one: '8.0 mm'."""
    return measure(depth_mm, "mm", 1)
