"""Keeps the practice list in step with the cases that are worked on."""

import sqlite3
import time
from dataclasses import replace

from radmeasure.files.data_folder import data_folder
from radmeasure.files.practice_list import PracticeList, summary_of
from radmeasure.workflow.case_places import unsaved_folder

# How long the time of the last change may lag behind in the list.
RELIST_AFTER_S = 60.0


def open_practice_list(with_identity=False):
    """The list of this user; made from the unsaved cases when there was none.

    Other folders are added by :meth:`PracticeList.rebuild`, or by opening their cases.
    """
    practice = PracticeList(data_folder() / "practice.sqlite", with_identity)
    if practice.made_anew:
        rebuild(practice, [])
    return practice


def rebuild(practice, folders, progress=None):
    """Make the list anew from ``folders``, the unsaved cases and the cases it knew of."""
    return practice.rebuild(folders, unsaved_folder(), progress)


class Listing:
    """Lists a session's case now and whenever its entry changes.

    Attributes
    ----------
    trouble : str
        Why the list could not be brought up to date; '' when it is. The case
        itself is not concerned.
    """

    def __init__(self, session, practice):
        self._session, self._practice = session, practice
        self._listed, self._listed_at = None, 0.0
        self.trouble = ""
        self._unsubscribe = session.subscribe(self._heard)
        self.update()

    def _heard(self, change):
        if change.kind == "file" and self._listed and self._listed.automatic:
            self._write(lambda: self._practice.forget(self._listed.path))
        self.update()

    def update(self, at_once=False):
        """Bring the entry up to date; ``at_once`` also when only the time of change differs."""
        session = self._session
        summary = summary_of(
            session.case,
            session.path,
            created=session.created,
            changed=session.changed,
            job=session.job,
            automatic=session.automatic,
        )
        empty = summary.automatic and not session.changed  # goes away at closing
        if not empty and (at_once or self._worth_writing(summary)):
            self._write(lambda: self._practice.put(summary))
            self._listed, self._listed_at = summary, time.monotonic()

    def _worth_writing(self, summary):
        """Not every nudge is worth a second write to the disk."""
        if self._listed is None:
            return True
        same = replace(summary, changed=self._listed.changed) == self._listed
        return not same or time.monotonic() - self._listed_at > RELIST_AFTER_S

    def _write(self, action):
        try:
            action()
            self.trouble = ""
        except sqlite3.Error as error:
            self.trouble = f"the practice list was not brought up to date: {error}"

    def stop(self):
        """Bring the entry up to date and stop listening; call it before closing the session."""
        self.update(at_once=True)
        self._unsubscribe()
