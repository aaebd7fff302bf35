"""radmeasure observers READINGS.csv [--out S.json]"""

from radmeasure.cli import say


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "observers",
        help="observer statistics of a table of readings",
        description="Who is biased which way, limits of agreement, own error, intraclass "
        "correlation and kappa, from a table with one row a measurement: observer, film, "
        "reading, value, and if wanted root, side, occasion, unit, truth.",
    )
    parser.add_argument("table", metavar="READINGS.csv", help="table of readings")
    parser.add_argument("--out", metavar="S.json", help="write the observers file here")
    parser.add_argument(
        "--factor",
        choices=("1.96", "2"),
        default="1.96",
        help="standard deviations from the bias to the limits of agreement (default 1.96)",
    )
    parser.add_argument(
        "--order",
        metavar="A,B,C",
        default="",
        help="classes from least to most, for weighted kappa",
    )
    return parser


def run(args):
    """Read the table, print the study, write the observers file."""
    from radmeasure.workflow.observers import study_table, study_words, write_study

    order = tuple(name.strip() for name in args.order.split(",")) if args.order else ()
    study = study_table(args.table, float(args.factor), order)
    if args.out:
        write_study(args.out, study)
    say(args, study_words(study))
    return 0
