"""Killed at any moment: every acknowledged edit is there and every case opens."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from crash_child import digest

from radmeasure.model.timeline import Timeline
from radmeasure.workflow.session import Session

HERE = Path(__file__).parent
KILLS, CASES = 200, 10


class Editors:
    """The process that forks editors; one works at a time."""

    def __init__(self):
        paths = os.pathsep.join([str(HERE), str(HERE.parent.parent)])
        self._process = subprocess.Popen(
            [sys.executable, str(HERE / "crash_child.py")],
            env={**os.environ, "PYTHONPATH": paths},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def start(self, path, seed):
        """Begin an editor; its process id."""
        self._process.stdin.write(f"{seed} {path}\n")
        self._process.stdin.flush()
        word, pid = self._process.stdout.readline().split()
        assert word == "pid"
        return int(pid)

    def acknowledged(self, at_most=None):
        """(number, digest) of the next edits; all until the editor is dead without ``at_most``."""
        found = []
        while at_most is None or len(found) < at_most:
            word, *rest = self._process.stdout.readline().split()
            if word == "dead":
                assert rest == [str(-signal.SIGKILL)], "the editor failed by itself"
                return found
            found.append((int(rest[0]), rest[1]))
        return found

    def close(self):
        self._process.stdin.close()
        self._process.wait(timeout=10)
        self._process.stdout.close()


@pytest.fixture
def editors():
    started = Editors()
    yield started
    started.close()


def _hot(path):
    """True when a transaction was cut short: its journal has a live header (SQLite file format)."""
    journal = Path(f"{path}-journal")
    return journal.exists() and journal.read_bytes()[:8] == bytes.fromhex("d9d505f920a163d7")


def _check(path, acknowledged):
    """Open as a user would; nothing acknowledged is missing, at most one edit is more."""
    with Session.open(path) as session:
        assert not session.read_only
        assert not session._damaged
        seq = session._timeline.seq
        if acknowledged:
            last, shown = acknowledged[-1]
            assert seq in (last, last + 1), f"{last} acknowledged, {seq} found"
            if seq == last:
                assert digest(session.case) == shown
        assert Timeline(session._file.events()).case == session.case  # without snapshots
        return seq


def test_nothing_acknowledged_is_lost_in_200_kills(tmp_path, editors):
    """Ten cases in turn: killed while opening or within an edit after some, at random.

    On a real disk, whose syncs make a write long enough to be hit in its middle.
    """
    rng = random.Random(411)
    numbers = dict.fromkeys((tmp_path / f"case {n}.radcase" for n in range(CASES)), 0)
    in_all, mid_write = 0, 0
    for kill in range(KILLS):
        path = rng.choice(list(numbers))
        pid = editors.start(path, seed=kill)
        begun = time.perf_counter()
        acknowledged = editors.acknowledged(at_most=rng.randrange(8))
        took = (time.perf_counter() - begun) / max(len(acknowledged), 1)
        time.sleep(rng.uniform(0, 2 * min(took, 0.05)) if acknowledged else rng.uniform(0, 0.02))
        os.kill(pid, signal.SIGKILL)
        acknowledged += editors.acknowledged()
        if not path.exists():
            assert not acknowledged  # killed before the new case had its name
            continue
        seqs = [seq for seq, _ in acknowledged]
        assert seqs == list(range(numbers[path] + 1, numbers[path] + 1 + len(seqs)))
        mid_write += _hot(path)
        numbers[path] = _check(path, acknowledged)
        in_all += len(seqs)
    print(f"{KILLS} kills, {mid_write} of them mid-write, {in_all} edits acknowledged, none lost")
    assert in_all > 3 * KILLS, "too few edits for the test to mean anything"
    assert mid_write > KILLS / 20, "too few kills in the middle of a write"
