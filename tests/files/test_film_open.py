"""Opening a film: what comes out, and how everything else is refused."""

import hashlib
import os
import socket
import subprocess
import sys
import tracemalloc
import zlib

import numpy as np
import pytest
from made_films import (
    DIGITAL_X_RAY,
    SECONDARY_CAPTURE,
    dataset,
    encapsulated,
    every_kind,
    file_bytes,
    huge_png,
    jpeg,
    picture,
    png,
    tiff,
)
from pydicom.uid import DeflatedExplicitVRLittleEndian

from radmeasure.errors import FilmError
from radmeasure.files.film import read_film, read_film_bytes
from radmeasure.files.film_limits import MAX_FILE_BYTES, MAX_PIXELS
from radmeasure.workflow.films import open_film, reopen_film

KINDS = every_kind()


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_of_film_opens_in_full_depth(name):
    """All lossless encodings give the values that went in; pixels are read-only."""
    data, grey = KINDS[name]
    film = read_film_bytes(data, "film")
    assert film.pixels.shape == (film.height, film.width) == (96, 72)
    assert film.pixels.max() < 2**film.bits
    assert film.default_table.shape == (2**film.bits,)
    assert film.default_table.dtype == np.uint8
    assert film.sha256 == hashlib.sha256(data).hexdigest()
    assert film.raw == data
    if grey is not None:
        np.testing.assert_array_equal(film.pixels, grey)
    with pytest.raises(ValueError, match="read-only"):
        film.pixels[0, 0] = 1


@pytest.mark.parametrize("name", KINDS)
def test_a_large_film_is_the_same_film(name, tmp_path, monkeypatch):
    """Read into room made for it, whatever its kind, to the last value and byte."""
    data, _ = KINDS[name]
    path = tmp_path / "film"
    path.write_bytes(data)
    monkeypatch.setattr("radmeasure.files.film._LARGE_BYTES", 1)
    large, film = read_film(path), read_film_bytes(data, "film")
    np.testing.assert_array_equal(large.pixels, film.pixels)
    np.testing.assert_array_equal(large.default_table, film.default_table)
    assert (large.raw, large.sha256) == (film.raw, film.sha256)
    assert (large.notes, large.spacing, large.kind) == (film.notes, film.spacing, film.kind)
    assert isinstance(large.raw, memoryview) == (film.kind == "DICOM")
    with pytest.raises(ValueError, match="read-only"):
        large.pixels[0, 0] = 1


def test_a_large_plain_film_is_used_where_it_lies(tmp_path, monkeypatch):
    """Its pixels are the file's own bytes in memory, which nobody can write to."""
    path = tmp_path / "film.dcm"
    path.write_bytes(file_bytes(dataset(picture(900, 700))))
    monkeypatch.setattr("radmeasure.files.film._LARGE_BYTES", 1)
    film = read_film(path)
    raw = np.frombuffer(film.raw, np.uint8)
    assert raw.size == path.stat().st_size
    assert np.shares_memory(film.pixels, raw)
    assert not raw.flags.writeable


def test_a_large_film_with_something_behind_its_picture_is_refused(tmp_path, monkeypatch):
    path = tmp_path / "film.dcm"
    path.write_bytes(file_bytes(dataset(picture(900, 700))) + b"more of something")
    monkeypatch.setattr("radmeasure.files.film._LARGE_BYTES", 1)
    with pytest.raises(FilmError, match="bytes follow its picture"):
        read_film(path)


def test_workflow_opens_from_a_path_and_from_kept_bytes(tmp_path):
    """The two doors give the same film; only the file's own name is kept."""
    path = tmp_path / "shot.dcm"
    path.write_bytes(file_bytes(dataset()))
    from_path, from_bytes = open_film(str(path)), reopen_film(path.read_bytes(), "shot.dcm")
    assert from_path.name == from_bytes.name == "shot.dcm"
    assert from_path.sha256 == from_bytes.sha256
    np.testing.assert_array_equal(from_path.pixels, from_bytes.pixels)


def test_the_content_decides_not_the_name(tmp_path):
    """A PNG called .dcm is a PNG."""
    path = tmp_path / "film.dcm"
    path.write_bytes(png(picture(bits=8)))
    assert read_film(path).kind == "PNG"


def _deflate_bomb():
    made = dataset()
    made.file_meta.TransferSyntaxUID = DeflatedExplicitVRLittleEndian
    data = file_bytes(made)
    start = 144 + int.from_bytes(data[140:144], "little")
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    zeros = bytes(2**24)
    return data[:start] + b"".join(packer.compress(zeros) for _ in range(40)) + packer.flush()


