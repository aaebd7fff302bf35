"""How large a film may be. Every threshold is ours; headers are checked before decoding.

A file may state any size. These limits stop a damaged or hostile header from
taking the computer's memory, and leave ample room: an intra-oral film scanned
at 4800 dpi has about 45 million pixels.
"""

from radmeasure.errors import FilmError

MAX_FILE_BYTES = 400 * 2**20
MAX_PIXELS = 60_000_000
MAX_SIDE = 30_000
# Bytes the decoded picture may take, colour included.
MAX_DECODED_BYTES = 240 * 2**20


def check_size(name, width, height, bytes_per_pixel=1):
    """Refuse a picture whose header states an impossible or unmanageable size.

    Parameters
    ----------
    name : str
        File name for the message.
    width, height : int
        Pixels, as the header states them.
    bytes_per_pixel : int
        All samples of a pixel together.

    Raises
    ------
    FilmError
    """
    if width < 1 or height < 1:
        raise FilmError(
            f"{name} states a size of {width} × {height} pixels", "export the film again"
        )
    too_large = (
        width > MAX_SIDE
        or height > MAX_SIDE
        or width * height > MAX_PIXELS
        or width * height * bytes_per_pixel > MAX_DECODED_BYTES
    )
    if too_large:
        raise FilmError(
            f"{name} states a size of {width} × {height} pixels, more than a film has"
            f" (at most {MAX_PIXELS // 10**6} million)",
            "scan or export it at a lower resolution",
        )
