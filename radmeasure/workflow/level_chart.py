"""The level chart for a front: shapes, pens and handles, and its export as a picture."""

from radmeasure.files.text import write_whole
from radmeasure.reports.chart_gain import MOST_GAIN_MM
from radmeasure.reports.drawing import Disc, Drawing, Handle, Path, Text
from radmeasure.reports.level_chart import View, level_chart
from radmeasure.reports.palette import PENS, Pen, colour

__all__ = [
    "MOST_GAIN_MM",
    "PENS",
    "Disc",
    "Drawing",
    "Handle",
    "Path",
    "Pen",
    "Text",
    "View",
    "colour",
    "level_chart",
    "write_chart",
]


def write_chart(path, drawing, theme="paper", scale=3.0):
    """Write a chart as SVG, or as PNG with ``scale`` px per unit, by the name's ending.

    Raises
    ------
    OutputError
        Nothing was written.
    """
    if str(path).lower().endswith(".svg"):
        from radmeasure.reports.draw_svg import svg_text

        write_whole(path, svg_text(drawing, theme))
    else:
        from radmeasure.reports.draw_png import png_bytes

        write_whole(path, png_bytes(drawing, theme, scale))
