"""Killed at any moment: every acknowledged edit is there and every case opens."""

import os
import random
import select
import shutil
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
KILLS, CASES, CUTS = 200, 10, 100


class Editors:
    """The process that forks editors; one works at a time."""

    def __init__(self):
        paths = os.pathsep.join([str(HERE), str(HERE.parent), str(HERE.parent.parent)])
        self._process = subprocess.Popen(
            [sys.executable, str(HERE / "crash_child.py")],
            env={**os.environ, "PYTHONPATH": paths},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            bufsize=0,
        )
        self._heard = b""

    def start(self, path, seed):
        """Begin an editor; its process id."""
        self._process.stdin.write(f"{seed} {path}\n".encode())
        word, pid = self._line()
        assert word == "pid"
        return int(pid)

    def _line(self, patience=30.0):
        """The words of the next line; None when none comes in time."""
        while b"\n" not in self._heard:
            if not select.select([self._process.stdout], [], [], patience)[0]:
                return None
            self._heard += self._process.stdout.read(1 << 16)
        line, _, self._heard = self._heard.partition(b"\n")
        return line.decode().split()

    def acknowledged(self, at_most=None, patience=30.0):
        """(number, digest) of the next edits: ``at_most``, or until it is dead or silent."""
        found = []
        while at_most is None or len(found) < at_most:
            line = self._line(patience)
            if line is None and patience == 0:
                return found
            word, *rest = line
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
    session = Session.open(path)
    assert not session.read_only
    assert not session._damaged
    seq = session._timeline.seq
    if acknowledged:
        last, shown = acknowledged[-1]
        assert seq in (last, last + 1), f"{last} acknowledged, {seq} found"
        if seq == last:
            assert digest(session.case) == shown
    assert Timeline(session._file.events()).case == session.case  # without snapshots
    session._file.close()  # not closed well, so that only the editors write
    session._lock.release()
    return seq


def test_nothing_acknowledged_is_lost_in_200_kills(tmp_path, editors):
    """Ten cases in turn: killed while opening or within an edit after some, at random.

    On a real disk, whose syncs make a write long enough to be hit in its middle.
    """
    rng = random.Random(411)
    numbers = dict.fromkeys((tmp_path / f"case {n}.radcase" for n in range(CASES)), 0)
    in_all, mid_write, took = 0, 0, 0.0
    for kill in range(KILLS):
        path = rng.choice(list(numbers))
        pid = editors.start(path, seed=kill)
        begun = time.perf_counter()
        at_most = rng.randrange(8 if took < 0.01 else 3)  # a busy disk need not take all day
        acknowledged = editors.acknowledged(at_most)
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
    assert in_all > KILLS / 2, "too few edits for the test to mean anything"
    assert mid_write > KILLS / 20, "too few kills in the middle of a write"


def _stop(pid):
    """Stop a process and wait until it stands still (state T in /proc, proc(5))."""
    os.kill(pid, signal.SIGSTOP)
    while Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "T":
        time.sleep(0.0005)


def test_a_copy_of_the_files_at_any_moment_holds_all_that_was_acknowledged(tmp_path, editors):
    """The power fails 100 times: what stands on the disk then is copied and opened elsewhere."""
    rng, mid_write = random.Random(97), 0
    path = tmp_path / "case.radcase"
    pid = editors.start(path, seed=5)
    acknowledged = editors.acknowledged(at_most=1)
    for cut in range(CUTS):
        acknowledged += editors.acknowledged(at_most=rng.randrange(1, 4))
        time.sleep(rng.uniform(0, 0.004))
        _stop(pid)
        acknowledged += editors.acknowledged(patience=0)
        copy = _copied(path, tmp_path / f"cut {cut}")
        mid_write += _hot(copy)
        _check(copy, acknowledged)
        os.kill(pid, signal.SIGCONT)
    os.kill(pid, signal.SIGKILL)
    editors.acknowledged()
    print(f"{CUTS} cuts, {mid_write} of them mid-write, {len(acknowledged)} edits acknowledged")
    assert mid_write, "no cut in the middle of a write"


def _copied(path, folder):
    folder.mkdir()
    for extra in ("", "-journal"):
        if Path(f"{path}{extra}").exists():
            shutil.copy(f"{path}{extra}", folder)
    return folder / path.name
