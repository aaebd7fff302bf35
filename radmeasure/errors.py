"""Every error the program raises on purpose.

An error says what was found, what was expected and what to do. It keeps the
parts, so a window can lay them out, and also is a built-in error, so a
notebook can catch ``ValueError``. Each front catches :class:`RadmeasureError`
in one place.
"""


class RadmeasureError(Exception):
    """Root of all errors raised on purpose.

    Parameters
    ----------
    what : str
        What is wrong, naming the entry, file or value.
    do : str, optional
        What the user can do about it.
    """

    def __init__(self, what, do=""):
        self.what = what.rstrip(".")
        self.do = do.rstrip(".")
        super().__init__(self.one_line)

    @property
    def one_line(self):
        """The message on a single line, as the command line prints it."""
        text = f"{self.what}; {self.do}" if self.do else self.what
        return " ".join(text.split())


class InputError(RadmeasureError, ValueError):
    """An entry of an input (landmarks, recipe, rulebook, option) is wrong."""


class FilmError(RadmeasureError, ValueError):
    """A film cannot be opened, or what it says of itself cannot be trusted."""


class CaseError(RadmeasureError, ValueError):
    """A case file cannot be opened, read or written."""


class RulebookError(InputError):
    """A rulebook is wrong: names the file, the entry and the reason."""


class OutputError(RadmeasureError, OSError):
    """A file could not be written; what stood there before is unchanged."""


class ArchiveError(RadmeasureError, ConnectionError):
    """A DICOM archive refused, failed or could not be reached."""


class Cancelled(RadmeasureError):
    """Long work was stopped by the user."""

    def __init__(self):
        super().__init__("stopped")
