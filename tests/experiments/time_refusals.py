"""How long a malformed film takes to be refused; wanted: under a second each.

Run from the repository root:  python tests/experiments/time_refusals.py
"""

import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "files")]

from test_film_open import MALFORMED  # noqa: E402

from radmeasure.errors import FilmError  # noqa: E402
from radmeasure.files.film import read_film_bytes  # noqa: E402


def main():
    times = {}
    for name, data in MALFORMED.items():
        start = time.perf_counter()
        try:
            read_film_bytes(data, "shot.png")
        except FilmError:
            times[name] = time.perf_counter() - start
    slowest = max(times, key=times.get)
    print(f"{len(times)} of {len(MALFORMED)} refused; the slowest is {slowest!r}:")
    print(f"{1000 * times[slowest]:.0f} ms, reading of libraries included where it is the first.")


if __name__ == "__main__":
    main()
