"""A drawing on a ReportLab canvas, with a film's grey picture under it where wanted."""

import io

import numpy as np

from radmeasure.reports.drawing import Disc, Path, Text
from radmeasure.reports.fonts import BOLD, REGULAR, font_path
from radmeasure.reports.palette import PENS, colour

# A film is printed with at most this many px on its longer side.
MOST_PX = 1800


def register_fonts():
    """Make DejaVu Sans known to ReportLab; needed before any text is set."""
    from reportlab.lib.fonts import addMapping
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for strong, name in ((False, REGULAR), (True, BOLD)):
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(font_path(strong))))
    # There is no slanted cut; the upright mapping comes last, so that it is the one read back.
    for slanted in (1, 0):
        addMapping(REGULAR, 0, slanted, REGULAR)
        addMapping(REGULAR, 1, slanted, BOLD)


def film_picture(film, view):
    """Grey levels of a film as it is shown, (H, W) uint8, reduced for print by whole steps."""
    grey = np.asarray(film.default_table)[film.pixels]
    grey = np.rot90(grey, -view.turns)
    grey = np.fliplr(grey) if view.mirrored else grey
    step = -(-max(grey.shape) // MOST_PX)
    if step > 1:
        h, w = (n // step * step for n in grey.shape)
        blocks = grey[:h, :w].reshape(h // step, step, w // step, step)
        grey = np.round(blocks.mean(axis=(1, 3)))
    return np.ascontiguousarray(grey, dtype=np.uint8)


def draw(canvas, drawing, x, y, theme="paper"):
    """Draw with the lower left corner of the drawing's canvas at (x, y) points."""
    canvas.saveState()
    canvas.translate(x, y)
    for shape in drawing.shapes:
        _shape(canvas, shape, drawing, theme)
    canvas.restoreState()


def draw_picture(canvas, grey, sheet, drawing, x, y):
    """Put a film's grey picture where a :class:`~radmeasure.reports.film_marks.Sheet` wants it."""
    from PIL import Image
    from reportlab.lib.utils import ImageReader

    stream = io.BytesIO()
    Image.fromarray(grey, "L").save(stream, "PNG")
    stream.seek(0)
    bottom = drawing.height - sheet.top - sheet.height
    canvas.drawImage(ImageReader(stream), x + sheet.left, y + bottom, sheet.width, sheet.height)


def _shape(canvas, shape, drawing, theme):
    pen = PENS[shape.pen]
    if isinstance(shape, Text):
        _text(canvas, shape, pen, drawing, theme)
        return
    opacity = pen.opacity * getattr(shape, "opacity", 1.0)
    stroke, fill = bool(pen.stroke), bool(pen.fill)
    if stroke:
        canvas.setStrokeColor(colour(pen.stroke, theme))
        canvas.setLineWidth(pen.width)
        canvas.setDash(list(pen.dash))
        canvas.setLineJoin(1)
    if fill:
        canvas.setFillColor(colour(pen.fill, theme))
        canvas.setFillAlpha(opacity)
    if isinstance(shape, Disc):
        cx, cy = shape.at
        canvas.circle(cx, drawing.height - cy, shape.radius, stroke=stroke, fill=fill)
    elif isinstance(shape, Path):
        _path(canvas, shape, drawing, stroke, fill)
    else:
        raise TypeError(shape)
    if fill:
        canvas.setFillAlpha(1.0)


def _path(canvas, shape, drawing, stroke, fill):
    path = canvas.beginPath()
    (x0, y0), *rest = shape.points
    path.moveTo(x0, drawing.height - y0)
    for x, y in rest:
        path.lineTo(x, drawing.height - y)
    if shape.closed:
        path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill and shape.closed)


def _text(canvas, shape, pen, drawing, theme):
    canvas.setFillColor(colour(pen.stroke, theme))
    canvas.setFont(BOLD if pen.strong else REGULAR, drawing.size_of(pen))
    x, y = shape.at[0], drawing.height - shape.at[1]
    put = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }
    put[shape.anchor](x, y, shape.text)
