"""Fixtures for sessions."""

import tempfile
from pathlib import Path

import pytest
from case_folders import memory_disk


@pytest.fixture
def quick_folder():
    """A folder on a disk in memory where there is one."""
    with tempfile.TemporaryDirectory(dir=memory_disk()) as name:
        yield Path(name)
