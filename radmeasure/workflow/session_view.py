"""What the window remembers of an open case: job, film, part of it seen; no edit, no undo."""

import json


class SessionView:
    """Part of a session. Values are JSON; read-only cases remember nothing."""

    def remember(self, key, value, later=False):
        """Keep a value of the window (job, zoom, shown film).

        Parameters
        ----------
        key : str
        value : JSON value
        later : bool
            Not on disk yet when this returns: :meth:`write_view` brings it there, or
            closing does. The window never waits for the disk because of its own state.
        """
        if self.read_only:
            return
        value = json.loads(json.dumps(value))
        with self._view_guard:
            if self._view.get(key) == value:
                return
            self._view[key] = value
            self._unwritten.add(key)
        if not later:
            self.write_view()

    def write_view(self):
        """Bring what was remembered to disk; from any thread."""
        with self._guard:
            if self.read_only or self._file is None:
                return
            with self._view_guard:
                waiting = {key: self._view[key] for key in sorted(self._unwritten)}
                self._unwritten.clear()
            for key, value in waiting.items():
                self._file.remember(key, value)

    def remembered(self):
        """Everything kept by :meth:`remember`, as a dict."""
        with self._view_guard:
            return dict(self._view)
