"""Shared by all tests: the window runs without a screen, in one style and locale."""

import os
import sys
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Makers of test material (drawn_tooth, ...) are plain modules beside the tests.
sys.path.insert(0, str(Path(__file__).resolve().parent))
