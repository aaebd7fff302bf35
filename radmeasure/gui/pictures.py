"""Which picture explains a reading or a rule."""

from radmeasure.gui.schematic import Picture


def _along(*spans, shows=()):
    return Picture(spans=spans, shows=shows)


_SEAL = _along(("post_end", "filling_end"), shows=("post", "filling"))
_ANGLE = Picture(shows=("bend",), special="angle")
_RADIUS = Picture(shows=("bend",), special="radius")
_DIAMETER = Picture(special="diameter")

READINGS = {
    "tooth_length": _along(("reference", "apex")),
    "canal_length": _along(("reference", "face"), ("face", "apex")),
    "working_length": _along(("reference", "short"), shows=("file",)),
    "stop_setting": _along(("reference", "short"), shows=("file",)),
    "file_gap": _along(("tip", "apex"), shows=("file",)),
    "filling_to_apex": _along(("filling_end", "apex"), shows=("filling",)),
    "filling_length": _along(("face", "filling_end"), shows=("filling",)),
    "filling_depth": _along(("face", "filling_top"), shows=("post", "filling")),
    "residual_filling": _SEAL,
    "post_gap": _along(("post_end", "filling_top"), shows=("post", "filling")),
    "post_length": _along(("margin", "post_end"), shows=("post",)),
    "post_depth": _along(("face", "post_end"), shows=("post",)),
    "post_depth_in_bone": _along(("crest", "post_end"), shows=("post",)),
    "crown_length": _along(("reference", "cej")),
    "root_length": _along(("cej", "apex")),
    "clinical_crown_length": _along(("reference", "crest")),
    "clinical_root_length": _along(("crest", "apex")),
    "cej_to_crest": _along(("cej", "crest")),
    "margin_to_crest": _along(("margin", "crest")),
    "ferrule_available": _along(("margin", "attachment")),
    "ferrule_shortfall": _along(("margin", "attachment")),
    "lesion_area": Picture(special="area"),
    "lesion_diameter": _DIAMETER,
    "lesion_width": Picture(special="extent"),
    "crown_root_anatomic": _along(("reference", "cej"), ("cej", "apex")),
    "crown_root_clinical": _along(("reference", "crest"), ("crest", "apex")),
    "bone_support": _along(("crest", "apex"), ("cej", "apex")),
    "bone_loss": _along(("cej", "crest"), ("cej", "apex")),
    "bone_loss_corrected": _along(("cej", "crest"), ("cej", "apex")),
    "curvature_schneider": _ANGLE,
    "curvature_arc": Picture(shows=("bend",), special="arc"),
    "curvature_radius": _RADIUS,
    "straight_length": _along(("face", "bend"), shows=("bend",)),
    "root_width": Picture(across=(("root", "post_end"),)),
    "canal_width": Picture(across=(("canal", "crest"),)),
    "dentine_mesial": Picture(across=(("dentine mesial", "post_end"),)),
    "dentine_distal": Picture(across=(("dentine distal", "post_end"),)),
}

_BESIDE = Picture(across=(("dentine", "post_end"),), shows=("post",))
_SHARE = Picture(across=(("root", "post_end"), ("post", "crest")), shows=("post",))
_WIDE = Picture(across=(("post", "crest"),), shows=("post",))
_GAIN = _along(("reference", "crest"), ("crest", "apex"))

# Rules that judge no reading of the catalogue; the others show the picture of their reading.
RULES = {
    "post.seal": _SEAL,
    "post.seal_least": _SEAL,
    "post.dentine": _BESIDE,
    "post.dentine_strict": _BESIDE,
    "post.use_dentine": _BESIDE,
    "post.molar_depth": _along(("face", "post_end"), shows=("post",)),
    "post.molar_roots": Picture(shows=("two roots",)),
    "post.middle_third": _along(("face", "two_thirds"), shows=("post", "thirds")),
    "post.straight": _along(("face", "bend"), shows=("bend",)),
    "post.crown_ratio": _along(("reference", "cej"), ("face", "post_end"), shows=("post",)),
    "post.bone_half": _along(("crest", "half_bone"), ("crest", "apex")),
    "post.beyond_crest": _along(("crest", "post_end"), shows=("post",)),
    "post.root_fraction": _along(("face", "two_thirds"), ("face", "apex")),
    "post.width_fraction": _SHARE,
    "post.width_fraction_half": _SHARE,
    "post.use_width_fraction": _SHARE,
    "post.cap": _WIDE,
    "post.cap_shillingburg": _WIDE,
    "post.use_cap": _WIDE,
    "post.solid_tooth": _along(("margin", "post_end"), shows=("post",)),
    "bone.normal_distance": READINGS["cej_to_crest"],
    "curvature.classes": _ANGLE,
    "ferrule.attachment": _along(("attachment", "crest")),
    "ferrule.wanted": READINGS["ferrule_available"],
    "working_length.stop_short": _along(("short", "apex"), shows=("file",)),
    "gain.lengthening": _GAIN,
    "gain.extrusion": _GAIN,
}


def picture_of(reading=None, rule=None):
    """The picture of a rule (a Rule, a Setting or an id), else of a reading; may be empty."""
    id_ = getattr(rule, "id", rule)
    if id_ in RULES:
        return RULES[id_]
    return READINGS.get(reading or getattr(rule, "reading", None), Picture())
