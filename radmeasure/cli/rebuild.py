"""radmeasure rebuild FILE... --out CASE"""

from radmeasure.cli import say


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "rebuild",
        help="a case from films and their structured reports",
        description="Makes a case anew from structured reports that radmeasure wrote and the "
        "films they belong to, to the last digit. A film that is not named is looked for beside "
        "its report.",
    )
    parser.add_argument("files", metavar="FILE", nargs="+", help="reports and films, in any order")
    parser.add_argument("--out", metavar="CASE", required=True, help="new case file")
    return parser


def run(args):
    """Rebuild the case; nothing is written when a report or its film is refused."""
    from radmeasure.workflow.dicom_in import rebuild

    with rebuild(args.files, args.out) as session:
        films, teeth = len(session.case.films), ", ".join(session.case.teeth)
        say(args, f"case: {session.path} (films: {films}; teeth: {teeth})")
    return 0
