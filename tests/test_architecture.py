"""The import rule is checked by machine (import-linter, contracts in pyproject.toml)."""

import subprocess
import sys
from pathlib import Path

from importlinter import cli

ROOT = Path(__file__).resolve().parent.parent


def test_imports_only_point_downwards(monkeypatch):
    """Layers, no circles, Qt only in gui, no file libraries in the pure packages."""
    monkeypatch.chdir(ROOT)
    assert cli.lint_imports(config_filename="pyproject.toml", no_cache=True) == 0


def test_the_core_is_usable_without_qt():
    """A notebook can evaluate landmarks with no Qt installed."""
    code = (
        "import sys; sys.modules['PySide6'] = None;"
        "import radmeasure.workflow.evaluate, radmeasure.workflow.session, radmeasure.cli;"
        "assert 'scipy' not in sys.modules and 'pydicom' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 0, done.stderr


def test_top_level_holds_only_what_the_owner_fixed():
    """README, DEVELOPERS, pyproject, the package, tests and data; the rest are dotfiles."""
    listed = subprocess.run(
        ["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=False
    ).stdout.split()
    top = {name.split("/")[0] for name in listed if not name.startswith(".")}
    allowed = (
        "README.md DEVELOPERS.md pyproject.toml radmeasure tests sample_images calibration docs"
    )
    assert top <= set(allowed.split())
