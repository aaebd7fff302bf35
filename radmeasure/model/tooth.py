"""Teeth by ISO 3950 designation."""

from dataclasses import dataclass

from radmeasure.errors import InputError

_PERMANENT = (
    "central incisor",
    "lateral incisor",
    "canine",
    "first premolar",
    "second premolar",
    "first molar",
    "second molar",
    "third molar",
)
_PRIMARY = ("central incisor", "lateral incisor", "canine", "first molar", "second molar")

ROOT_NAMES = (
    "single",
    "mesial",
    "distal",
    "mesiobuccal",
    "distobuccal",
    "palatal",
    "buccal",
    "lingual",
)


@dataclass(frozen=True)
class Tooth:
    """A tooth named by its two-digit ISO 3950 designation.

    Parameters
    ----------
    fdi : str
        Two digits, e.g. ``"11"``; quadrants 1-4 permanent, 5-8 primary.

    Raises
    ------
    InputError
        ISO 3950 has no such tooth.

    Examples
    --------
    >>> Tooth("36").name
    'mandibular left first molar'
    >>> Tooth("11").universal
    '8'
    """

    fdi: str

    def __post_init__(self):
        ok = (
            isinstance(self.fdi, str)
            and len(self.fdi) == 2
            and self.fdi[0] in "12345678"
            and self.fdi[1] in ("12345678" if self.fdi[0] in "1234" else "12345")
        )
        if not ok:
            raise InputError(
                f"tooth {self.fdi!r} is not an ISO 3950 designation",
                "use two digits such as '11' or '36' (quadrant 1-4, tooth 1-8; primary 51-85)",
            )

    @property
    def quadrant(self):
        """ISO 3950 quadrant with primary teeth mapped to 1-4."""
        return (int(self.fdi[0]) - 1) % 4 + 1

    @property
    def position(self):
        """Position from the midline, 1 (central incisor) to 8."""
        return int(self.fdi[1])

    @property
    def primary(self):
        return self.fdi[0] in "5678"

    @property
    def upper(self):
        return self.quadrant in (1, 2)

    @property
    def right(self):
        """True on the patient's right."""
        return self.quadrant in (1, 4)

    @property
    def kind(self):
        """'incisor', 'canine', 'premolar' or 'molar'."""
        return self.type_name.split()[-1]

    @property
    def type_name(self):
        """Name without jaw and side, e.g. 'first molar'."""
        return (_PRIMARY if self.primary else _PERMANENT)[self.position - 1]

    @property
    def jaw_type(self):
        """Jaw and type joined by underscores, the key of size tables."""
        return f"{'maxillary' if self.upper else 'mandibular'}_{self.type_name.replace(' ', '_')}"

    @property
    def name(self):
        parts = ["maxillary" if self.upper else "mandibular", "right" if self.right else "left"]
        if self.primary:
            parts.append("primary")
        return " ".join([*parts, self.type_name])

    @property
    def universal(self):
        """Universal numbering: 1-32 from upper right third molar, A-T for primary."""
        n, p = (5, self.position) if self.primary else (8, self.position)
        place = {1: n + 1 - p, 2: n + p, 3: 3 * n + 1 - p, 4: 3 * n + p}[self.quadrant]
        return chr(ord("A") + place - 1) if self.primary else str(place)

    @property
    def usual_roots(self):
        """Root names this tooth usually has, in the order they are listed."""
        if self.kind != "molar":
            return ("single",)
        return ("mesiobuccal", "distobuccal", "palatal") if self.upper else ("mesial", "distal")

    @property
    def mesial_sign(self):
        """+1 when mesial points to +x on a film viewed from the front, else -1.

        Films are viewed from in front of the patient (patient's right on the
        viewer's left), the usual mounting (common practice, no source).
        """
        return 1 if self.right else -1

    @property
    def apical_sign(self):
        """-1 when the apex lies towards -y (upper jaw, crown down), else +1."""
        return -1 if self.upper else 1
