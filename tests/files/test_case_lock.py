"""The lock beside a case: one holder, gone with its process, however that ends."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from radmeasure.files.case_lock import Holder, lock_path, take

ROOT = Path(__file__).parents[2]
HOLD = (
    "import sys; from radmeasure.files.case_lock import take; lock, holder = take(sys.argv[1]);"
    "print('held' if lock else holder.pid, flush=True); sys.stdin.read()"
)


@pytest.fixture
def case(quick_folder):
    return quick_folder / "case.radcase"


def _process(case):
    """Another process that takes the lock and holds it until its input ends."""
    return subprocess.Popen(
        [sys.executable, "-c", HOLD, str(case)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def _end(process):
    process.kill()
    process.communicate()


def test_one_of_two_gets_it_and_the_other_learns_who(case):
    lock, holder = take(case)
    assert holder is None and not lock.was_left
    second, holder = take(case)
    assert second is None and holder.pid == os.getpid() and str(holder.pid) in holder.words
    lock.release()
    assert not lock_path(case).exists()
    lock.release()  # twice does no harm


def test_another_process_is_kept_out_and_named(case):
    process = _process(case)
    assert process.stdout.readline() == "held\n"
    lock, holder = take(case)
    assert lock is None and holder.pid == process.pid and holder.host and holder.since
    _end(process)
    lock, _ = take(case)
    assert lock.was_left  # it was killed, the text it left says so
    lock.release()


def test_a_lock_file_alone_keeps_nobody_out(case):
    """Left behind by a power cut, on a machine whose process numbers mean nothing now."""
    lock_path(case).write_text(json.dumps({"user": "x", "host": "y", "pid": os.getppid()}))
    lock, _ = take(case)
    assert lock is not None and lock.was_left
    lock.release()


def test_a_half_written_text_is_still_another_window(case):
    lock, _ = take(case)
    os.ftruncate(lock._handle, 3)
    assert take(case)[1] == Holder() and Holder().words == "another window"
    lock.release()


def test_two_names_of_one_file_share_the_lock(case, quick_folder):
    case.write_bytes(b"")
    link = quick_folder / "link.radcase"
    link.symlink_to(case)
    lock, _ = take(link)
    assert take(case)[0] is None
    lock.release()


def test_many_who_come_and_go_are_never_two_at_once(case):
    """Removing and re-making the file leaves no gap in which two could hold it."""
    code = (
        "import sys, os; from radmeasure.files.case_lock import take\n"
        "case, mark, won = sys.argv[1], sys.argv[2], 0\n"
        "while won < 150:\n"
        "    lock, _ = take(case)\n"
        "    if lock:\n"
        "        os.close(os.open(mark, os.O_CREAT | os.O_EXCL))\n"  # fails if another is inside
        "        os.unlink(mark); lock.release(); won += 1\n"
    )
    args = [sys.executable, "-c", code, str(case), str(case.with_name("inside"))]
    started = time.monotonic()
    processes = [subprocess.Popen(args, cwd=ROOT, stderr=subprocess.PIPE) for _ in range(3)]
    assert [process.communicate(timeout=50)[1] for process in processes] == [b""] * 3
    assert time.monotonic() - started < 50
