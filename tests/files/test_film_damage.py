"""Hundreds of damaged films: no crash, no hang, one sentence each (5 000 in docs/films.md)."""

import resource
import zlib

import numpy as np
import pytest
from damaged_films import OUTCOMES, damaged, opened
from made_films import every_kind, jpeg, picture, tiff

from radmeasure.errors import FilmError
from radmeasure.files.film import read_film_bytes
from radmeasure.files.film_jpeg import inspect_jpeg

KINDS = every_kind()
TRIES = 12


@pytest.mark.parametrize("name", KINDS)
def test_damaged_film_opens_or_is_refused_in_one_sentence(name, capfd):
    """Bits flipped, runs lost, inserted, zeroed or repeated, numbers made extreme, files cut."""
    data, _ = KINDS[name]
    sound = read_film_bytes(data, name)
    for seed in range(TRIES):
        outcome, seconds, message = opened(damaged(data, f"{name}/{seed}"), sound)
        assert outcome in OUTCOMES
        assert seconds < 1.0
        assert "\n" not in message and len(message) < 250
    assert capfd.readouterr() == ("", "")
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss < 2**20  # KiB: 1 GiB


# The last bytes of these TIFF files are tags in words, not the picture.
CUTS = [
    (name, kept)
    for name in KINDS
    for kept in (0.2, 0.6, 0.95, 0.995)
    if not (name.startswith("tiff") and kept > 0.99)
]


@pytest.mark.parametrize("name, kept", CUTS)
def test_cut_film_is_refused(name, kept):
    """A file whose copying was broken off never opens, whatever its kind."""
    data, _ = KINDS[name]
    with pytest.raises(FilmError):
        read_film_bytes(data[: int(len(data) * kept)], "cut")


@pytest.mark.parametrize("name", [n for n in KINDS if n.startswith("png")])
def test_png_checksums_leave_no_wrong_picture(name):
    """PNG has checksums, so 200 damages give no other picture than the sound one."""
    data, _ = KINDS[name]
    sound = read_film_bytes(data, name)
    for seed in range(200):
        assert opened(damaged(data, seed), sound)[0] != OUTCOMES[2]


@pytest.mark.parametrize("name", ["dicom explicit", "dicom implicit", "dicom big endian"])
def test_bytes_lost_from_or_pushed_into_an_uncompressed_picture_are_noticed(name):
    """The lengths in the file no longer fit, although every value would be legal."""
    data, grey = KINDS[name]
    start = len(data) - grey.nbytes // 2
    for wrong in (
        data[:start] + data[start + 64 :],
        data[:start] + b"\x12\x34" * 32 + data[start:],
    ):
        with pytest.raises(FilmError):
            read_film_bytes(wrong, "film")


@pytest.mark.parametrize(
    "name", ["dicom jpeg baseline", "dicom jpeg lossless sv1", "dicom jpeg-ls", "dicom jpeg 2000"]
)
def test_frame_without_its_end_marker_is_refused(name):
    """Only the two bytes of the marker are missing, yet nothing says that the rest is whole."""
    data, _ = KINDS[name]
    at = data.rindex(b"\xff\xd9")
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(data[:at] + b"\x00\x00" + data[at + 2 :], "film")


@pytest.mark.parametrize("name", ["dicom deflated", "dicom jpeg 2000", "dicom explicit"])
def test_last_bytes_of_the_file_missing_are_noticed(name):
    """A few bytes less: of a deflated file the end of its stream, of others the picture's end."""
    data, _ = KINDS[name]
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(data[:-12], "film")


def test_deflated_film_without_the_end_of_its_stream_is_refused():
    """All bytes can be unpacked, but the stream does not say that these were all."""
    data, _ = KINDS["dicom deflated"]
    start = 144 + int.from_bytes(data[140:144], "little")
    packer = zlib.compressobj(6, zlib.DEFLATED, -15)
    open_ended = packer.compress(zlib.decompress(data[start:], -15))
    open_ended += packer.flush(zlib.Z_SYNC_FLUSH)
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(data[:start] + open_ended, "film")


def test_jpeg_cut_between_its_segments_is_refused():
    """What is left is well formed up to where it stops."""
    data, _ = KINDS["jpeg"]
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(data[: data.index(b"\xff\xda")], "film")


@pytest.mark.parametrize("options", [{}, {"progressive": True}])
def test_data_missing_from_any_scan_of_a_jpeg_are_noticed(options):
    """The second half of a scan is lost; in a progressive file others follow it."""
    sound = jpeg(picture(bits=8), quality=90, **options)
    assert read_film_bytes(sound, "film").height == 96
    scans = inspect_jpeg(sound, "film").scans
    start, end = max(scans[:-1] or scans, key=lambda scan: scan[1] - scan[0])
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(sound[: (start + end) // 2] + sound[end:], "film")


def test_data_missing_between_restart_markers_are_noticed():
    """Later intervals decode as if nothing had happened; the one that lost data does not."""
    sound = jpeg(picture(bits=8), quality=90, restart_marker_rows=1)
    assert read_film_bytes(sound, "film").height == 96
    first, second = sound.index(b"\xff\xd2"), sound.index(b"\xff\xd3")
    assert second - first > 100
    with pytest.raises(FilmError, match="cut short"):
        read_film_bytes(sound[: first + 20] + sound[second:], "film")


def test_flat_film_is_not_mistaken_for_a_cut_one():
    """The check for missing data must not refuse a picture that ends in one grey."""
    from imagecodecs import jpeg8_encode
    from made_films import dataset, encapsulated, file_bytes

    for value in (0, 100, 255):
        flat = np.full((200, 150), value, np.uint8)
        np.testing.assert_array_equal(read_film_bytes(jpeg(flat), "film").pixels, flat)
        coded = jpeg8_encode(flat.astype(np.uint16), bitspersample=12, lossless=True)
        made = encapsulated(dataset(flat.astype(np.uint16)), [coded], "1.2.840.10008.1.2.4.70")
        np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, flat)


def test_chain_of_tiff_pictures_that_bites_its_tail_ends():
    """The pointer to the next picture points back to the first."""
    data = bytearray(tiff(picture()))
    first = int.from_bytes(data[4:8], "little")
    entries = int.from_bytes(data[first : first + 2], "little")
    at = first + 2 + 12 * entries
    data[at : at + 4] = first.to_bytes(4, "little")
    film = read_film_bytes(bytes(data), "film")
    np.testing.assert_array_equal(film.pixels, picture())
