"""The films of an open case: added by their bytes, read back checked, decoded when shown."""

import hashlib

from radmeasure.errors import CaseError, InputError
from radmeasure.model import edits
from radmeasure.model.case import FilmEntry


class SessionFilms:
    """Part of a session."""

    def add_film(self, data, name, role="before", visit=""):
        """Add a film by the bytes of its file; returns its FilmEntry.

        Nothing is decoded here: open the film first, so that only films the
        program can show get into a case.

        Raises
        ------
        InputError
            The case has this film already, or the role is unknown.
        CaseError
            It could not be written.
        """
        sha256 = hashlib.sha256(data).hexdigest()
        for entry in self._case.films:
            if entry.sha256 == sha256:
                raise InputError(f"{name} is in this case already, as {entry.name}")
        entry = FilmEntry(f"film-{sha256[:8]}", name, sha256, role, visit)
        self.apply(edits.AddFilm(entry), films=[data])
        return entry

    def film_bytes(self, film_id):
        """The original bytes of a film, their digest checked.

        Raises
        ------
        CaseError
            No such film, or it is damaged.
        """
        return self._file.film_bytes(self._entry(film_id).sha256)

    def film(self, film_id):
        """The decoded :class:`~radmeasure.model.film.Film`; the last few are kept at hand.

        May be called from a worker thread.

        Raises
        ------
        CaseError, FilmError
            The film is not in the case, is damaged, or cannot be decoded.
        """
        return self._films.film(self._entry(film_id), self._file.film_bytes)

    def keep_at_hand(self, film):
        """A film of the case that somebody has just decoded need not be decoded again."""
        self._films.put(film.sha256, film)

    def _entry(self, film_id):
        try:
            return self._case.film(film_id)
        except KeyError:
            raise CaseError(f"the case has no film {film_id!r}") from None
