"""The command line: one module per sub-command, errors worded in one place."""

import argparse
import importlib
import os
import sys

from radmeasure import __version__
from radmeasure.errors import RadmeasureError

# Sub-command -> module. Only the one asked for is imported.
COMMANDS = {
    "demo": "the main job on a shipped sample film, without a display",
    "measure": "readings, findings and post space of a film with landmarks",
    "suggest": "propose landmarks from a few rough clicks",
    "reference": "find reference objects and their size in pixels",
    "report": "the record of a case: PDF, DICOM, CSV, JSON",
    "synth": "synthetic films with exact truth",
}


def main(argv=None):
    """Run one sub-command; returns the exit status (0 done, 1 in part, 2 bad input)."""
    argv = list(sys.argv[1:] if argv is None else argv)
    try:
        return _run(argv)
    except BrokenPipeError:
        # The reader of a pipe went away; nothing more to say to it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except RadmeasureError as error:
        print(f"radmeasure: error: {error.one_line}", file=sys.stderr)
        return 2
    except MemoryError:
        print(
            "radmeasure: error: not enough memory for this file; close programs or use a "
            "smaller film",
            file=sys.stderr,
        )
        return 2
    except KeyboardInterrupt:
        print("radmeasure: error: stopped; nothing was written", file=sys.stderr)
        return 2


def _run(argv):
    command = next((a for a in argv if not a.startswith("-")), None)
    parser = _parser(command)
    args = parser.parse_args(argv)
    if not getattr(args, "run", None):
        parser.print_help()
        return 0
    return args.run(args) or 0


class _Parser(argparse.ArgumentParser):
    """A parser whose errors are one line in the form of all other errors."""

    def error(self, message):
        print(f"radmeasure: error: {message}; see radmeasure --help", file=sys.stderr)
        raise SystemExit(2)


def _parser(command):
    parser = _Parser(
        prog="radmeasure",
        description="Measures periapical films and plans post, core and crown. Without a "
        "sub-command it opens the window, with films or a case if any are named. Results "
        "support, never replace, a licensed clinician's judgement and local codes.",
    )
    parser.add_argument("--version", action="version", version=f"radmeasure {__version__}")
    sub = parser.add_subparsers(metavar="COMMAND", parser_class=_Parser)
    for name, words in COMMANDS.items():
        if name == command:
            module = importlib.import_module(f"radmeasure.cli.{name}")
            child = module.add_parser(sub)
            child.add_argument("--quiet", action="store_true", help="print errors only")
            child.set_defaults(run=module.run)
        else:
            sub.add_parser(name, help=words, add_help=False)
    return parser


def say(args, text):
    """Print unless --quiet."""
    if not args.quiet:
        print(text)


__all__ = ["COMMANDS", "main", "say"]
