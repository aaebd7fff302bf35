"""Progress of long work: on a terminal only, silent in a pipe."""

import sys

from radmeasure.reports.words import translated


class Progress:
    """Share done, on one line of the terminal that goes when the work ends.

    Parameters
    ----------
    args : argparse.Namespace
        With ``quiet``.
    words : str
        What is being done.
    """

    def __init__(self, args, words):
        self._shown, self._words = sys.stderr.isatty() and not args.quiet, words
        self._last = -1

    def __call__(self, share):
        percent = int(100 * share)
        if self._shown and percent != self._last:
            self._last = percent
            line = f"\r{translated(self._words)} {percent:3d} %"
            print(line, end="", file=sys.stderr, flush=True)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self._last >= 0:
            print("\r" + " " * 30 + "\r", end="", file=sys.stderr, flush=True)
