"""Power cuts at every moment of a day's edits: is what was acknowledged on the disk?

An editor runs under ``strace``; its writes, syncs, truncations and renames are
read from the trace. For a power cut after each of them the disk is built as it
may look then: what was synced stands; of the rest nothing, everything, or any
part, torn at 512 bytes. File names change in order (a journalling file system)
and are certain only after a sync of the folder. Each disk is opened, and must
hold every edit acknowledged before the cut.

``--without-sync`` switches syncing off: then losses must show, or the
experiment sees nothing.

    python tests/experiments/power_cuts.py [--edits N] [--draws N] [--without-sync]

Needs Linux and strace.
"""

import argparse
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

HERE = Path(__file__).resolve().parent
PATHS = [str(HERE.parents[1]), str(HERE.parent), str(HERE.parent / "workflow")]
sys.path[:0] = PATHS
SECTOR = 512
CALLS = "openat,pwrite64,write,fdatasync,fsync,ftruncate,unlink,rename"
TEXT = r'"((?:\\x[0-9a-f]{2})*)"'
LINE = re.compile(r"^\d+\s+(\w+)\((.*)\)\s+= (-?\d+)")


# -- the editor -------------------------------------------------------------------
def edit(path, edits, synced):
    from crash_child import digest, one_change, say

    from radmeasure.workflow import session as session_module

    session_module.SNAPSHOT_EVERY = 7
    session = session_module.Session.create(path)
    if not synced:
        session._file._connection.execute("PRAGMA synchronous = OFF")
    rng = random.Random(edits)
    while session._timeline.seq < edits:
        seq = session._timeline.seq
        one_change(session, rng)
        if session._timeline.seq > seq:
            say(f"ack {session._timeline.seq} {digest(session.case)}")
    session.close()


def traced(folder, edits, synced):
    """Run the editor; the trace as text."""
    trace = Path(folder, "trace")
    work = Path(folder, "work")
    work.mkdir()
    command = ["strace", "-f", "-y", "-xx", "-s", "10000000", "-o", str(trace), "-e", CALLS]
    command += [sys.executable, __file__, "--child", str(work / "case.radcase")]
    command += ["--edits", str(edits)] + ([] if synced else ["--without-sync"])
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    subprocess.run(command, check=True, env=env, stdout=subprocess.PIPE)
    return work, trace.read_text()


# -- the trace ---------------------------------------------------------------------
def _bytes(text):
    return bytes.fromhex(text.replace("\\x", ""))


def operations(text, work):
    """(operation, name, ...) for all done in the folder ``work``, and ('ack', seq, digest)."""
    for line in text.splitlines():
        match = LINE.match(line)
        if not match or match[3] == "-1":
            continue
        call, args = match[1], match[2]
        if call == "write" and args.startswith("1<"):
            word, *rest = _bytes(re.search(TEXT, args)[1]).decode().split()
            yield (word, int(rest[0]), rest[1])
            continue
        names = [_bytes(found) for found in re.findall(r"((?:\\x[0-9a-f]{2})+)[\">]", args)]
        inside = [name.decode() for name in names if name.startswith(str(work).encode())]
        if inside and not inside[0].endswith(".lock"):
            yield from _operation(call, args, [os.path.relpath(name, work) for name in inside])


def _operation(call, args, names):
    if call == "openat" and "O_CREAT" in args:
        yield ("create", names[0])
    elif call == "pwrite64":
        data = _bytes(re.search(TEXT, args)[1])
        yield ("write", names[0], int(args.rsplit(",", 1)[1]), data)
    elif call in ("fdatasync", "fsync"):
        yield ("sync", names[0])
    elif call == "ftruncate":
        yield ("truncate", names[0], int(args.rsplit(",", 1)[1]))
    elif call in ("unlink", "rename"):
        yield (call, *names)


