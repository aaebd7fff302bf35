"""Intermediate results, each with what it rests on.

Moving one landmark changes few of the numbers. While a result is made, everything read
for it is noted: places, lines, the scale, and what other results rest on. When the same
film is evaluated again, a result that rests on nothing that has changed is taken over, the
same object. A ``make`` must fetch all it uses itself: what it brings along from outside
is not seen (tests/workflow/test_evaluate_again.py moves everything on every sample film).
"""


class Kept:
    """Results by name, made once, and what each rests on.

    Parameters
    ----------
    check : callable, optional
        Asked before each result is made; raises what is to end the work.
    """

    def __init__(self, check=None):
        self._check = check
        self._made = {}  # name -> (result, names of what was read)
        self._open = []  # what was read so far for the results being made

    def once(self, name, make):
        """``make()`` the first time ``name`` is asked for, the same object afterwards."""
        found = self._made.get(name)
        if found is None:
            if self._check:
                self._check()
            read = set()
            self._open.append(read)
            try:
                result = make()
            finally:
                self._open.pop()
            found = self._made[name] = (result, frozenset(read))
        if self._open:
            self._open[-1].update(found[1])
        return found[0]

    def note(self, what):
        """``what`` was read for the results being made."""
        if self._open:
            self._open[-1].add(what)

    def take_over(self, before, changed):
        """Keep what an earlier evaluation made of nothing that is among ``changed``."""
        # A list: another thread may still ask that evaluation for more.
        for name, found in list(before._made.items()):
            if found[1].isdisjoint(changed):
                self._made[name] = found
