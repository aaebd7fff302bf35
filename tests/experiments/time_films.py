"""How long a film of 1500 x 2000 pixels takes to open, in every encoding.

Run from the repository root, on a quiet machine, with dcmtk installed::

    python tests/experiments/time_films.py

Writes a table in Markdown: pydicom's own reading and decoding (where it has a
decoder installed), the digest, and opening the film. Best of 15, milliseconds.
"""

import hashlib
import sys
import tempfile
import time
import warnings
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "files")]

from made_films import (  # noqa: E402
    DCMTK_ENCODINGS,
    dataset,
    dcmtk,
    encapsulated,
    file_bytes,
    jpeg,
    jpeg_2000,
    picture,
    png,
    tiff,
)

from radmeasure.files.film import read_film  # noqa: E402

SHOWN = {
    "explicit little": 12,
    "deflated": 12,
    "run length": 12,
    "jpeg baseline": 8,
    "jpeg extended": 12,
    "jpeg lossless first order": 12,
    "jpeg lossless predictor 6": 12,
    "jpeg-ls lossless": 12,
}


def best(action, times=15):
    """Least milliseconds of several runs, None when it cannot be done."""
    least = None
    for _ in range(times):
        start = time.perf_counter()
        try:
            action()
        except Exception:
            return None
        took = 1000 * (time.perf_counter() - start)
        least = took if least is None else min(least, took)
    return least


def films(folder):
    """Yield (name, path) of the film in each encoding."""
    for name, bits in SHOWN.items():
        tool, options, _ = DCMTK_ENCODINGS[name]
        plain, coded = folder / "plain.dcm", folder / f"{name}.dcm"
        plain.write_bytes(file_bytes(dataset(picture(2000, 1500, bits), bits=bits)))
        dcmtk(tool, *options, plain, coded)
        yield f"DICOM {name}, {bits} bit", coded
    deep = picture(2000, 1500)
    frame = jpeg_2000(deep, 12)
    others = {
        "DICOM jpeg 2000 lossless, 12 bit": file_bytes(
            encapsulated(dataset(deep), [frame], "1.2.840.10008.1.2.4.90")
        ),
        "PNG, 16 bit": png(deep),
        "TIFF, 16 bit": tiff(deep),
        "JPEG, 8 bit": jpeg(picture(2000, 1500, 8), quality=92),
    }
    for name, data in others.items():
        path = folder / "other"
        path.write_bytes(data)
        yield name, path


def main():
    from pydicom import dcmread

    warnings.simplefilter("ignore")
    print("| film | pydicom | digest | opened |\n|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for name, path in films(Path(folder)):
            data = path.read_bytes()
            theirs = best(lambda path=path: dcmread(path).pixel_array)
            digest = best(lambda data=data: hashlib.sha256(data).digest())
            ours = best(lambda path=path: read_film(path))
            shown = "-" if theirs is None else f"{theirs:.0f}"
            print(f"| {name} | {shown} | {digest:.0f} | {ours:.0f} |", flush=True)


if __name__ == "__main__":
    main()