def _huge_jpeg():
    data = bytearray(jpeg(picture(bits=8)))
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = b"\xea\x60\xea\x60"
    return bytes(data)


def _jpeg_frame(frame, **changes):
    return file_bytes(encapsulated(dataset(bits=8), [frame], "1.2.840.10008.1.2.4.50", **changes))


def _without_pixels():
    made = dataset()
    del made.PixelData
    return file_bytes(made)


MALFORMED = {
    "empty": b"",
    "one byte": b"\x89",
    "text": b"the quick brown fox",
    "landmarks": b'{"format": "radmeasure.landmarks"}',
    "zip called png": b"PK\x03\x04" + bytes(200),
    "gzip": b"\x1f\x8b\x08" + bytes(50),
    "pdf": b"%PDF-1.7\n",
    "gif": b"GIF89a" + bytes(40),
    "bmp": b"BM" + bytes(60),
    "webp": b"RIFF\x00\x00\x00\x00WEBPVP8 " + bytes(40),
    "program": b"\x7fELF" + bytes(60),
    "noise": np.random.default_rng(3).bytes(5000),
    "png signature only": b"\x89PNG\r\n\x1a\n",
    "png cut": png(picture())[:-40],
    "png wrong checksum": png(picture()).replace(b"IDAT", b"IDAT\x01", 1)[:-1],
    "png 60 000 square": huge_png(),
    "png no width": huge_png(0, 10),
    "jpeg cut": jpeg(picture(bits=8))[:-500],
    "jpeg 60 000 square": _huge_jpeg(),
    "jpeg start only": b"\xff\xd8\xff\xe0",
    "tiff cut": tiff(picture())[:4000],
    "tiff header only": b"II*\x00\x08\x00\x00\x00",
    "tiff real numbers": tiff(picture().astype(np.float32)),
    "tiff 32 bit": tiff(picture().astype(np.uint32)),
    "dicom heading only": bytes(128) + b"DICM",
    "dicom cut in its header": file_bytes(dataset())[:500],
    "dicom cut in its picture": file_bytes(dataset())[:-100],
    "dicom 60 000 square": file_bytes(dataset(Rows=60_000, Columns=60_000)),
    "dicom no rows": file_bytes(dataset(Rows=0)),
    "dicom rows missing": file_bytes(dataset(Rows=None)),
    "dicom without picture": _without_pixels(),
    "dicom more rows than pixels": file_bytes(dataset(Rows=97)),
    "dicom fewer rows than pixels": file_bytes(dataset(Rows=60)),
    "dicom 32 bit": file_bytes(dataset(BitsAllocated=32, BitsStored=32, HighBit=31)),
    "dicom 13 bits in 8": file_bytes(dataset(picture(bits=8), bits=13)),
    "dicom high bit outside": file_bytes(dataset(HighBit=3)),
    "dicom three samples of grey": file_bytes(dataset(SamplesPerPixel=3)),
    "dicom hsv": file_bytes(dataset(PhotometricInterpretation="HSV")),
    "dicom frame of another size": _jpeg_frame(jpeg(picture(50, 40, 8))),
    "dicom frame of zeros": _jpeg_frame(bytes(3000)),
    "dicom video": file_bytes(
        encapsulated(dataset(bits=8), [bytes(300)], "1.2.840.10008.1.2.4.102")
    ),
    "dicom deflate bomb": _deflate_bomb(),
    "dicom not square": file_bytes(dataset(PixelAspectRatio=[4, 3])),
    "dicom slices": file_bytes(
        dataset(modality="CT", NumberOfFrames=2, PixelData=bytes(2 * 2 * 96 * 72))
    ),
    "dicom bytes after the picture": file_bytes(dataset()) + b"lost" * 20,
}


# Bytes taken at most before a refusal: no picture is unpacked first. (How long refusals take:
# tests/experiments/time_refusals.py.)
MOST_BYTES = {"dicom deflate bomb": 200 * 2**20}


@pytest.mark.parametrize("name", MALFORMED)
def test_malformed_film_is_refused_in_one_sentence_without_unpacking(name, tmp_path, capfd, caplog):
    """Each says what is wrong and what to do, names the file, and stays silent otherwise."""
    path = tmp_path / "shot.png"
    path.write_bytes(MALFORMED[name])
    tracemalloc.start()
    try:
        with pytest.raises(FilmError) as caught:
            read_film(path)
        assert tracemalloc.get_traced_memory()[1] < MOST_BYTES.get(name, 16 * 2**20)
    finally:
        tracemalloc.stop()
    line = str(caught.value)
    assert "shot.png" in line and "\n" not in line
    assert caught.value.do
    assert str(tmp_path) not in line
    assert 20 < len(line) < 250
    assert capfd.readouterr() == ("", "")
    assert not caplog.records
    assert path.read_bytes() == MALFORMED[name]


