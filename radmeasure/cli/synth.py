"""radmeasure synth --recipe R.toml|--seed N --out DIR"""

from radmeasure.cli import say
from radmeasure.cli.progress import Progress
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


def run(args):
    """Make the films and say which files were written."""
    with Progress(args, "drawing") as progress:
        written = synthesise_files(args.recipe, args.seed, args.out, progress)
    say(args, "\n".join(str(path) for path in written))
    return 0
