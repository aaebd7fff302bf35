"""The rulebook and the post sizes in force: the shipped ones and a practice's own copy."""

from functools import lru_cache
from pathlib import Path

from radmeasure.files.data_folder import data_folder
from radmeasure.files.post_sizes import read_post_sizes
from radmeasure.files.rulebook import read_rulebook


def own_rulebook_path():
    """Where a practice's own rulebook is looked for."""
    return data_folder() / "rulebook.toml"


def own_post_sizes_path():
    """Where a practice's own table of post sizes is looked for."""
    return data_folder() / "posts.toml"


def load_rulebook(own=None):
    """The rulebook in force; read once and kept until the own file changes.

    Parameters
    ----------
    own : path, optional
        A practice's own copy; without it the one of :func:`own_rulebook_path`
        is used when it is there. ``Rulebook.changed`` tells what it changes.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    return _rulebook(*_own_file(own, own_rulebook_path()))


def load_post_sizes(own=None):
    """The post sizes in force, as a tuple of PostSize; kept like the rulebook.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    return _post_sizes(*_own_file(own, own_post_sizes_path()))


def _own_file(own, usual):
    """(path or None, what tells that the file has changed)."""
    path = Path(own) if own is not None else usual
    try:
        state = path.stat()
    except OSError:
        # A file that was asked for and is not there is refused by the reader.
        return (str(path) if own is not None else None), None
    return str(path), (state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=4)
def _rulebook(path, _state):
    return read_rulebook(path)


@lru_cache(maxsize=4)
def _post_sizes(path, _state):
    return read_post_sizes(path)
