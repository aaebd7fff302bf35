"""Worksheet entries the film fills: readings, their verdicts, and the plan's own rows."""

from dataclasses import dataclass

from radmeasure.model.plan import AGAINST, FOR, NO_SHALLOWER, OPEN
from radmeasure.planning.post_roots import root_for_post
from radmeasure.quantity import FAILS, MEETS, Quantity, verdict

# A filling or a lesion of any root concerns the whole tooth.
_ANY_ROOT = ("filling.", "lesion.")


@dataclass(frozen=True)
class FilmAnswer:
    """What the film says to an entry; ``stance`` is None while landmarks are missing."""

    stance: str | None = None
    findings: tuple = ()
    quantity: Quantity | None = None
    waits_for: tuple = ()


class FilmEvidence:
    """Readings, findings, post space and gains of one film, asked entry by entry.

    Parameters
    ----------
    readings, findings, spaces, gains : tuple
        Of the film's evaluation; all empty when the tooth has no film.
    choice : PlanChoice
    rules : Rulebook
    """

    def __init__(self, readings, findings, spaces, gains, choice, rules):
        self._readings, self._findings, self._rules = readings, findings, rules
        self._certainty = rules.value("verdict.certainty")
        root = root_for_post(spaces, choice)
        if root is None and spaces:
            root = spaces[0].root
        self.root = root
        self._space = next((s for s in spaces if s.root == root), None)
        self._gains = next((g for g in gains if g.root == root), None)

    def answer(self, entry):
        """FilmAnswer of a film entry."""
        plan = {"plan.room": self._room, "plan.dentine": self._dentine, "plan.ferrule": self._gain}
        rule = entry.rules[0]
        return plan[rule]() if rule in plan else self._judged(entry)

    # -- rules of the rulebook ------------------------------------------------
    def _judged(self, entry):
        found = tuple(f for f in self._findings if f.rule in entry.rules and self._speaks(f))
        if not found:
            return FilmAnswer(waits_for=self._waits(entry))
        # Of several sides the mean decides where there is one; one side alone leaves it open.
        means = tuple(f for f in found if f.side == "mean") or found
        if any(f.verdict == FAILS for f in means):
            return FilmAnswer(AGAINST, found)
        return FilmAnswer(FOR if all(f.verdict == MEETS for f in found) else OPEN, found)

    def _speaks(self, finding):
        return finding.rule.startswith(_ANY_ROOT) or self._is_ours(finding.root)

    def _is_ours(self, root):
        # Without a scale no root is planned for a post, and every root speaks.
        return self.root is None or root in (None, self.root)

    def _waits(self, entry):
        ids = {self._rules.rules[rule].reading for rule in entry.rules if rule in self._rules.rules}
        lacking = [
            name
            for reading in self._readings
            if reading.id in ids and self._is_ours(reading.root)
            for name in reading.missing
        ]
        return tuple(dict.fromkeys(lacking))

    # -- the plan ----------------------------------------------------------------
    def _room(self):
        space = self._space
        if space is None:
            return FilmAnswer()
        if not space.admitted:
            return FilmAnswer(AGAINST)
        if space.p_feasible is None:
            lacking = [n for row in space.limits if row.quantity is None for n in row.missing]
            return FilmAnswer(waits_for=tuple(dict.fromkeys((*space.missing, *lacking))))
        decided = verdict(space.p_feasible, self._certainty)
        stance = {MEETS: FOR, FAILS: AGAINST}.get(decided, OPEN)
        worst = space.clashes[0][1] if space.clashes else None
        return FilmAnswer(stance, quantity=worst)

    def _dentine(self):
        space = self._space
        row = None if space is None else space.limit("dentine")
        if row is None or row.quantity is None:
            return FilmAnswer(waits_for=() if row is None else row.missing)
        if space.deepest is None:
            return FilmAnswer(waits_for=space.missing)
        if space.deepest_because != "dentine":
            return FilmAnswer(FOR, quantity=row.quantity)
        asked = [r.quantity.value for r in space.limits if r.side == NO_SHALLOWER and r.quantity]
        thin = bool(asked) and row.quantity.value < min(asked)
        return FilmAnswer(AGAINST if thin else OPEN, quantity=row.quantity)

    def _gain(self):
        gains = self._gains
        if gains is None:
            return FilmAnswer()
        if gains.missing:
            return FilmAnswer(waits_for=gains.missing)
        best = None
        for option in gains.options:
            stance, found = _obtainable(option)
            if best is None or _ORDER.index(stance) < _ORDER.index(best[0]):
                best = (stance, found)
        stance, found = best
        if stance == AGAINST and not any(f.rule == "crown_root.least" for f in found):
            return FilmAnswer(waits_for=("coronal_reference", "planned_crown_mm"))
        return FilmAnswer(stance, found)


_ORDER = (FOR, OPEN, AGAINST)


def _obtainable(option):
    """(stance, findings): ferrule on both sides, and the crown not outgrowing the root for it."""
    ferrule = tuple(f for f in option.findings if f.rule == "ferrule.height")
    ratio = tuple(f for f in option.findings if f.rule == "crown_root.least")
    if all(f.verdict == MEETS for f in ferrule) and option.kind == "as_is":
        return FOR, ferrule
    found = ferrule + ratio
    if not ratio or any(f.verdict == FAILS for f in found):
        return AGAINST, found
    return (FOR if all(f.verdict == MEETS for f in found) else OPEN), found
