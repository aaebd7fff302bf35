"""A drawing as SVG text."""

from xml.sax.saxutils import escape

from radmeasure.reports.drawing import Disc, Path, Text
from radmeasure.reports.palette import PENS, colour


def svg_text(drawing, theme="paper", background=True):
    """An SVG document of a drawing; text stays text.

    Parameters
    ----------
    drawing : Drawing
    theme : str
        'paper' or 'dark'.
    background : bool
        Fill the canvas with the theme's paper.
    """
    w, h = drawing.width, drawing.height
    body = [_shape(shape, drawing, theme) for shape in drawing.shapes]
    if background:
        body.insert(0, f'<rect width="{w:g}" height="{h:g}" fill="{colour("paper", theme)}"/>')
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w:g}" height="{h:g}" '
        f'viewBox="0 0 {w:g} {h:g}" font-family="DejaVu Sans, sans-serif" role="img">'
    )
    title = f"<title>{escape(drawing.words)}</title>"
    return "\n".join([head, title, *body, "</svg>"]) + "\n"


def _shape(shape, drawing, theme):
    if isinstance(shape, Text):
        return _text(shape, drawing, theme)
    if isinstance(shape, Path):
        return _path(shape, theme)
    if isinstance(shape, Disc):
        x, y = shape.at
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{shape.radius:.2f}" {_pen(shape, theme)}/>'
    raise TypeError(shape)


def _text(shape, drawing, theme):
    pen = PENS[shape.pen]
    weight = ' font-weight="bold"' if pen.strong else ""
    return (
        f'<text x="{shape.at[0]:.2f}" y="{shape.at[1]:.2f}" text-anchor="{shape.anchor}" '
        f'font-size="{drawing.size_of(pen):.2f}" fill="{colour(pen.stroke, theme)}"{weight}>'
        f"{escape(shape.text)}</text>"
    )


def _path(shape, theme):
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in shape.points)
    kind = "polygon" if shape.closed else "polyline"
    return f'<{kind} points="{points}" {_pen(shape, theme)}/>'


def _pen(shape, theme):
    pen = PENS[shape.pen]
    parts = [f'fill="{colour(pen.fill, theme)}"' if pen.fill else 'fill="none"']
    opacity = pen.opacity * getattr(shape, "opacity", 1.0)
    if pen.fill and opacity < 1:
        parts.append(f'fill-opacity="{opacity:.3f}"')
    if pen.stroke:
        parts.append(f'stroke="{colour(pen.stroke, theme)}" stroke-width="{pen.width:g}"')
        if pen.dash:
            parts.append(f'stroke-dasharray="{",".join(f"{d:g}" for d in pen.dash)}"')
    return " ".join(parts)
