"""Open thousands of damaged films: no crash, no hang, no memory taken, one sentence each.

Run from the repository root::

    python tests/experiments/fuzz_films.py [COUNT]

Every kind of file gets its own process, so that a crash inside a decoder is
seen and named. Writes a table in Markdown to the standard output; the one in
docs/films.md came from 5 000.
"""

import collections
import multiprocessing
import resource
import sys
import warnings
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "files")]

from damaged_films import OUTCOMES, damage_of, damaged, opened  # noqa: E402
from made_films import every_kind  # noqa: E402

from radmeasure.files.film import read_film_bytes  # noqa: E402


def try_kind(name, count, results):
    """Open ``count`` damaged copies of one film and put a summary into the queue."""
    warnings.simplefilter("error")
    data, _ = every_kind()[name]
    sound = read_film_bytes(data, name)
    tally, slowest, causes = collections.Counter(), 0.0, collections.Counter()
    by_damage = collections.Counter()
    for seed in range(count):
        try:
            outcome, seconds, message = opened(damaged(data, f"{name}/{seed}"), sound)
        except BaseException as error:
            results.put((name, f"seed {seed}: {type(error).__name__}: {error}"))
            return
        tally[outcome] += 1
        by_damage[name.split()[0], damage_of(f"{name}/{seed}"), outcome] += 1
        slowest = max(slowest, seconds)
        causes[message.split(";")[0][:90]] += bool(message)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    results.put((name, (tally, slowest, memory, causes, by_damage)))


def main(total=5000, verbose=False):
    context = multiprocessing.get_context("spawn")
    names = list(every_kind())
    count = -(-total // len(names))
    head = ["kind of file", *OUTCOMES, "slowest (ms)", "memory (MB)"]
    print("| " + " | ".join(head) + " |\n|" + "---|" * len(head))
    sums, damages, bad = collections.Counter(), collections.Counter(), []
    for name in names:
        results = context.Queue()
        process = context.Process(target=try_kind, args=(name, count, results))
        process.start()
        process.join(600)
        if process.exitcode != 0 or results.empty():
            process.kill()
            bad.append(f"{name}: process ended with {process.exitcode}")
            continue
        _, found = results.get()
        if isinstance(found, str):
            bad.append(f"{name}: {found}")
            continue
        tally, slowest, memory, causes, by_damage = found
        sums.update(tally)
        damages.update(by_damage)
        row = [name, *(tally[o] for o in OUTCOMES), f"{1000 * slowest:.0f}", memory]
        print("| " + " | ".join(map(str, row)) + " |", flush=True)
        if verbose:
            for cause, times in causes.most_common():
                print("   ", times, cause)
    print("| **all** | " + " | ".join(str(sums[o]) for o in OUTCOMES) + " | | |")
    print_damages(damages)
    for line in bad:
        print("FAILED", line)
    return 1 if bad else 0


def print_damages(damages):
    """Second table: for each kind of damage, refused / as before / otherwise by family."""
    families = ("dicom", "png", "jpeg", "tiff")
    print("\n| damage | " + " | ".join(families) + " |\n|" + "---|" * (len(families) + 1))
    for damage in sorted({key[1] for key in damages}):
        cells = [" / ".join(str(damages[f, damage, o]) for o in OUTCOMES) for f in families]
        print(f"| {damage} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
    sys.exit(main(*numbers[:1], verbose="-v" in sys.argv))
