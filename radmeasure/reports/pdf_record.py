"""The record of a film as a PDF: pictures and what they mean, then every figure.

The film with its landmarks and the level chart, the record in sentences with what is
missing and the scale, then every reading with its uncertainty and the rules it was
held against; at the end sources, rulebook and cautions, once for all films of a case.
"""

import io
from dataclasses import dataclass, field

from radmeasure.model.film import Film
from radmeasure.planning.post_roots import root_for_post
from radmeasure.quantity import FAILS
from radmeasure.reports import phrases
from radmeasure.reports.draw_pdf import draw, draw_picture, film_picture
from radmeasure.reports.film_marks import film_marks
from radmeasure.reports.level_chart import VIEW, View, level_chart
from radmeasure.reports.pdf_style import MARGIN, PAGES, document, markup, numbered, stacked, styles
from radmeasure.reports.pdf_tables import Sources, figure_tables, gains_table, rulebook_lines
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.record import JOBS, planned_spaces, record
from radmeasure.reports.sentences import tooth_title

_PICTURE_HEIGHT, _BRIEF_HEIGHT = 224.0, 172.0
_GUTTER = 16.0
# A record of one or two films is wanted on two pages: its print grows smaller, by as little
# as it takes.
_MOST_PAGES, _SCALES = 2, (0.95, 0.9, 0.86)
_FOOT = 36.0
# Said in the tables.
_IN_TABLES = ("p_lengths", "p_canal", "p_gain", "p_open", "p_scale")


@dataclass(frozen=True, eq=False)
class Printed:
    """What is printed of one tooth on one film.

    Attributes
    ----------
    film : Film
    evaluation : Evaluation
    label, role, visit : str
        The case's label, the film's part in the treatment and its visit.
    view : View
        How the film is turned.
    identity : mapping
        Identity fields to print; empty prints none.
    job : str or None
        What is told first.
    paragraphs : tuple of Paragraph
        What else belongs to the record, such as the worksheet.
    root : str or None
        Root whose chart is drawn large; the planned or first one without it.
    """

    film: Film
    evaluation: object
    label: str = ""
    role: str = ""
    visit: str = ""
    view: View = VIEW
    identity: dict = field(default_factory=dict)
    job: str | None = None
    paragraphs: tuple = ()
    root: str | None = None


def record_pdf(sheets, date, page="a4"):
    """The record as PDF bytes.

    Parameters
    ----------
    sheets : sequence of Printed
        One for each tooth and film, each beginning on a page of its own.
    date : str
        Printed as the date of the report.
    page : str
        'a4' or 'letter'.

    Returns
    -------
    bytes
    """
    at_full_size, pages = _built(sheets, date, page, 1.0)
    if pages <= _MOST_PAGES or len(sheets) > _MOST_PAGES:
        return at_full_size
    for scale in _SCALES:
        data, pages = _built(sheets, date, page, scale)
        if pages <= _MOST_PAGES:
            return data
    return at_full_size


def _built(sheets, date, page, scale):
    """(PDF, count of pages) with the print and pictures at a scale."""
    stream = io.BytesIO()
    first = sheets[0].evaluation
    tooth = first.landmarks.tooth
    title = say("pdf_title", tooth=tooth.fdi, name=tooth_title(tooth))
    book = document(stream, page, title, _frames(page), subject=say("pdf_subject"))
    rules = first.rulebook
    foot = (
        say("pdf_foot", version=rules.version, digest=rules.digest[:12], date=date),
        say("pdf_foot_caution"),
    )
    book.build(_story(sheets, page, scale), canvasmaker=numbered(foot))
    return stream.getvalue(), book.page


def _story(sheets, page, scale):
    from reportlab.platypus import PageBreak

    style, sources = styles(scale), Sources()
    story = []
    for i, sheet in enumerate(sheets):
        brief = len(sheets) > 1 or sheet.job == "length check"
        height = scale * (_BRIEF_HEIGHT if brief else _PICTURE_HEIGHT)
        story += [PageBreak()] if i else []
        story += _pages(sheet, brief, page, height, sources, style)
    return story + list(_end(sheets[0].evaluation, sources, style))


def _frames(page):
    w, h = PAGES[page]
    return [("page", [(MARGIN, _FOOT, w - 2 * MARGIN, h - MARGIN - _FOOT)])]


def _pages(sheet, brief, page, height, sources, style):
    """Head, pictures, what is said in two columns, then the tables."""
    inner = PAGES[page][0] - 2 * MARGIN
    evaluation = sheet.evaluation
    said = [f for paragraph in _told(sheet, brief) for f in _paragraph(paragraph, style)]
    return [
        *_head(sheet, style),
        _pictures(sheet, inner, height),
        _columns(said),
        *gains_table(evaluation, style, inner),
        *figure_tables(evaluation, planned_spaces(evaluation, sheet.job), sources, style, inner),
    ]


