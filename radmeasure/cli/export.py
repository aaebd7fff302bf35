"""radmeasure export CASE --out DIR"""

from radmeasure.cli import say
from radmeasure.cli.progress import Progress


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "export",
        help="teaching copy of a case without identity",
        description="Writes films, landmarks and readings of a case without identity into a new "
        "folder: films made anew by an allow-list (DICOM PS3.15), files named by number. No "
        "program finds all text that is burned into pictures: look at every film first. Local "
        "rules on the use of patients' films still hold.",
    )
    parser.add_argument("case", metavar="CASE", help="case file")
    parser.add_argument("--out", metavar="DIR", required=True, help="a new or empty folder")
    parser.add_argument(
        "--pixels-checked",
        action="store_true",
        help="you have looked at every film and none shows a name, number or date in its picture",
    )
    parser.add_argument(
        "--masks", metavar="M.json", help="boxes to blank on the films that do show one"
    )
    parser.add_argument(
        "--dates",
        choices=("removed", "shifted"),
        default="removed",
        help="shifted: earlier by a constant of the case, so that intervals stay (default removed)",
    )
    return parser


def run(args):
    """Write the copy; refuses unless a person has looked at the pixels."""
    from radmeasure.workflow.session import Session
    from radmeasure.workflow.teaching_copy import looked_at, read_masks, write_teaching_copy

    masks = read_masks(args.masks) if args.masks else None
    with Session.open(args.case, read_only=True) as session:
        boxes = looked_at(session.case, args.pixels_checked, masks)
        with Progress(args, "writing films") as progress:
            shifted = args.dates == "shifted"
            written = write_teaching_copy(session, args.out, boxes, shifted, progress)
    for path in written:
        say(args, str(path))
    return 0
