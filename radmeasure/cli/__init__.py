"""The command line: one module per sub-command, errors worded in one place."""

import argparse
import importlib
import os
import sys

from radmeasure import __version__
from radmeasure.errors import RadmeasureError
from radmeasure.reports.words import (
    error_text,
    languages,
    translated,
    use_language,
    wanted_language,
)

# Sub-command -> module. Only the one asked for is imported.
COMMANDS = {
    "demo": "the main job on a shipped sample film, without a display",
    "measure": "readings, findings and post space of a film with landmarks",
    "suggest": "propose landmarks from a few rough clicks",
    "compare": "what changed between two films of one tooth",
    "reference": "find reference objects and their size in pixels",
    "report": "the record of a case: PDF, DICOM, CSV, JSON",
    "rebuild": "a case from films and their structured reports",
    "export": "a teaching copy of a case without identity",
    "synth": "synthetic films with exact truth",
    "observers": "observer statistics of a table of readings",
    "mark-class": "a class marked on films of known truth",
}


def main(argv=None):
    """Run one sub-command; returns the exit status (0 done, 1 in part, 2 bad input)."""
    argv = list(sys.argv[1:] if argv is None else argv)
    use_language(wanted_language(_language_option(argv)))
    try:
        return _run(argv)
    except BrokenPipeError:
        # The reader of a pipe went away; nothing more to say to it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except RadmeasureError as error:
        print(f"radmeasure: error: {error_text(error)}", file=sys.stderr)
        return 2
    except MemoryError:
        words = "not enough memory for this file; close programs or use a smaller film"
        print(f"radmeasure: error: {translated(words)}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        words = translated("stopped; nothing was written")
        print(f"radmeasure: error: {words}", file=sys.stderr)
        return 2


def _language_option(argv):
    """What --language says; needed before any word is printed."""
    reader = argparse.ArgumentParser(add_help=False, exit_on_error=False, allow_abbrev=False)
    reader.add_argument("--language", nargs="?")
    return reader.parse_known_args(argv)[0].language or ""


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
        see = translated("see radmeasure --help")
        print(f"radmeasure: error: {translated(message)}; {see}", file=sys.stderr)
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
            module = importlib.import_module(f"radmeasure.cli.{name.replace('-', '_')}")
            child = module.add_parser(sub)
            child.add_argument("--quiet", action="store_true", help="print errors only")
            child.add_argument(
                "--language", choices=languages(), help="language of what people read"
            )
            child.set_defaults(run=module.run)
            _translate(child)
        else:
            sub.add_parser(name, help=translated(words), add_help=False)
    _translate(parser)
    return parser


def _translate(parser):
    """Put description and help of a parser into the language in use."""
    parser.description = translated(parser.description or "")
    parser._positionals.title = translated("positional arguments")
    parser._optionals.title = translated("options")
    parser._actions[0].help = "show this help message and exit"
    for action in parser._actions:
        action.help = translated(action.help or "")


def say(args, text):
    """Print unless --quiet."""
    if not args.quiet:
        print(text)


__all__ = ["COMMANDS", "main", "say"]
