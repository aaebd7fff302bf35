"""The record of a film as a PDF: pictures and what they mean, then every figure.

Page one carries the film with its landmarks, the level chart, the record in
sentences, what is missing, the scale, the rulebook and the cautions; page two
every reading with its uncertainty and the rules it was held against with their
sources.
"""

import io
from dataclasses import dataclass, field

from radmeasure.model.film import Film
from radmeasure.reports import phrases
from radmeasure.reports.draw_pdf import draw, draw_picture, film_picture
from radmeasure.reports.film_marks import film_marks
from radmeasure.reports.level_chart import VIEW, View, level_chart
from radmeasure.reports.pdf_style import MARGIN, PAGES, document, markup, numbered, styles
from radmeasure.reports.pdf_tables import figure_tables, gains_table, rulebook_lines
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.record import record
from radmeasure.reports.sentences import tooth_title

_PICTURE_HEIGHT = 236.0
_GUTTER = 16.0
_FOOT = 36.0
# Said in the tables of the second page.
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
    from reportlab.platypus import NextPageTemplate, PageBreak

    style = styles()
    story = []
    for i, sheet in enumerate(sheets):
        if i:
            story += [NextPageTemplate("first"), PageBreak()]
        story += _pages(sheet, date, page, style)
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
    book.build(story, canvasmaker=numbered(foot))
    return stream.getvalue()


def _frames(page):
    w, h = PAGES[page]
    inner = w - 2 * MARGIN
    column = (inner - _GUTTER) / 2
    top = h - MARGIN
    head = _PICTURE_HEIGHT + 78.0
    low = top - head - _FOOT
    first = [
        (MARGIN, top - head, inner, head),
        (MARGIN, _FOOT, column, low),
        (MARGIN + column + _GUTTER, _FOOT, column, low),
    ]
    return [("first", first), ("later", [(MARGIN, _FOOT, inner, top - _FOOT)])]


def _pages(sheet, date, page, style):
    from reportlab.platypus import FrameBreak, NextPageTemplate, Paragraph

    inner = PAGES[page][0] - 2 * MARGIN
    found = [
        *_head(sheet, date, style),
        _pictures(sheet, inner),
        FrameBreak(),
        NextPageTemplate("later"),
    ]
    said = record(sheet.evaluation, sheet.job)
    last = [p for key in ("p_open", "p_scale") for p in said if p.key == key]
    for paragraph in (*_told(sheet), *last):
        found += _paragraph(paragraph, style)
    found.append(Paragraph(say("pdf_rulebook"), style["heading"]))
    found += [Paragraph(line, style["quiet"]) for line in rulebook_lines(sheet.evaluation)]
    found.append(Paragraph(say("pdf_cautions"), style["heading"]))
    found += [Paragraph(translated(text), style["quiet"]) for text in phrases.CAUTIONS[:-1]]
    found.append(_leave_first())
    found += gains_table(sheet.evaluation, style, inner)
    found += figure_tables(sheet.evaluation, style, inner)
    return found


def _leave_first():
    """Go on to the next page, unless the text has run over there already."""
    from reportlab.platypus.doctemplate import ActionFlowable

    class LeaveFirst(ActionFlowable):
        def apply(self, doc):
            if doc.pageTemplate.id == "first":
                doc.handle_pageBreak()

    return LeaveFirst()


def _told(sheet):
    """The paragraphs of page one: what was planned or checked, not every length."""
    told = [p for p in record(sheet.evaluation, sheet.job) if p.key not in _IN_TABLES]
    followed = [p for p in sheet.paragraphs if not p.key.startswith("w_")]
    weighed = [p for p in sheet.paragraphs if p.key.startswith("w_")]
    return [*followed, *told, *weighed]


def _head(sheet, date, style):
    from reportlab.platypus import Paragraph

    tooth = sheet.evaluation.landmarks.tooth
    yield Paragraph(say("pdf_head", tooth=tooth.fdi, name=tooth_title(tooth)), style["title"])
    parts = [sheet.label, translated(sheet.role), sheet.visit, sheet.film.name]
    line = " · ".join(_escaped(part) for part in parts if part)
    yield Paragraph(line, style["sub"])
    named = ((translated(name.replace("_", " ")), value) for name, value in sheet.identity.items())
    who = [f"{name}: {value}" for name, value in named]
    yield Paragraph(_escaped(" · ".join(who)) or say("pdf_no_identity"), style["sub"])


def _escaped(text):
    from xml.sax.saxutils import escape

    return escape(text)


def _paragraph(paragraph, style):
    from reportlab.platypus import Paragraph

    yield Paragraph(_escaped(paragraph.title), style["heading"])
    for sentence in paragraph.sentences:
        yield Paragraph(markup(sentence), style["quiet" if sentence.quiet else "body"])


# -- pictures --------------------------------------------------------------------------------------


def _pictures(sheet, width):
    """Film on the left, level charts on the right."""
    from reportlab.platypus import Flowable

    class Pictures(Flowable):
        def wrap(self, *_):
            return width, _PICTURE_HEIGHT + 6

        def draw(self):
            draw_pictures(self.canv, sheet, width)

    return Pictures()


def draw_pictures(canvas, sheet, width):
    """The film with its marks and one chart, or two for a many-rooted tooth."""
    height = _PICTURE_HEIGHT
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
        chart = level_chart(sheet.evaluation, root, size=box, font_size=6.4, view=sheet.view)
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
