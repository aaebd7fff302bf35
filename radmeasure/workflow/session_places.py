"""Copies of an open case, its other names, and what other windows do with it."""

from pathlib import Path

from radmeasure.errors import CaseError
from radmeasure.files.case_opening import open_case_file
from radmeasure.workflow.case_places import lock_target, try_lock


class SessionPlaces:
    """Part of a session."""

    def save_copy(self, path, overwrite=False):
        """Write a copy with all history; the session stays on its own file.

        Raises
        ------
        CaseError
            The target exists, is open, or cannot be written.
        """
        lock = lock_target(Path(path))
        try:
            self.write_view()
            self._file.copy_to(path, overwrite)
        finally:
            lock.release()

    def save_as(self, path, overwrite=False):
        """Go on under another name; an automatic file moves there, a named one stays as it is."""
        path = Path(path).absolute()
        with self._guard:
            lock = lock_target(path)
            try:
                self.write_view()
                self._file.copy_to(path, overwrite)
                file = open_case_file(path)
            except BaseException:
                lock.release()
                raise
            moved = self.path if self.automatic and not self.read_only else None
            self._swap(file, lock)
            if moved:
                moved.unlink(missing_ok=True)
        self._tell("file", self._case, f"The case is now {path.name}")

    def _swap(self, file, lock):
        """Go on with ``file``, under ``lock``."""
        self._file.close()
        if self._lock:
            self._lock.release()
        self._file, self._lock, self.holder = file, lock, None

    def refresh(self):
        """Take in what another window wrote; True when there was something."""
        with self._guard:
            before = self._case
            if not self._catch_up():
                return False
        self._tell("refresh", before, "Another window changed the case")
        return True

    def _catch_up(self):
        try:
            events = self._file.events(after=self._timeline.seq)
        except CaseError:
            return False
        for event in events:
            self._timeline.record(event)
        self._case = self._timeline.case
        return bool(events)

    def is_free(self):
        """True when this session only looks and whoever had the case has let go of it."""
        if not self.read_only or self.holder is None:
            return False
        lock, _, _ = try_lock(self.path)
        if lock is None:
            return False
        lock.release()
        return True

    def take_over(self):
        """Become the one who writes; only when the holder is gone.

        Raises
        ------
        CaseError
            The holder still has the case open, or the medium is read-only.
        """
        with self._guard:
            if not self.read_only:
                return
            lock, self.holder, note = try_lock(self.path)
            if lock is None:
                raise CaseError(note or self.why_read_only, "close it there, then take it over")
            try:
                file = open_case_file(self.path)
                if not file.writable:
                    file.close()
                    raise CaseError(self.why_read_only)
            except BaseException:
                lock.release()
                raise
            before = self._case
            self._swap(file, lock)
            self._catch_up()
        self._tell("access", before, "The case can be changed here now")
