"""What one evaluation hands to the next of the same film, so that little is done twice."""


class Carried:
    """Results by the very objects they were made of.

    Formulas whose inputs did not change are taken over as the same arrays
    (:mod:`radmeasure.measurements.kept`); so are, by this, their quantities, readings and
    findings. Only what the evaluation just before made is at hand.
    """

    def __init__(self, before=None):
        self._before = before._made if before else {}
        self._made = {}

    def find(self, first, second=None):
        """The result made of one or two objects, or None."""
        key = (id(first), id(second))
        found = self._made.get(key) or self._before.get(key)
        if found is None:
            return None
        self._made[key] = found
        return found[0]

    def keep(self, result, first, second=None):
        """Remember a result; the objects are kept too, so that none else can take their place."""
        self._made[id(first), id(second)] = (result, first, second)
        return result


def changed_since(model, scale, earlier, earlier_scale):
    """What differs between two declared films.

    Parameters
    ----------
    model, earlier : FilmModel
    scale, earlier_scale : SampledScale
        Solved on the stencils of both.

    Returns
    -------
    set or None
        (root or None, name) of places and lines that differ, and 'scale' where that does;
        None when more differs than that, and nothing can be taken over.
    """
    now, was = model.landmarks, earlier.landmarks
    alike = (
        now.tooth == was.tooth
        and now.given == was.given
        and tuple(now.roots) == tuple(was.roots)
        and scale.calibrated == earlier_scale.calibrated
        and model.evidence.mm_per_px == earlier.evidence.mm_per_px
    )
    moved = model.inputs.moved_from(earlier.inputs) if alike else None
    if moved is None:
        return None
    changed = {(r, name) for r, name, at in now.placed() if at != was.get(name, r)}
    if not moved <= model.evidence.places_of(changed):
        return None  # a reference, or what was entered
    if not scale.equals(earlier_scale):
        changed.add("scale")
    return changed
