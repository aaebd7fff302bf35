"""radmeasure demo [--out DIR]"""

import os
import subprocess
import sys

from radmeasure.cli import say


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "demo",
        help="the main job on a shipped sample film, without a display",
        description="Opens a shipped synthetic film, sets its scale from the reference sphere on "
        "it, reads its landmarks, and leaves the case file, the readings and the PDF in DIR. "
        "With a display it also opens the window on that case.",
    )
    parser.add_argument("--out", metavar="DIR", default="radmeasure-demo", help="where to leave it")
    return parser


def run(args):
    """Run the job, say where everything is, open the window when there is a display."""
    from radmeasure.reports.words import record_text
    from radmeasure.workflow.demo import run_demo

    evaluation, paths = run_demo(args.out)
    say(args, record_text(evaluation))
    for what, path in paths.items():
        print(f"{what}: {path}")
    if _has_display():
        subprocess.Popen(
            [sys.executable, "-m", "radmeasure", str(paths["case"])], start_new_session=True
        )
    return 0


def _has_display():
    """A screen to open a window on; a test or a server has none."""
    if os.environ.get("QT_QPA_PLATFORM") == "offscreen":
        return False
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
