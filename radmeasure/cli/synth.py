"""radmeasure synth --recipe R.toml|--seed N --out DIR"""

import sys

from radmeasure.cli import say
from radmeasure.reports.words import translated
from radmeasure.workflow.synthesise import synthesise_files


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "synth",
        help="synthetic films with exact truth",
        description="Draws periapical films of an invented tooth, with its landmarks and true "
        "values. For teaching and testing only.",
    )
    parser.add_argument("--recipe", metavar="R.toml", help="recipe file (docs/synthetic-films.md)")
    parser.add_argument("--seed", metavar="N", type=int, help="draw a case, or replace the seed")
    parser.add_argument("--out", metavar="DIR", required=True, help="folder for the films")
    return parser


class _Progress:
    """Share done, on a terminal only."""

    def __init__(self, shown):
        self.shown, self.last = shown, -1

    def __call__(self, share):
        percent = int(100 * share)
        if self.shown and percent != self.last:
            self.last = percent
            print(f"\r{translated('drawing')} {percent:3d} %", end="", file=sys.stderr, flush=True)

    def end(self):
        if self.shown and self.last >= 0:
            print("\r" + " " * 20 + "\r", end="", file=sys.stderr, flush=True)


def run(args):
    """Make the films and say which files were written."""
    progress = _Progress(sys.stderr.isatty() and not args.quiet)
    try:
        written = synthesise_files(args.recipe, args.seed, args.out, progress)
    finally:
        progress.end()
    say(args, "\n".join(str(path) for path in written))
    return 0
