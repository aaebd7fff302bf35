"""Shared by all tests: the window runs without a screen, in one style and locale."""

import os
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["RADMEASURE_LANGUAGE"] = "en"  # whatever the machine speaks
# Makers of test material (drawn_tooth, ...) are plain modules beside the tests.
TESTS = Path(__file__).resolve().parent
sys.path[:0] = [str(TESTS), str(TESTS / "files")]


@pytest.fixture
def quick_folder():
    """A folder on a disk in memory where there is one, for tests that do not test durability."""
    from case_folders import memory_disk

    with tempfile.TemporaryDirectory(dir=memory_disk()) as name:
        yield Path(name)


# A loaded machine is slow, not wrong; a shared one repeats the same examples every time.
settings.register_profile("own", deadline=None)
settings.register_profile("shared", deadline=None, derandomize=True)
settings.load_profile("shared" if os.environ.get("CI") else "own")
