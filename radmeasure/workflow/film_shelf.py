"""Decoded films at hand: the last few that were shown."""

import threading

# A film of 5000 × 5000 px in 16 bits takes 50 MB.
FILMS_AT_HAND = 4


class FilmShelf:
    """Keeps the films decoded last; usable from any thread."""

    def __init__(self):
        self._films, self._guard = {}, threading.Lock()

    def film(self, entry, read_bytes):
        """The film of a FilmEntry, decoded from ``read_bytes(sha256)`` when not at hand."""
        from radmeasure.files.film import read_film_bytes  # numpy and more: only when needed

        with self._guard:
            film = self._films.get(entry.sha256)
        if film is None:
            film = read_film_bytes(read_bytes(entry.sha256), entry.name)
        self.put(entry.sha256, film)
        return film

    def put(self, sha256, film):
        """Keep a decoded film at hand."""
        with self._guard:
            self._films.pop(sha256, None)
            self._films[sha256] = film  # now the youngest
            while len(self._films) > FILMS_AT_HAND:
                self._films.pop(next(iter(self._films)))
