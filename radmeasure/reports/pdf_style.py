"""Page, paragraph styles and page furniture shared by all printed sheets."""

from xml.sax.saxutils import escape

from radmeasure import __version__
from radmeasure.reports.draw_pdf import register_fonts
from radmeasure.reports.figures import MARKS, unbroken
from radmeasure.reports.fonts import BOLD, REGULAR
from radmeasure.reports.palette import THEMES
from radmeasure.reports.phrases import say

MARGIN = 40.0
PAGES = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}
_COLOURS = {"meets": "green", "fails": "vermilion", "too_close": "blue", "": "ink"}
_PAPER = THEMES["paper"]


def styles(scale=1.0):
    """Paragraph styles by name; ``scale`` sets the print smaller."""
    from reportlab.lib.styles import ParagraphStyle

    register_fonts()

    def make(name, size, leading, colour="ink", font=REGULAR, **more):
        return ParagraphStyle(
            name,
            fontName=font,
            bulletFontName=REGULAR,
            bulletFontSize=size * scale,
            bulletIndent=0,
            fontSize=size * scale,
            leading=leading * scale,
            textColor=_PAPER[colour],
            **more,
        )

    return {
        "title": make("title", 15, 19, font=BOLD),
        "sub": make("sub", 8, 11, "quiet"),
        "heading": make(
            "heading", 9.5, 12, font=BOLD, spaceBefore=5, spaceAfter=1.5, keepWithNext=1
        ),
        "over_table": make("over_table", 9.5, 12, font=BOLD, spaceBefore=7, spaceAfter=2),
        "body": make("body", 7.7, 9.9, spaceAfter=1.4, leftIndent=11),
        "quiet": make("quiet", 6.9, 8.6, "quiet", spaceAfter=1.2, leftIndent=11),
        "cell": make("cell", 7.2, 8.8),
        "cell_quiet": make("cell_quiet", 6.6, 8.2, "quiet"),
        "cell_head": make("cell_head", 7.2, 8.8, font=BOLD),
        "run_on": make("run_on", 7.2, 9.6, spaceBefore=3),
        "plain": make("plain", 10.5, 14.5, spaceAfter=4),
        "plain_heading": make("plain_heading", 12, 15, font=BOLD, spaceBefore=10, spaceAfter=3),
        "plain_small": make("plain_small", 8.5, 11.5, "quiet", spaceAfter=3),
    }


def markup(sentence):
    """A Sentence as ReportLab markup: strong parts bold, its verdict's mark in front."""
    body = "".join(f"<b>{escape(t)}</b>" if strong else escape(t) for t, strong in sentence.parts)
    mark = MARKS[sentence.verdict]
    if not mark:
        return unbroken(body)
    ink = _PAPER[_COLOURS[sentence.verdict]]
    return f'<bullet font="{BOLD}" color="{ink}">{mark}</bullet>{unbroken(body)}'


def mark_text(verdict, text):
    """A verdict's mark and text, for table cells."""
    ink = _PAPER[_COLOURS[verdict]]
    return f'<font color="{ink}"><b>{MARKS[verdict]}</b></font> {escape(text)}'


def stacked(flowables):
    """Flowables as one that no column or page parts: a heading with what follows it."""
    from reportlab.platypus import Flowable

    class Stacked(Flowable):
        def wrap(self, width, height):
            self._heights = [
                f.getSpaceBefore() * bool(i) + f.wrap(width, height)[1]
                for i, f in enumerate(flowables)
            ]
            return width, sum(self._heights)

        def getSpaceBefore(self):
            return flowables[0].getSpaceBefore()

        def getSpaceAfter(self):
            return flowables[-1].getSpaceAfter()

        def draw(self):
            y = sum(self._heights)
            for flowable, height in zip(flowables, self._heights, strict=True):
                y -= height
                flowable.drawOn(self.canv, 0, y)

    return Stacked()


def document(path, page, title, frames, subject=""):
    """A ReportLab document; ``frames`` is a list of (page name, list of boxes (x, y, w, h))."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    none = {f"{side}Padding": 0 for side in ("left", "right", "top", "bottom")}
    templates = [
        PageTemplate(
            id=name,
            frames=[Frame(*box, **none, id=f"{name} {i}") for i, box in enumerate(boxes)],
        )
        for name, boxes in frames
    ]
    return BaseDocTemplate(
        path,
        pagesize=PAGES[page],
        pageTemplates=templates,
        title=title,
        subject=subject,
        creator=f"radmeasure {__version__}",
        author="",
        lang="en",
    )


def numbered(foot):
    """Canvas class that writes ``foot`` and 'page n of m' under every page."""
    from reportlab.pdfgen.canvas import Canvas

    register_fonts()

    class Numbered(Canvas):
        """Keeps pages until the last is known."""

        def __init__(self, *args, **kwargs):
            kwargs["initialFontName"] = REGULAR
            super().__init__(*args, **kwargs)
            self._kept = []

        def showPage(self):
            self._kept.append(dict(self.__dict__))
            self._startPage()

        def save(self):
            for number, kept in enumerate(self._kept, 1):
                self.__dict__.update(kept)
                self._foot(number, len(self._kept))
                super().showPage()
            super().save()

        def _foot(self, number, count):
            width = self._pagesize[0]
            self.setFont(REGULAR, 6.6)
            self.setFillColor(_PAPER["quiet"])
            for i, line in enumerate(foot):
                self.drawString(MARGIN, 26 - 8.4 * i, line)
            page = say("page", number=number, count=count)
            self.drawRightString(width - MARGIN, 26, page)

    return Numbered
