"""What was made of objects that stay the same, handed from one evaluation to the next."""


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