# -- the disk ------------------------------------------------------------------------
class Disk:
    """What is certain to stand on the disk, and what is only under way."""

    def __init__(self):
        self.names, self.certain_names, self.pending_names = {}, {}, []
        self.certain, self.pending = {}, {}

    def do(self, operation):
        kind, name, *rest = operation
        if kind == "create" and name not in self.names:
            number = len(self.certain)
            self.certain[number], self.pending[number] = b"", []
            self._rename(("create", name, number))
        elif kind in ("unlink", "rename"):
            self._rename(operation)
        elif kind in ("write", "truncate"):
            self.pending[self.names[name]].append((kind, *rest))
        elif kind == "sync" and name == ".":
            self.certain_names, self.pending_names = dict(self.names), []
        elif kind == "sync":
            number = self.names[name]
            self.certain[number] = _written(self.certain[number], self.pending[number])
            self.pending[number] = []

    def _rename(self, operation):
        self.pending_names.append(operation)
        _named(self.names, operation)

    def after_a_cut(self, rng, luck):
        """name -> bytes; ``luck`` is 'nothing', 'everything' or 'any' of what was under way."""
        keep = {"nothing": 0, "everything": len(self.pending_names)}
        names = dict(self.certain_names)
        for operation in self.pending_names[
            : keep.get(luck, rng.randint(0, len(self.pending_names)))
        ]:
            _named(names, operation)
        return {name: self._content(number, rng, luck) for name, number in names.items()}

    def _content(self, number, rng, luck):
        under_way = {"nothing": [], "everything": self.pending[number]}
        if luck == "any":
            under_way["any"] = _any(self.pending[number], rng)
        return _written(self.certain[number], under_way[luck])


def _named(names, operation):
    kind, name, *rest = operation
    if kind == "create":
        names[name] = rest[0]
    elif kind == "unlink":
        names.pop(name, None)
    elif name in names:
        names[rest[0]] = names.pop(name)


def _any(pending, rng):
    """Some of the writes, some of those torn."""
    for kind, *rest in pending:
        fate = rng.choice(("kept", "lost", "torn"))
        if fate == "kept" or (fate == "torn" and kind == "truncate"):
            yield (kind, *rest)
        elif fate == "torn":
            offset, data = rest
            for start in range(0, len(data), SECTOR):
                if rng.random() < 0.5:
                    yield (kind, offset + start, data[start : start + SECTOR])


def _written(content, writes):
    content = bytearray(content)
    for kind, offset, *data in writes:
        if kind == "truncate":
            del content[offset:]
            content.extend(bytes(offset - len(content)))
        else:
            content.extend(bytes(max(0, offset - len(content))))
            content[offset : offset + len(data[0])] = data[0]
    return bytes(content)


# -- the question ------------------------------------------------------------------------
def verdict(files, acknowledged, folder):
    """'kept', 'lost', 'does not open' or 'not begun' for one disk."""
    from crash_child import digest

    from radmeasure.errors import CaseError
    from radmeasure.workflow.session import Session

    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name, content in files.items():
        (folder / name).write_bytes(content)
    if "case.radcase" not in files and not acknowledged:
        return "not begun"
    try:
        with Session.open(folder / "case.radcase") as session:
            seq, shown = session._timeline.seq, digest(session.case)
    except CaseError:
        return "does not open"
    last, expected = acknowledged[-1] if acknowledged else (0, shown)
    kept = seq == last + 1 or (seq == last and shown == expected)
    return "kept" if kept else "lost"


def run(edits, draws, synced):
    counts, disk, acknowledged, cuts = Counter(), Disk(), [], 0
    rng = random.Random(1)
    with tempfile.TemporaryDirectory() as folder:
        work, text = traced(folder, edits, synced)
        scratch = Path(tempfile.mkdtemp(dir="/dev/shm"))
        for operation in operations(text, work):
            if operation[0] == "ack":
                acknowledged.append(operation[1:])
                continue
            disk.do(operation)
            cuts += 1
            for luck in ("nothing", "everything", *["any"] * draws):
                files = disk.after_a_cut(rng, luck)
                counts[verdict(files, acknowledged, scratch / "disk")] += 1
        shutil.rmtree(scratch)
    return {"edits": len(acknowledged), "moments": cuts, "disks": sum(counts.values()), **counts}


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--edits", type=int, default=60)
    parser.add_argument("--draws", type=int, default=4)
    parser.add_argument("--without-sync", action="store_true")
    parser.add_argument("--child", help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.child:
        edit(args.child, args.edits, not args.without_sync)
    else:
        print(json.dumps(run(args.edits, args.draws, not args.without_sync)))


if __name__ == "__main__":
    main()
