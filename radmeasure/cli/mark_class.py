"""radmeasure mark-class FOLDER --out DIR"""

from radmeasure.cli import say
from radmeasure.cli.progress import Progress


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "mark-class",
        help="a class marked on films of known truth",
        description="Holds what students placed on synthetic films against the truth: FOLDER "
        "has the films with their truth files as synth writes them, and one sub-folder a student "
        "with landmark files (named as their film) or case files. Writes tables, class.json and "
        "for every student an own rulebook with that student's placement error.",
    )
    parser.add_argument("folder", metavar="FOLDER", help="films, truth and students")
    parser.add_argument("--out", metavar="DIR", required=True, help="a new or empty folder")
    return parser


def run(args):
    """Mark, write, summarise; 1 when something handed in could not be marked."""
    from radmeasure.workflow.mark_class import class_words, mark_class

    with Progress(args, "marking") as progress:
        marks = mark_class(args.folder, args.out, progress)
    say(args, class_words(marks))
    return 1 if marks.troubles else 0
