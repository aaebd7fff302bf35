"""Edits a case until it is killed; acknowledges each edit only after it returned.

Reads lines ``seed path`` from standard input and forks one editor for each, so
that being killed 200 times does not cost 200 starts. Writes ``pid N`` before an
editor works, ``ack SEQ DIGEST`` after each of its edits and ``dead N`` after
its end. DIGEST is of the whole case as the editor would show it then.
"""

import hashlib
import json
import os
import random
import sys

from edit_makers import films_of, random_edit

from radmeasure.model.case_json import case_to_json
from radmeasure.workflow import session as session_module
from radmeasure.workflow.session import Session

FILM_BYTES = 300_000


def digest(case):
    return hashlib.sha256(json.dumps(case_to_json(case)).encode()).hexdigest()[:16]


def say(words):
    os.write(1, (words + "\n").encode())  # shorter than PIPE_BUF: whole or not at all


def one_change(session, rng):
    action = rng.choices(("edit", "nudge", "film", "undo", "redo"), (60, 15, 5, 15, 5))[0]
    if action == "undo" and session.can_undo:
        session.undo()
    elif action == "redo" and session.can_redo:
        session.redo()
    elif action == "film":
        session.add_film(rng.randbytes(FILM_BYTES), "large.dcm")
    else:
        edit = random_edit(session.case, rng)
        session.apply(edit, merge=action == "nudge", films=films_of(edit))


def work(path, seed):
    session_module.SNAPSHOT_EVERY = 20
    rng = random.Random(seed)
    session = Session.open(path) if os.path.exists(path) else Session.create(path)
    while True:
        seq = session._timeline.seq
        one_change(session, rng)
        if session._timeline.seq > seq:  # an edit that changes nothing is no event
            say(f"ack {session._timeline.seq} {digest(session.case)}")


def main():
    for line in sys.stdin:
        seed, path = line.rstrip("\n").split(" ", 1)
        pid = os.fork()
        if pid == 0:
            say(f"pid {os.getpid()}")
            try:
                work(path, int(seed))
            finally:
                os._exit(1)
        _, status = os.waitpid(pid, 0)
        say(f"dead {os.waitstatus_to_exitcode(status)}")


if __name__ == "__main__":
    main()
