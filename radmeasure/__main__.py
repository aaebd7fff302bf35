"""No sub-command: the window, with any films or case named. A sub-command: the command line."""

import os
import sys


def main(argv=None):
    """Entry point of the ``radmeasure`` command; returns the exit status."""
    argv = list(sys.argv[1:] if argv is None else argv)
    from radmeasure.cli import COMMANDS
    from radmeasure.cli import main as cli_main
    from radmeasure.errors import InputError
    from radmeasure.reports.words import error_text, use_language, wanted_language

    if argv and (argv[0] in COMMANDS or argv[0].startswith("-")):
        return cli_main(argv)
    for name in argv:
        if not os.path.exists(name):
            use_language(wanted_language())
            what = f"{name!r} is neither a command nor a file"
            error = InputError(what, f"commands: {', '.join(COMMANDS)}")
            print(f"radmeasure: error: {error_text(error)}", file=sys.stderr)
            return 2
    from radmeasure.gui.app import run

    return run(argv)


if __name__ == "__main__":
    raise SystemExit(main())
