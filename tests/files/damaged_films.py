"""Ways to damage a file, and what opening a damaged film came to."""

import random
import time

import numpy as np

from radmeasure.errors import FilmError
from radmeasure.files.film import read_film_bytes

OUTCOMES = ("refused", "opened as before", "opened otherwise")


def cut(data, rng):
    return data[: rng.randrange(len(data))]


def flip_bit(data, rng):
    out = bytearray(data)
    out[rng.randrange(len(out))] ^= 1 << rng.randrange(8)
    return bytes(out)


def flip_header_bit(data, rng):
    out = bytearray(data)
    out[rng.randrange(min(len(out), 1200))] ^= 1 << rng.randrange(8)
    return bytes(out)


def zero_run(data, rng):
    start = rng.randrange(len(data))
    length = min(rng.randrange(1, 400), len(data) - start)
    return data[:start] + bytes(length) + data[start + length :]


def drop_run(data, rng):
    start = rng.randrange(len(data))
    return data[:start] + data[start + rng.randrange(1, 400) :]


def insert_run(data, rng):
    start = rng.randrange(len(data))
    return data[:start] + rng.randbytes(rng.randrange(1, 200)) + data[start:]


def random_bytes(data, rng):
    out = bytearray(data)
    for _ in range(rng.randrange(1, 20)):
        out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def extreme_number(data, rng):
    out = bytearray(data)
    at = rng.randrange(min(len(out), 1500))
    out[at : at + 4] = rng.choice((b"\xff" * 4, bytes(4), b"\x7f\xff\xff\xff", b"\xff\xff\xff\x7f"))
    return bytes(out[: len(data)])


def swap_runs(data, rng):
    middle = rng.randrange(len(data))
    width = rng.randrange(1, 300)
    return data[:middle] + data[middle + width : middle + 2 * width] + data[middle:]


DAMAGES = (
    cut,
    flip_bit,
    flip_header_bit,
    zero_run,
    drop_run,
    insert_run,
    random_bytes,
    extreme_number,
    swap_runs,
)


def damage_of(seed):
    """Name of the kind of damage that ``seed`` chooses."""
    return random.Random(seed).choice(DAMAGES).__name__.replace("_", " ")


def damaged(data, seed):
    """The bytes with one kind of damage, chosen and placed by ``seed``."""
    rng = random.Random(seed)
    return rng.choice(DAMAGES)(data, rng)


def opened(data, sound):
    """Open damaged bytes; returns (outcome, seconds, message or '').

    Anything but a film or a FilmError goes through to the caller.
    """
    start = time.perf_counter()
    try:
        film = read_film_bytes(data, "damaged")
    except FilmError as error:
        return OUTCOMES[0], time.perf_counter() - start, error.one_line
    same = film.pixels.shape == sound.pixels.shape and np.array_equal(film.pixels, sound.pixels)
    return OUTCOMES[1 if same else 2], time.perf_counter() - start, ""
