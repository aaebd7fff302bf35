"""radmeasure suggest: from rough clicks to proposed landmarks."""

from radmeasure.reports.words import number, translated
from radmeasure.workflow.suggest import suggest_file


def add_parser(subparsers):
    """Add the sub-command to the argparse ``subparsers``."""
    parser = subparsers.add_parser(
        "suggest",
        help="propose landmarks from a few rough clicks",
        description="Propose every landmark and line that can be found from a few rough clicks, "
        "each with a confidence and a standard uncertainty. A person confirms them: the "
        "proposals support, and never replace, the clinician's own reading of the film.",
    )
    parser.add_argument("film", metavar="FILM", help="DICOM, PNG, TIFF or JPEG film")
    parser.add_argument(
        "--hints",
        metavar="H.json",
        required=True,
        help="rough clicks: coronal_reference, an apex per root, optionally points on a canal",
    )
    parser.add_argument("--out", metavar="L.json", required=True, help="landmark file to write")
    return parser


def run(args):
    """Run the sub-command; 0 when done."""
    found = suggest_file(args.film, args.hints, args.out)
    if not getattr(args, "quiet", False):
        _print(found, args.out)
    return 0


def _print(found, out):
    sure = translated("confidence")
    print(f"{translated('proposed'):32}{'u px':>8}{sure:>12}")
    for root, name, _ in found.placed():
        if name == "coronal_reference":
            continue
        key = f"{root}.{name}" if root else name
        u_px = found.stated_u_px(name, root)
        sure = found.confidence.get(key, found.confidence.get(name, 0.0))
        print(f"{key:32}{number(u_px, 1):>8}{100 * sure:11.0f}%")
    for key, reason in found.left_out.items():
        print(f"{key:32}{translated('left out')}: {translated(reason)}")
    print(f"{translated('confirm each of them on the film; written to')} {out}")