@pytest.mark.parametrize(
    "name, words",
    {
        "empty": "is empty",
        "zip called png": "a zip archive",
        "png cut": "cut short",
        "png wrong checksum": "checksum",
        "png 60 000 square": "60000 × 60000",
        "jpeg 60 000 square": "60000 × 60000",
        "dicom 60 000 square": "60000 × 60000",
        "dicom cut in its picture": "cut short",
        "dicom deflate bomb": "unpacks to more",
        "dicom video": "no decoder",
        "dicom slices": "2 slices",
        "dicom not square": "not square",
        "dicom frame of another size": "40 × 50",
    }.items(),
)
def test_refusal_says_what_is_wrong(name, words):
    """The sentence carries the reason, not a generic failure."""
    with pytest.raises(FilmError, match=words):
        read_film_bytes(MALFORMED[name], "shot.png")


def test_missing_file_folder_pipe_socket_and_device_are_refused(tmp_path):
    """What is no regular file is refused without waiting for it."""
    os.mkfifo(tmp_path / "pipe")
    server = socket.socket(socket.AF_UNIX)
    server.bind(str(tmp_path / "socket"))
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    for path, words in (
        (tmp_path / "absent.png", "there is no file absent.png"),
        (tmp_path, "a folder"),
        (tmp_path / "pipe", "a device or pipe"),
        (tmp_path / "socket", "a device or pipe"),
        ("/dev/zero", "a device or pipe"),
        (tmp_path / "loop", "cannot be read"),
        (tmp_path / ("x" * 300), "cannot be read"),
        ("nul\0l.png", "cannot be read"),
    ):
        with pytest.raises(FilmError, match=words):
            read_film(path)
    server.close()


def test_no_permission_is_refused(tmp_path):
    """Seen as a user without rights; a root user reads everything, so another one tries."""
    path = tmp_path / "locked.png"
    path.write_bytes(png(picture(bits=8)))
    path.chmod(0)
    for folder in (tmp_path, *tmp_path.parents[:3]):
        folder.chmod(folder.stat().st_mode | 0o055)
    become = "os.setgid(65534); os.setuid(65534)" if os.geteuid() == 0 else "pass"
    script = (
        "import os, sys; from radmeasure.files.film import read_film\n"
        f"{become}\n"
        "try: read_film(sys.argv[1])\n"
        "except Exception as error: print(type(error).__name__, error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=False
    )
    assert done.stdout.startswith("FilmError you have no permission to read locked.png"), done


def test_file_larger_than_the_limit_is_refused_unread(tmp_path):
    """A sparse file of the limit and one byte is not read."""
    path = tmp_path / "large.dcm"
    with open(path, "wb") as file:
        file.truncate(MAX_FILE_BYTES + 1)
    with pytest.raises(FilmError, match="larger than 400 MiB"):
        read_film(path)


def test_limit_leaves_room_for_a_scanned_film():
    """An occlusal film (57 x 76 mm, ISO 3665) scanned at 2400 dpi fits."""
    scanned = (57 / 25.4 * 2400) * (76 / 25.4 * 2400)
    assert scanned < MAX_PIXELS


@pytest.mark.parametrize("sop_class", [DIGITAL_X_RAY, SECONDARY_CAPTURE])
def test_bare_data_set_without_heading_opens(sop_class):
    """Old exports lack the 128-byte preamble and the meta header; the user is told."""
    import io

    made = dataset(sop_class=sop_class)
    del made.file_meta
    out = io.BytesIO()
    made.save_as(out, implicit_vr=True, little_endian=True)
    bare = out.getvalue()
    start = bare.index(b"\x08\x00\x16\x00")
    film = read_film_bytes(bare[start:], "old")
    np.testing.assert_array_equal(film.pixels, picture())
    assert any("guessed" in note for note in film.notes)


def test_nothing_heavy_is_imported_until_a_film_is_opened():
    """The window starts without pydicom, pillow, tifffile and imagecodecs."""
    script = (
        "import sys, radmeasure.workflow.films\n"
        "print([m for m in ('pydicom', 'PIL', 'tifffile', 'imagecodecs', 'scipy')"
        " if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
