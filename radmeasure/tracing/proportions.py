"""How long and wide teeth usually are: the yardstick of a film without a scale.

Sizes in mm, means of permanent teeth. Crown, root and cervical width: Ash & Nelson,
Wheeler's Dental Anatomy, Physiology and Occlusion, 9th ed., table 1-1 (crown and root
read, widths partly from memory); primary teeth: Black's table as reprinted there (memory).
The curvature of the cervical line is the mean of its mesial and distal depth, same table
(memory). They only steer a search; nothing measured is ever derived from them.
"""

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Proportions:
    """Usual size of one tooth type, mm."""

    crown: float
    root: float
    cervix: float
    curvature: float

    @property
    def length(self):
        return self.crown + self.root

    def branch(self):
        """One root of several: about half as wide as the neck (own films, derived)."""
        return replace(self, cervix=0.48 * self.cervix)


_UPPER = (
    Proportions(10.5, 13.0, 7.0, 3.0),
    Proportions(9.0, 13.0, 5.0, 2.5),
    Proportions(10.0, 17.0, 5.5, 2.0),
    Proportions(8.5, 14.0, 5.0, 0.5),
    Proportions(8.5, 14.0, 5.0, 0.5),
    Proportions(7.5, 12.5, 8.0, 0.5),
    Proportions(7.0, 11.5, 7.0, 0.5),
    Proportions(6.5, 11.0, 6.5, 0.5),
)
_LOWER = (
    Proportions(9.0, 12.5, 3.5, 2.5),
    Proportions(9.5, 14.0, 4.0, 2.5),
    Proportions(11.0, 16.0, 5.5, 1.75),
    Proportions(8.5, 14.0, 5.0, 0.5),
    Proportions(8.0, 14.5, 5.0, 0.5),
    Proportions(7.5, 14.0, 9.0, 0.5),
    Proportions(7.0, 13.0, 8.0, 0.5),
    Proportions(7.0, 11.0, 7.5, 0.5),
)
_PRIMARY_UPPER = (
    Proportions(6.0, 10.0, 4.5, 2.0),
    Proportions(5.6, 11.4, 3.7, 1.5),
    Proportions(6.5, 13.5, 5.1, 1.5),
    Proportions(5.1, 10.0, 5.2, 0.5),
    Proportions(5.7, 11.7, 6.4, 0.5),
)
_PRIMARY_LOWER = (
    Proportions(5.0, 9.0, 3.0, 1.5),
    Proportions(5.2, 10.0, 3.5, 1.5),
    Proportions(6.0, 11.5, 4.1, 1.5),
    Proportions(6.0, 9.8, 6.5, 0.5),
    Proportions(5.5, 11.3, 7.2, 0.5),
)


def usual(tooth):
    """Proportions of ``tooth`` (model.Tooth)."""
    if tooth.primary:
        return (_PRIMARY_UPPER if tooth.upper else _PRIMARY_LOWER)[tooth.position - 1]
    return (_UPPER if tooth.upper else _LOWER)[tooth.position - 1]
