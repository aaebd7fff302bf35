"""radmeasure reference FILM [--near X,Y] [--out F.json]"""

from radmeasure.cli import say
from radmeasure.errors import InputError
from radmeasure.reports.words import number, translated


def add_parser(sub):
    """Add the sub-command's parser."""
    parser = sub.add_parser(
        "reference",
        help="find reference objects and their size in pixels",
        description="Finds metal balls, straight wires and files with a stop on a film and "
        "measures them in pixels, without knowing their size in mm.",
    )
    parser.add_argument("film", metavar="FILM", help="DICOM, PNG, TIFF or JPEG file")
    parser.add_argument("--near", metavar="X,Y", help="only the object at this place, px")
    parser.add_argument("--out", metavar="F.json", help="write the references file here")
    return parser


def run(args):
    """Find, list, write."""
    from radmeasure.workflow import references
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.measure import write_text

    film = open_film(args.film)
    if args.near:
        one = references.find_reference_at(film, _place(args.near, film))
        found = [one] if one else []
        if not one:
            say(args, translated(one.reason))
    else:
        found = references.find_references(film)
        if not found:
            say(args, translated("no metal ball, straight wire or file with a stop found"))
    for f in found:
        size = f"{number(f.size_px, 1)} ± {number(1.96 * f.u_size_px, 1)} px"
        say(args, f"{translated(f.kind)}: {size}, {translated(f.words)}")
    if args.out:
        write_text(args.out, references.references_text(found))
    return 0


def _place(text, film):
    """The place a user gave, on the film.

    Raises
    ------
    InputError
    """
    high, wide = film.pixels.shape
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(
            f"--near {text!r} is no place", "give X,Y in px, such as 512,300"
        ) from None
    if not (0 <= x <= wide - 1 and 0 <= y <= high - 1):
        raise InputError(f"--near {text!r} lies off the film", f"the film is {wide} × {high} px")
    return x, y
