"""The one place where every number is derived, top to bottom.

film + landmarks -> scale -> readings -> findings -> post space. Screen, report,
command line and DICOM objects all show what stands here.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, partial
from types import MappingProxyType

import numpy as np

from radmeasure.measurements.catalogue import measure_all
from radmeasure.model.carried import Carried
from radmeasure.model.case import PlanChoice
from radmeasure.model.landmarks import Landmarks
from radmeasure.model.reading import Reading
from radmeasure.model.rulebook import Rulebook
from radmeasure.planning import gains, post_space
from radmeasure.planning.findings import findings_on
from radmeasure.planning.outline import level_values, outline_of
from radmeasure.planning.post_roots import severe_curvature
from radmeasure.quantity import Quantity
from radmeasure.workflow.changed import changed_since
from radmeasure.workflow.declare import declare, with_own_scale

# Draws of the Monte Carlo run; the standard deviation of 4000 draws is known to 1.1 %.
DRAWS = 4000


@dataclass(frozen=True, eq=False)
class ScaleReport:
    """The scale at the middle of the root, as shown and written.

    ``along`` and ``across`` are None on an uncalibrated film, ``foreshortening``
    unless two kinds of reference were placed.
    """

    along: Quantity | None
    across: Quantity | None
    foreshortening: Quantity | None
    notes: tuple


@dataclass(frozen=True, eq=False)
class Evaluation:
    """Everything derived from one film's landmarks.

    Attributes
    ----------
    landmarks : Landmarks
        As evaluated: with the film's own spacing or the file as scale where that applies.
    scale : ScaleReport
    readings : tuple of Reading
    findings : tuple of Finding
    post_space : tuple of PostSpace
    rulebook : Rulebook
        The rules it was derived by.
    choice : PlanChoice
        What the clinician chose for the post.
    work : object
        How it was made, for the next evaluation of the same film.
    """

    landmarks: Landmarks
    scale: ScaleReport
    readings: tuple
    findings: tuple
    post_space: tuple
    rulebook: Rulebook
    choice: PlanChoice
    make_gains: Callable
    make_outlines: Callable
    work: object = None

    @cached_property
    def gains(self):
        """Ways to gain tooth for a ferrule, a Gains per root; empty on an uncalibrated film."""
        return self.make_gains()

    @cached_property
    def outlines(self):
        """RootOutline by root, drawn in its own frame; without a scale in proportion only."""
        return self.make_outlines()

    def reading(self, id_, root=None, side=None, depth_mm=None):
        """The reading with this key, or None."""
        return self._by_key.get((id_, root, side, depth_mm))

    @cached_property
    def _by_key(self):
        return {r.key: r for r in self.readings}


def evaluate(
    landmarks,
    rulebook,
    spacing=None,
    choice=None,
    sizes=(),
    live=False,
    before=None,
    check=None,
):
    """Derive every number from landmarks.

    Parameters
    ----------
    landmarks : Landmarks
    rulebook : Rulebook
    spacing : Spacing, optional
        The film's own spacing, used as scale when the landmarks name none.
    choice : PlanChoice, optional
    sizes : tuple of PostSize
    live : bool
        True while a landmark is dragged: linear propagation only, and ways to gain tooth
        and outlines are worked out when they are asked for.
    before : Evaluation, optional
        Of the same film a moment ago: what rests on nothing that changed since is taken
        over from it. Without it the numbers are the same.
    check : callable, optional
        Asked again and again while draws are worked out; raises what is to end the work.

    Returns
    -------
    Evaluation
    """
    choice = choice or PlanChoice()
    landmarks, notes = with_own_scale(landmarks, spacing, rulebook)
    model = declare(landmarks, rulebook)
    earlier = before.work if before and before.rulebook is rulebook else None
    run = _Run(model, model.inputs.stencil(), rulebook, choice, sizes, earlier and earlier.run)
    work = _Work(run, Carried(earlier and earlier.carried))
    quantify = _Quantify(run, choice, sizes, live, work.carried, check)
    scale = _scale_report(run, quantify, rulebook, notes)
    readings = _readings(run, quantify)
    findings = tuple(findings_on(readings, landmarks.tooth, rulebook, work.carried))
    spaces = _post_spaces(run, quantify, rulebook, landmarks.tooth, sizes, findings)

    def ways():
        return _gains(run, quantify, rulebook, landmarks.tooth, spaces)

    def outlines():
        return _outlines(run, quantify)

    if not live:
        made = ways(), outlines()
        ways, outlines = (lambda: made[0]), (lambda: made[1])
    return Evaluation(
        landmarks, scale, readings, findings, spaces, rulebook, choice, ways, outlines, work
    )


# -- one run of all formulas ----------------------------------------------------------------------


class _Run:
    """All formulas on one sampling; ``earlier`` is a run of the same film on its stencil."""

    def __init__(self, model, sampling, rulebook, choice, sizes, earlier=None, check=None):
        self.model, self.sampling, self.rulebook = model, sampling, rulebook
        self.scale = model.scale.solve(sampling)
        sight = model.evidence.at(sampling, self.scale, check)
        sight.file_lengths = model.file_lengths(sampling)
        self.sight = sight
        changed = earlier and changed_since(model, self.scale, earlier.model, earlier.scale)
        if changed is not None:
            sight.take_over(earlier.sight, changed)
        self.measured = measure_all(sight, rulebook)
        self.table = {k: found for block in self.measured for k, found in block.items()}
        self.spaces = post_space.sample(sight, rulebook, choice, sizes)
        self._sample_gains = partial(gains.sample, sight, rulebook, choice, self.spaces)

    @cached_property
    def gains(self):
        return self._sample_gains()


@dataclass(frozen=True, eq=False)
class _Work:
    """How an evaluation was made: what the next one of the same film can take over."""

    run: _Run
    carried: Carried


class _Quantify:
    """Turns sampled values into quantities: linear, or Monte Carlo where too bent."""

    def __init__(self, run, choice, sizes, live, carried, check):
        self._run, self.live, self._drawn, self.carried = run, live, None, carried
        model = run.model
        draws = partial(model.inputs.draws, DRAWS)
        self._again = lambda: _Run(model, draws(), run.rulebook, choice, sizes, check=check)

    def __call__(self, get):
        """Quantity of ``get(run)`` (sampled values (K,) or None)."""
        if get(self._run) is None:
            return None
        return self.named(lambda run: {"": get(run)})[""]

    def part(self, of):
        """:meth:`named` of ``of(run)``."""
        return lambda get: self.named(lambda run: get(of(run)))

    def named(self, get, least=None, bent=()):
        """Quantities by name of ``get(run)``, a dict of name to sampled values (K,).

        ``least`` holds, by name, the value a quantity cannot fall below; ``bent`` the
        names to which the linear law does not apply.
        """
        values = get(self._run)
        if not values:
            return {}
        sampling = self._run.sampling
        found = self._linear(values)
        low = {n: q.interval95[0] < (least or {}).get(n, -np.inf) for n, q in found.items()}
        if self.live:
            for name in (name for name in found if low[name]):
                found[name] = self._not_below(found[name], least[name])
            return found
        stack = np.array(list(values.values()))
        for name, shown_bent in zip(found, sampling.too_bent(stack.T), strict=True):
            if shown_bent or low[name] or name in bent:
                drawn = get(self._redrawn()).get(name)
                # A canal on the verge of being straight may have no bend on the draws.
                if drawn is not None:
                    found[name] = _drawn_for(found[name], self._redrawn().sampling.quantity(drawn))
        return found

    def _linear(self, values):
        """Quantities by name by the linear law; those of arrays taken over are too."""
        find, keep = self.carried.find, self.carried.keep
        found = {name: find(array) for name, array in values.items()}
        new = [name for name, quantity in found.items() if quantity is None]
        if new:
            stack = np.array([values[name] for name in new])
            for name, quantity in zip(new, self._run.sampling.quantities(stack), strict=True):
                found[name] = keep(quantity, values[name])
        return found

    def _not_below(self, quantity, least):
        known = self.carried.find(quantity)
        if known is None:
            interval = (least, quantity.interval95[1])
            known = self.carried.keep(replace(quantity, interval95=interval), quantity)
        return known

    def _redrawn(self):
        if self._drawn is None:
            self._drawn = self._again()
        return self._drawn


def _drawn_for(linear, drawn):
    """The quantity of draws, with value and budget of the linear one."""
    low, high = drawn.interval95
    interval = (min(low, linear.value), max(high, linear.value))
    return replace(
        drawn,
        value=linear.value,
        interval95=interval,
        contributions=linear.contributions,
        sources=linear.sources,
    )


def _readings(run, quantify):
    """All readings, those of a measurement of which nothing has changed as they were."""
    # At rest some quantities come from draws, whatever the linear law gave before.
    find = quantify.carried.find if quantify.live else lambda *_: None
    known = [find(block) for block in run.measured]
    new = [b for b, readings in zip(run.measured, known, strict=True) if readings is None]
    table = {k: found for block in new for k, found in block.items() if found}

    def values(run):
        return {k: run.table[k].values for k in table if run.table[k]}

    least = {k: found.least for k, found in table.items()}
    bent = {k for k, found in table.items() if found.bent}
    quantities = quantify.named(values, least, bent)

    def made(block):
        readings = tuple(_reading(k, found, quantities.get(k)) for k, found in block.items())
        return quantify.carried.keep(readings, block) if quantify.live else readings

    blocks = zip(run.measured, known, strict=True)
    return tuple(r for block, readings in blocks for r in readings or made(block))


def _reading(key, found, quantity):
    id_, root, side, depth = key
    if quantity is None:
        return Reading(id_, root, side, found.unit, depth, missing=found.waits_for, why=found.why)
    method = found.method + ("; Monte Carlo" if quantity.by_monte_carlo else "")
    return Reading(id_, root, side, found.unit, depth, quantity, method, remark=found.remark)


def _post_spaces(run, quantify, rulebook, tooth, sizes, findings):
    def settled(root, space):
        curved = severe_curvature(root, findings)
        known = quantify.carried.find(space, curved) if quantify.live else None
        if known is None:
            named = quantify.part(lambda r: r.spaces[root])
            known = post_space.settle(space, named, rulebook, tooth, sizes, findings)
            if quantify.live:
                quantify.carried.keep(known, space, curved)
        return known

    return tuple(settled(root, space) for root, space in run.spaces.items())


def _gains(run, quantify, rulebook, tooth, spaces):
    def settled(root, deepest):
        named = quantify.part(lambda r: r.gains[root])
        return gains.settle(run.gains[root], named, rulebook, tooth, deepest)

    return tuple(settled(space.root, space.deepest) for space in spaces)


def _outlines(run, quantify):
    def outline(root):
        levels = quantify.named(lambda r: level_values(r.sight, root))
        return outline_of(run.sight, root, levels.__getitem__)

    drawn = (root for root in run.sight.roots if run.sight.frame(root) is not None)
    return MappingProxyType({root: outline(root) for root in drawn})


def _scale_report(run, quantify, rulebook, notes):
    scale = run.scale
    notes = [*notes, *scale.notes]
    if not scale.calibrated:
        return ScaleReport(None, None, None, tuple(notes))

    def middle(r):
        """Half-way down the first root whose axis is drawn: (along, across)."""
        for root in r.sight.roots:
            apex = r.sight.depth("apex", root)
            if apex is not None:
                return r.scale.at(0.5 * apex[0], root)
        return r.scale.along, r.scale.across

    along = quantify(lambda r: middle(r)[0])
    across = quantify(lambda r: middle(r)[1])
    f = None
    if scale.foreshortening is not None:
        f = quantify(lambda r: middle(r)[1] / middle(r)[0])
        limit = rulebook.value("scale.foreshortening_warning")
        if abs(f.value - 1) >= limit:
            word = "foreshortened" if f.value < 1 else "elongated"
            notes.append(
                f"the film is {word}: {100 * (f.value - 1):+.0f} ± {196 * f.u:.0f} % along the "
                "tooth; the readings along the tooth are corrected for it"
            )
    return ScaleReport(along, across, f, tuple(notes))
