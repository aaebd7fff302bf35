"""One page in plain words, with the picture, for explaining a plan to a patient.

Nothing is promised and nothing recommended: what the picture shows, what is being
considered, what the picture cannot show, and room for notes.
"""

import io
from xml.sax.saxutils import escape

from radmeasure.reports import vocabulary
from radmeasure.reports.draw_pdf import draw, draw_picture, film_picture
from radmeasure.reports.figures import number
from radmeasure.reports.film_marks import film_marks
from radmeasure.reports.level_chart import plain_chart
from radmeasure.reports.pdf_style import MARGIN, PAGES, document, numbered, styles
from radmeasure.reports.phrases import say, translated

_PICTURE = 225.0
_GUTTER = 20.0
_NOTE_LINE, _NOTE_LINES = 20.0, 8


def patient_pdf(sheet, date, page="a4"):
    """The sheet as PDF bytes.

    Parameters
    ----------
    sheet : radmeasure.reports.pdf_record.Printed
    date : str
    page : str
        'a4' or 'letter'.
    """
    style = styles()
    inner = PAGES[page][0] - 2 * MARGIN
    stream = io.BytesIO()
    title = say("s_title", name=plain_name(sheet.evaluation.landmarks.tooth))
    box = (MARGIN, 40.0, inner, PAGES[page][1] - MARGIN - 40.0)
    book = document(stream, page, title, [("only", [box])])
    story = list(_story(sheet, title, inner, style))
    book.build(story, canvasmaker=numbered((say("s_foot", date=date),)))
    return stream.getvalue()


def plain_name(tooth):
    """'upper right central incisor'."""
    side = say("s_right" if tooth.right else "s_left")
    return say("s_upper" if tooth.upper else "s_lower", side=side, kind=translated(tooth.type_name))


def _story(sheet, title, inner, style):
    from reportlab.platypus import Paragraph

    evaluation = sheet.evaluation
    root = _root(sheet)
    yield Paragraph(escape(title), style["title"])
    yield _picture(sheet, root, inner)
    parts = (
        ("s_shows", shown(evaluation, root)),
        ("s_considered", considered(evaluation, root)),
        ("s_unknown", [say("s_flat")]),
        ("s_ask", [say("s_questions")]),
    )
    for heading, lines in parts:
        if lines:
            yield Paragraph(say(heading), style["plain_heading"])
        for line in lines:
            yield Paragraph(escape(line), style["plain"])
    yield Paragraph(say("s_notes"), style["plain_heading"])
    yield _notes(inner)


def _root(sheet):
    """The root that is spoken of: the chosen one, else one a post may go into."""
    roots = list(sheet.evaluation.landmarks.roots)
    chosen = sheet.root or sheet.evaluation.choice.root
    if chosen in roots:
        return chosen
    admitted = [s for s in sheet.evaluation.post_space if s.admitted]
    known = [s for s in admitted if s.deepest is not None] or admitted
    return known[0].root if known else next(iter(roots), None)


def shown(evaluation, root):
    """Sentences on what the picture shows, in plain words, without figures of length."""
    said = []
    for rule, by_verdict in vocabulary.PLAIN.items():
        found = [f for f in evaluation.findings if f.rule == rule and f.root in (None, root)]
        # The worse side speaks for both.
        for verdict in ("fails", "too_close", "meets"):
            if any(f.verdict == verdict for f in found):
                said += [translated(by_verdict[verdict])] if verdict in by_verdict else []
                break
    support = evaluation.reading("bone_support", root, "mean")
    if support is not None and support.quantity is not None:
        tens = 5 * round(support.quantity.value / 5)
        said.append(say("s_bone", percent=tens))
    return said or [say("s_nothing")]


def considered(evaluation, root):
    """Sentences on the post and on ways to gain tooth."""
    lines = []
    space = next((s for s in evaluation.post_space if s.root == root), None)
    if space is not None and space.deepest is not None and space.admitted:
        lines.append(say("s_post"))
        planned = space.planned
        if space.deepest.value <= 0:
            lines.append(say("s_no_room"))
        elif planned is not None and planned.chosen:
            lines.append(say("s_chosen", depth=f"{planned.depth_mm:g}"))
        else:
            lines.append(say("s_depth", depth=number(space.deepest.value, 0)))
        if space.clashes and space.deepest.value > 0:
            lines.append(say("s_clash"))
    gains = next((g for g in evaluation.gains if g.root == root), None)
    if gains is not None and gains.amount_mm > 0:
        lines.append(say("s_gain"))
    return lines


def _picture(sheet, root, inner):
    from reportlab.platypus import Flowable

    class Picture(Flowable):
        """Film on the left, the tooth drawn on the right."""

        def wrap(self, *_):
            return inner, _PICTURE + 10

        def draw(self):
            left = 0.56 * inner
            size = (sheet.film.width, sheet.film.height)
            landmarks = sheet.evaluation.landmarks
            names = vocabulary.LANDMARKS_PLAIN
            marks, place = film_marks(landmarks, size, (left, _PICTURE), 7.5, sheet.view, names)
            draw_picture(self.canv, film_picture(sheet.film, sheet.view), place, marks, 0, 0)
            draw(self.canv, marks, 0, 0)
            room = (inner - left - _GUTTER, _PICTURE)
            chart = plain_chart(sheet.evaluation, root, room, 8.0, sheet.view)
            draw(self.canv, chart, left + _GUTTER, 0)

    return Picture()


def _notes(inner):
    """Ruled lines to write on, as many as the page has room for."""
    from reportlab.platypus import Flowable

    from radmeasure.reports.palette import colour

    class Notes(Flowable):
        def wrap(self, _, height):
            self.lines = min(int(height // _NOTE_LINE), _NOTE_LINES)
            return inner, self.lines * _NOTE_LINE

        def draw(self):
            self.canv.setStrokeColor(colour("quiet", "paper"))
            self.canv.setLineWidth(0.4)
            for i in range(self.lines):
                self.canv.line(0, i * _NOTE_LINE + 1, inner, i * _NOTE_LINE + 1)

    return Notes()
