"""A drawing as pixels, through Pillow (imported only when asked for)."""

import io
import itertools

from radmeasure.reports.drawing import Disc, Path, Text
from radmeasure.reports.fonts import font_path
from radmeasure.reports.palette import PENS, colour

# Shapes are drawn this much larger and shrunk, which smooths their edges.
_OVER = 3


def png_bytes(drawing, theme="paper", scale=2.0):
    """A PNG file's bytes of a drawing; ``scale`` px for each unit of the canvas."""
    stream = io.BytesIO()
    _image(drawing, theme, scale).save(stream, "PNG")
    return stream.getvalue()


def over_film(drawing, sheet, grey, theme="paper", scale=2.0):
    """A drawing over a film's picture.

    Parameters
    ----------
    drawing, sheet : Drawing, Sheet
        As :func:`radmeasure.reports.film_marks.film_marks` gives.
    grey : ndarray, shape (h, w), uint8
        The film as it is turned on the sheet.
    scale : float
        px for each unit of the canvas.

    Returns
    -------
    ndarray, shape (H, W, 3), uint8
    """
    import numpy as np

    return np.asarray(_image(drawing, theme, scale, (sheet, grey)))


def _image(drawing, theme, scale, film=None):
    from PIL import Image

    size = (round(drawing.width * scale), round(drawing.height * scale))
    large = (size[0] * _OVER, size[1] * _OVER)
    image = Image.new("RGB", large, colour("paper", theme))
    if film is not None:
        sheet, grey = film
        k = scale * _OVER
        place = [round(k * v) for v in (sheet.left, sheet.top, sheet.width, sheet.height)]
        image.paste(Image.fromarray(grey).resize(place[2:]), tuple(place[:2]))
    for shape in drawing.shapes:
        image = _draw(image, shape, drawing, theme, scale * _OVER)
    return image.resize(size, Image.Resampling.BOX)


def _draw(image, shape, drawing, theme, k):
    from PIL import ImageDraw

    pen = PENS[shape.pen]
    if isinstance(shape, Text):
        _text(ImageDraw.Draw(image), shape, drawing, theme, k)
        return image
    opacity = pen.opacity * getattr(shape, "opacity", 1.0)
    if pen.fill and opacity < 1:
        image = _translucent(image, shape, colour(pen.fill, theme), opacity, k)
    draw = ImageDraw.Draw(image)
    fill = colour(pen.fill, theme) if pen.fill and opacity >= 1 else None
    _solid(draw, shape, fill, k)
    if pen.stroke:
        _stroke(draw, shape, colour(pen.stroke, theme), pen, k)
    return image


def _scaled(shape, k):
    return [(x * k, y * k) for x, y in shape.points]


def _box(shape, k):
    (x, y), r = shape.at, shape.radius
    return [(x - r) * k, (y - r) * k, (x + r) * k, (y + r) * k]


def _solid(draw, shape, fill, k):
    if fill is None:
        return
    if isinstance(shape, Disc):
        draw.ellipse(_box(shape, k), fill=fill)
    elif isinstance(shape, Path) and shape.closed:
        draw.polygon(_scaled(shape, k), fill=fill)


def _translucent(image, shape, fill, opacity, k):
    from PIL import Image, ImageDraw

    mask = Image.new("L", image.size, 0)
    _solid(ImageDraw.Draw(mask), shape, round(255 * opacity), k)
    return Image.composite(Image.new("RGB", image.size, fill), image, mask)


def _stroke(draw, shape, ink, pen, k):
    width = max(1, round(pen.width * k))
    if isinstance(shape, Disc):
        draw.ellipse(_box(shape, k), outline=ink, width=width)
        return
    points = _scaled(shape, k)
    if shape.closed:
        points = [*points, points[0]]
    if not pen.dash:
        draw.line(points, fill=ink, width=width, joint="curve")
        return
    for start, end in dashes(points, [d * k for d in pen.dash]):
        draw.line([start, end], fill=ink, width=width)


def dashes(points, pattern):
    """Straight pieces of a dashed polyline.

    Examples
    --------
    >>> dashes([(0.0, 0.0), (5.0, 0.0)], [2.0, 1.0])
    [((0.0, 0.0), (2.0, 0.0)), ((3.0, 0.0), (5.0, 0.0))]
    """
    pieces, index, left = [], 0, pattern[0]
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        done = 0.0
        while length - done > 1e-9:
            step = min(left, length - done)
            if index % 2 == 0:
                a, b = done / length, (done + step) / length
                start = (x0 + a * (x1 - x0), y0 + a * (y1 - y0))
                pieces.append((start, (x0 + b * (x1 - x0), y0 + b * (y1 - y0))))
            done, left = done + step, left - step
            if left <= 1e-9:
                index += 1
                left = pattern[index % len(pattern)]
    return pieces


def _text(draw, shape, drawing, theme, k):
    from PIL import ImageFont

    pen = PENS[shape.pen]
    font = ImageFont.truetype(str(font_path(pen.strong)), round(drawing.size_of(pen) * k))
    anchor = {"start": "ls", "middle": "ms", "end": "rs"}[shape.anchor]
    at = (shape.at[0] * k, shape.at[1] * k)
    draw.text(at, shape.text, font=font, fill=colour(pen.stroke, theme), anchor=anchor)
