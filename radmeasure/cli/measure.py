"""radmeasure measure FILM --landmarks L.json [--out R.json]"""

from radmeasure.cli import say
from radmeasure.errors import InputError


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "measure",
        help="readings, findings and post space of a film with landmarks",
        description="Readings with uncertainty, findings with their rules, and the post space "
        "of one tooth on one film.",
    )
    parser.add_argument("film", metavar="FILM", help="DICOM, PNG, TIFF or JPEG file")
    parser.add_argument("--landmarks", metavar="L.json", required=True, help="landmark file")
    parser.add_argument("--out", metavar="R.json", help="write the readings file here")
    parser.add_argument("--rulebook", metavar="OWN.toml", help="a practice's own rulebook entries")
    parser.add_argument(
        "--require",
        metavar="ID",
        action="append",
        default=[],
        help="exit 1 when this reading is missing (may be repeated)",
    )
    return parser


def run(args):
    """Measure, print the record, write the readings file; 1 when a required reading is missing."""
    from radmeasure.reports.words import record_text
    from radmeasure.workflow.measure import READING_IDS, measure_film, readings_text, write_text

    for id_ in args.require:
        if id_ not in READING_IDS:
            raise InputError(f"--require {id_!r} is no reading", f"known: {', '.join(READING_IDS)}")
    measured = measure_film(args.film, args.landmarks, args.rulebook)
    if args.out:
        write_text(args.out, readings_text(measured))
    say(args, record_text(measured.evaluation))
    return 1 if any(measured.is_missing(id_) for id_ in args.require) else 0
