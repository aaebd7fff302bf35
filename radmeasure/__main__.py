"""No sub-command: the window, with any films or case named. A sub-command: the command line."""

import os
import sys


def main(argv=None):
    """Entry point of the ``radmeasure`` command; returns the exit status."""
    argv = list(sys.argv[1:] if argv is None else argv)
    from radmeasure.cli import COMMANDS
    from radmeasure.cli import main as cli_main

    if argv and (argv[0] in COMMANDS or argv[0].startswith("-")):
        return cli_main(argv)
    for name in argv:
        if not os.path.exists(name):
            print(
                f"radmeasure: error: {name!r} is neither a command nor a file; "
                f"commands: {', '.join(COMMANDS)}",
                file=sys.stderr,
            )
            return 2
    from radmeasure.gui.app import run

    return run(argv)


if __name__ == "__main__":
    raise SystemExit(main())