def _columns(flowables):
    from reportlab.platypus import BalancedColumns

    none = {f"{side}Padding": 0 for side in ("left", "right", "top", "bottom")}
    return BalancedColumns(flowables, needed=60, innerPadding=_GUTTER, **none)


def _end(evaluation, sources, style):
    """Sources, rulebook and cautions, once for all sheets."""
    from reportlab.platypus import KeepTogether, Paragraph

    parts = (
        ("pdf_sources", [sources.text], "cell_quiet"),
        ("pdf_rulebook", rulebook_lines(evaluation), "quiet"),
        ("pdf_cautions", [" ".join(map(translated, phrases.CAUTIONS[:-1]))], "quiet"),
    )
    for heading, lines, kind in parts:
        written = [Paragraph(line, style[kind]) for line in lines if line]
        if written:
            yield KeepTogether([Paragraph(say(heading), style["heading"]), *written])


def _told(sheet, brief):
    """What was planned or checked; not every length, and in brief only what matters here."""
    said = record(sheet.evaluation, sheet.job)
    followed = [p for p in sheet.paragraphs if not p.key.startswith("w_")]
    weighed = [p for p in sheet.paragraphs if p.key.startswith("w_")]
    last = [p for key in ("p_open", "p_scale") for p in said if p.key == key]
    told = [p for p in said if p.key not in _IN_TABLES and _matters(p, sheet, brief)]
    return [*followed, *told, *weighed, *last]


def _matters(paragraph, sheet, brief):
    """False for what the tables tell as well: roots that take no post, and in brief what is met."""
    planned = root_for_post(sheet.evaluation.post_space, sheet.evaluation.choice)
    if planned and paragraph.key == "p_bone" and paragraph.root != planned:
        return False
    asked = JOBS.get(sheet.job, ())[:2]
    fails = any(sentence.verdict == FAILS for sentence in paragraph.sentences)
    return not brief or paragraph.key in asked or fails


def _head(sheet, style):
    from reportlab.platypus import Paragraph

    tooth = sheet.evaluation.landmarks.tooth
    yield Paragraph(say("pdf_head", tooth=tooth.fdi, name=tooth_title(tooth)), style["title"])
    parts = [sheet.label, translated(sheet.role), sheet.visit, sheet.film.name]
    parts += [] if sheet.identity else [say("pdf_no_identity")]
    yield Paragraph(_escaped(" · ".join(part for part in parts if part)), style["sub"])
    named = ((translated(name.replace("_", " ")), value) for name, value in sheet.identity.items())
    if sheet.identity:
        who = " · ".join(f"{name}: {value}" for name, value in named)
        yield Paragraph(_escaped(who), style["sub"])


def _escaped(text):
    from xml.sax.saxutils import escape

    return escape(text)


def _paragraph(paragraph, style):
    from reportlab.platypus import Paragraph

    heading = Paragraph(_escaped(paragraph.title), style["heading"])
    first, *rest = (
        Paragraph(markup(sentence), style["quiet" if sentence.quiet else "body"])
        for sentence in paragraph.sentences
    )
    yield from (stacked([heading, first]), *rest)


# -- pictures --------------------------------------------------------------------------------------


def _pictures(sheet, width, height):
    """Film on the left, level charts on the right."""
    from reportlab.platypus import Flowable

    class Pictures(Flowable):
        def wrap(self, *_):
            return width, height + 6

        def draw(self):
            draw_pictures(self.canv, sheet, (width, height))

    return Pictures()


def draw_pictures(canvas, sheet, size):
    """The film with its marks and one chart, or two for a many-rooted tooth."""
    width, height = size
    roots = _roots(sheet)
    share = 0.5 if len(roots) < 2 else 0.38
    left = width * share
    landmarks = sheet.evaluation.landmarks
    size = (sheet.film.width, sheet.film.height)
    marks, place = film_marks(landmarks, size, (left, height), 5.6, sheet.view)
    draw_picture(canvas, film_picture(sheet.film, sheet.view), place, marks, 0, 0)
    draw(canvas, marks, 0, 0)
    room = width - left - _GUTTER
    for i, root in enumerate(roots):
        part = room / len(roots)
        box = (part - (8 if i + 1 < len(roots) else 0), height)
        chart = level_chart(sheet.evaluation, root, size=box, font_size=6.8, view=sheet.view)
        draw(canvas, chart, left + _GUTTER + i * part, 0)
        if not chart:
            _why(canvas, chart.why, left + _GUTTER, height / 2, room)


def _roots(sheet):
    """At most two roots to draw: the planned one first."""
    roots = list(sheet.evaluation.landmarks.roots)
    planned = sheet.root or sheet.evaluation.choice.root
    if planned in roots:
        return [planned]
    open_to_posts = [s.root for s in sheet.evaluation.post_space if s.admitted]
    return (open_to_posts or roots or [""])[:2]


def _why(canvas, why, x, y, width):
    from reportlab.platypus import Paragraph

    text = Paragraph(why, styles()["quiet"])
    text.wrapOn(canvas, width, 100)
    text.drawOn(canvas, x, y)
