"""radmeasure report CASE with --pdf, --patient, --chart, --csv, --json and --dicom."""

from radmeasure.cli import say
from radmeasure.errors import InputError

# Those that can still be refused come first, so that nothing is written before.
_FORMS = ("chart", "patient", "pdf", "csv", "json", "dicom")


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
    parser.add_argument("--patient", metavar="OUT.pdf", help="one page in plain words")
    parser.add_argument("--chart", metavar="OUT.svg", help="the level chart, as .svg or .png")
    parser.add_argument("--tooth", metavar="NN", help="tooth of --patient and --chart")
    parser.add_argument("--letter", action="store_true", help="US letter pages instead of A4")
    parser.add_argument("--dicom", metavar="DIR", help="DICOM objects linked to the films")
    parser.add_argument("--csv", metavar="OUT.csv", help="readings as a table")
    parser.add_argument("--json", metavar="OUT.json", help="readings file")
    parser.add_argument("--author", default="", help="observer's name for the DICOM objects")
    parser.add_argument(
        "--sign",
        metavar="ORGANISATION",
        default="",
        help="with --author: this person has checked the report and signs it for this organisation",
    )
    parser.add_argument(
        "--capture", action="store_true", help="with --dicom: also a picture with the landmarks"
    )
    return parser


def run(args):
    """Write every form asked for."""
    from radmeasure.workflow import report
    from radmeasure.workflow.session import Session

    wanted = [name for name in _FORMS if getattr(args, name)]
    if not wanted:
        raise InputError("no output asked for", f"give --{', --'.join(_FORMS)}")
    with Session.open(args.case, read_only=True) as session:
        charts = report.evaluated_charts(session)
    page = "letter" if args.letter else "a4"
    writers = {
        "pdf": lambda target: report.write_pdf(target, charts, page=page),
        "patient": lambda target: report.write_patient(target, charts, args.tooth, page=page),
        "chart": lambda target: report.write_level_chart(target, charts, args.tooth),
        "csv": lambda target: report.write_csv(target, charts),
        "json": lambda target: report.write_json(target, charts),
        "dicom": lambda target: report.write_dicom(
            target, charts, args.author, args.capture, args.sign
        ),
    }
    for name in wanted:
        target = getattr(args, name)
        for path in writers[name](target) or [target]:
            say(args, f"{name}: {path}")
    return 0
