"""Commands that change how the film is seen."""

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication


class ViewCommands:
    """Part of the window: zoom, greys, turning, a second film, the clipboard."""

    @property
    def view(self):
        """The canvas commands act on: the one with the focus."""
        beside = self.beside
        return beside if beside is not None and beside.hasFocus() else self.canvas

    def fit(self):
        self.view.fit()

    def actual_size(self):
        self.view.actual_size()

    def zoom_in(self):
        self.view.zoom_by(1.25)

    def zoom_out(self):
        self.view.zoom_by(0.8)

    def _grey(self, change):
        if self.view.grey is not None:
            self.view.set_grey(change(self.view.grey))

    def _shift_grey(self, brighter, wider):
        def change(grey):
            low, high = grey.bounds
            return grey.shifted(brighter * (high - low), wider)

        self._grey(change)

    def brighter(self):
        self._shift_grey(0.04, 1.0)

    def darker(self):
        self._shift_grey(-0.04, 1.0)

    def harder(self):
        self._shift_grey(0.0, 0.9)

    def softer(self):
        self._shift_grey(0.0, 1 / 0.9)

    def gamma_up(self):
        self._grey(lambda grey: grey.with_gamma(1.1))

    def gamma_down(self):
        self._grey(lambda grey: grey.with_gamma(1 / 1.1))

    def grey_fitted(self):
        self.view.grey_fitted()

    def grey_as_opened(self):
        self.view.grey_as_opened()

    def invert(self):
        self._grey(lambda grey: replace(grey, inverted=not grey.inverted))

    def turn_right(self):
        self.desk.turn(1)

    def turn_left(self):
        self.desk.turn(-1)

    def mirror(self):
        self.desk.turn(mirror=True)

    def labels(self, on):
        for canvas in (self.canvas, self.beside):
            if canvas is not None:
                canvas.overlay.show_labels = on
                canvas.update()

    def marks(self, on):
        for canvas in (self.canvas, self.beside):
            if canvas is not None:
                canvas.show_marks = on
                canvas.update()

    def copy_picture(self):
        QApplication.clipboard().setPixmap(self.view.picture_of())
        self.desk.said.emit(self.tr("The picture is on the clipboard."), False)

    def full_screen(self, on):
        full = Qt.WindowState.WindowFullScreen
        state = self.windowState()  # keeps whether it was maximised
        self.setWindowState(state | full if on else state & ~full)

    def film_strip(self, on):
        self.films.wanted = on
        self.films.refresh()

    # -- a second film -------------------------------------------------------------------
    def show_beside(self, on):
        """Show an earlier film of the case beside this one."""
        if on and self.beside is None:
            self._make_beside()
        if self.beside is None:
            return
        films = [f.film_id for f in self.films.in_order(self.desk.case.films)]
        others = [f for f in films if f != self.desk.film_id]
        if on and not others:
            self.desk.said.emit(self.tr("The case has no other film to show beside."), False)
            self.commands["show_beside"].setChecked(False)
            return
        if on:
            at = films.index(self.desk.film_id) if self.desk.film_id in films else 0
            if self.exhibit.film_id not in others:
                self.exhibit.show_film(films[at - 1] if at > 0 else others[0])
        else:
            self.exhibit.show_film(None)
        self.beside.setVisible(on)
        self.share_width()

    def show_film_beside(self, film_id):
        """Show this film of the case beside the one in work."""
        if film_id == self.desk.film_id:
            return
        if self.beside is None:
            self._make_beside()
        self.exhibit.show_film(film_id)
        self.commands["show_beside"].setChecked(True)

    def _put_beside_away(self):
        """The case has no second film any more."""
        if self.beside is not None and self.exhibit.film_id is not None:
            known = [f.film_id for f in self.desk.case.films]
            if self.exhibit.film_id not in known:
                self.commands["show_beside"].setChecked(False)

    def next_beside(self):
        """Another film beside this one."""
        if self.beside is None or not self.beside.isVisible():
            self.commands["show_beside"].setChecked(True)
            return
        films = [f.film_id for f in self.films.in_order(self.desk.case.films)]
        others = [f for f in films if f != self.desk.film_id]
        if others:
            shown = self.exhibit.film_id
            at = others.index(shown) if shown in others else -1
            self.exhibit.show_film(others[(at + 1) % len(others)])

    def level_chart(self, on):
        self.levels.setVisible(on)
        self.share_width()

    def link_views(self, on):
        if self.link is not None:
            self.link.on = on

    def next_film(self):
        self._step_film(1)

    def previous_film(self):
        self._step_film(-1)

    def _step_film(self, step):
        films = [f.film_id for f in self.films.in_order(self.desk.case.films)]
        if len(films) > 1 and self.desk.film_id in films:
            self.desk.show_film(films[(films.index(self.desk.film_id) + step) % len(films)])
