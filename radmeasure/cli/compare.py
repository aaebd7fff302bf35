"""radmeasure compare EARLIER LATER --landmarks L1.json --landmarks L2.json [--out C.json]"""

from radmeasure.cli import say
from radmeasure.errors import InputError


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "compare",
        help="what changed between two films of one tooth",
        description="Lays two films of one tooth over each other and tells which readings "
        "changed by more than their uncertainty.",
    )
    parser.add_argument("earlier", metavar="EARLIER", help="the earlier film")
    parser.add_argument("later", metavar="LATER", help="the later film")
    parser.add_argument(
        "--landmarks",
        metavar="L.json",
        action="append",
        required=True,
        help="landmark file; give it twice, for the earlier film and for the later one",
    )
    parser.add_argument("--out", metavar="C.json", help="write the comparison file here")
    parser.add_argument("--rulebook", metavar="OWN.toml", help="a practice's own rulebook entries")
    return parser


def run(args):
    """Compare, print what changed, write the comparison file."""
    from radmeasure.reports.words import comparison_text
    from radmeasure.workflow.compare import compare_files, comparison_json
    from radmeasure.workflow.measure import write_text

    if len(args.landmarks) != 2:
        raise InputError(
            f"--landmarks is given {len(args.landmarks)} time(s)",
            "give it twice: for the earlier film, then for the later one",
        )
    comparison = compare_files(args.earlier, args.later, args.landmarks, args.rulebook)
    if args.out:
        write_text(args.out, comparison_json(comparison))
    say(args, comparison_text(comparison))
