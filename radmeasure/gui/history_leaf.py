"""Who changed what when; newest first."""

from html import escape

from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.reports.words import landmark_title, translated

MOST = 300


class HistoryLeaf(Leaf):
    """Every edit of the case, those taken back struck through; above them the selected landmark."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "History"), theme, parent)
        self.desk = desk
        self._shown = None
        desk.chart_changed.connect(self.refresh)
        desk.session_changed.connect(self.refresh)

    def refresh(self):
        session = self.desk.session
        if session is None or not self.isVisible() or self.desk.preview is not None:
            return
        key = (session.path, session.changed, self.desk.selected, self.theme.title)
        if key == self._shown:
            return
        self._shown = key
        self.clear()
        self._earlier_places()
        self.heading(self.tr("All changes"))
        rows = list(reversed(session.history()))
        for row in rows[:MOST]:
            self._row(row.when, row.author, translated(row.words), row.counts)
        if len(rows) > MOST:
            self.words(self.tr("%n older change(s) are in the file.", "", len(rows) - MOST), True)
        self.column.addStretch(1)

    def _earlier_places(self):
        desk = self.desk
        if desk.selected is None or not desk.ready:
            return
        name, root = desk.selected
        moments = desk.session.landmark_history(desk.film_id, desk.tooth, name, root)
        if moments:
            self.heading(landmark_title(name, root))
            for moment in reversed(moments[-20:]):
                words = translated(moment.words)
                self._row(moment.time[:16].replace("T", " "), moment.author, words, True)

    def _row(self, when, author, words, counts):
        struck = "" if counts else "text-decoration:line-through;"
        quiet = self.theme.ink_quiet
        by = f" · {escape(author)}" if author else ""
        html = (
            f'<p><span style="color:{quiet}">{escape(when)}{by}</span><br>'
            f'<span style="{struck}">{escape(words)}</span></p>'
        )
        self.table(html, [(f"{when} {words}",)])
