"""radmeasure report CASE --pdf OUT.pdf | --dicom DIR | --csv OUT.csv | --json OUT.json"""

from radmeasure.cli import say
from radmeasure.errors import InputError


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "report",
        help="the record of a case: PDF, DICOM, CSV, JSON",
        description="Writes the record of a case file in one or more forms. The case itself is "
        "opened for reading only.",
    )
    parser.add_argument("case", metavar="CASE", help="case file")
    parser.add_argument("--pdf", metavar="OUT.pdf", help="the printed record")
    parser.add_argument("--dicom", metavar="DIR", help="DICOM objects linked to the films")
    parser.add_argument("--csv", metavar="OUT.csv", help="readings as a table")
    parser.add_argument("--json", metavar="OUT.json", help="readings file")
    parser.add_argument("--author", default="", help="observer's name for the DICOM objects")
    parser.add_argument(
        "--capture", action="store_true", help="with --dicom: also a picture with the landmarks"
    )
    return parser


def run(args):
    """Write every form asked for."""
    from radmeasure.workflow import report
    from radmeasure.workflow.session import Session

    wanted = [name for name in ("pdf", "csv", "json", "dicom") if getattr(args, name)]
    if not wanted:
        raise InputError("no output asked for", "give --pdf, --csv, --json or --dicom")
    with Session.open(args.case, read_only=True) as session:
        charts = report.evaluated_charts(session)
    for name in wanted:
        target = getattr(args, name)
        if name == "dicom":
            for path in report.write_dicom(target, charts, args.author, args.capture):
                say(args, f"dicom: {path}")
        else:
            getattr(report, f"write_{name}")(target, charts)
            say(args, f"{name}: {target}")
    return 0
