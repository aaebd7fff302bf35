"""What is exactly true of a synthetic film."""

from dataclasses import dataclass, field
from types import MappingProxyType

from radmeasure.model.landmarks import Landmarks


@dataclass(frozen=True)
class Truth:
    """Exact values of a synthetic film, computed from the 3-D model.

    Attributes
    ----------
    landmarks : Landmarks
        Projected landmarks, px, to better than a hundredth of a pixel.
    values : mapping of 'reading|root|side' to float
        3-D truth in the unit of the reading (mm, mm2, deg, %, 1).
    profiles : mapping of root name to mapping of name to tuple
        Per millimetre of depth from the orifice: ``depth_mm``, ``root_width``,
        ``canal_width``, ``dentine_mesial``, ``dentine_distal``, mm.
    px_per_mm_along, px_per_mm_across : float
        Scale along and across the tooth at mid-root, pixels per mm.
    pitch_mm, magnification : float
        Receptor pitch, and magnification of the tooth's plane.
    outlines : mapping of name to tuple of (x, y) px
        Silhouettes of the tooth's parts.
    """

    landmarks: Landmarks
    values: MappingProxyType
    px_per_mm_along: float
    px_per_mm_across: float
    pitch_mm: float
    magnification: float
    profiles: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    outlines: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
