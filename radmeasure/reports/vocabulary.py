"""Names of readings, landmarks, levels and rules, in one place to translate.

Tables only. ``{name}`` is filled in; ``*stars*`` mark what a front shows strongly. The
templates of whole sentences stand in :mod:`radmeasure.reports.phrases`.
"""

# -- readings ------------------------------------------------------------------------------------
TITLES = {
    "tooth_length": "Tooth length",
    "canal_length": "Canal length",
    "working_length": "Working length",
    "stop_setting": "Stop setting",
    "file_gap": "File tip to apex",
    "filling_to_apex": "Filling end to apex",
    "filling_length": "Filling length",
    "residual_filling": "Filling left",
    "post_gap": "Gap between post and filling",
    "post_length": "Post length",
    "post_depth": "Post depth",
    "filling_depth": "Depth of the filling's coronal end",
    "post_depth_in_bone": "Post in bone",
    "crown_length": "Crown, reference to CEJ",
    "root_length": "Root, CEJ to apex",
    "clinical_crown_length": "Clinical crown, reference to crest",
    "clinical_root_length": "Root in bone, crest to apex",
    "cej_to_crest": "CEJ to crest",
    "margin_to_crest": "Sound tooth above the crest",
    "ferrule_available": "Ferrule available",
    "ferrule_shortfall": "Ferrule short by",
    "lesion_area": "Radiolucency area",
    "lesion_diameter": "Radiolucency diameter",
    "lesion_width": "Radiolucency width",
    "crown_root_anatomic": "Crown to root, anatomic",
    "crown_root_clinical": "Crown to root, clinical",
    "bone_support": "Bone support",
    "bone_loss": "Bone loss",
    "bone_loss_corrected": "Bone loss less normal distance",
    "curvature_schneider": "Curvature, Schneider's angle",
    "curvature_arc": "Curvature, angle of the arc",
    "curvature_radius": "Curvature, radius",
    "straight_length": "Straight part of the canal",
    "root_width": "Root width",
    "canal_width": "Canal width",
    "dentine_mesial": "Dentine, mesial",
    "dentine_distal": "Dentine, distal",
}

# How readings are named inside a sentence.
NAMES = {
    "tooth_length": "tooth length",
    "canal_length": "canal length",
    "working_length": "working length",
    "stop_setting": "stop setting",
    "file_gap": "distance from file tip to apex",
    "filling_to_apex": "distance from filling end to apex",
    "filling_length": "filling length",
    "residual_filling": "filling left",
    "post_gap": "gap between post and filling",
    "post_length": "post length",
    "post_depth": "post depth",
    "filling_depth": "depth of the filling's coronal end",
    "post_depth_in_bone": "post in bone",
    "crown_length": "crown length",
    "root_length": "root length",
    "clinical_crown_length": "clinical crown",
    "clinical_root_length": "root in bone",
    "cej_to_crest": "CEJ to crest",
    "margin_to_crest": "sound tooth above the crest",
    "ferrule_available": "ferrule",
    "ferrule_shortfall": "ferrule",
    "lesion_area": "size of a radiolucency",
    "lesion_diameter": "size of a radiolucency",
    "lesion_width": "size of a radiolucency",
    "crown_root_anatomic": "anatomic crown-to-root ratio",
    "crown_root_clinical": "clinical crown-to-root ratio",
    "bone_support": "bone support",
    "bone_loss": "bone loss",
    "bone_loss_corrected": "bone loss",
    "curvature_schneider": "curvature",
    "curvature_arc": "angle of the arc",
    "curvature_radius": "radius of the curve",
    "straight_length": "straight part",
    "root_width": "root width",
    "canal_width": "canal width",
    "dentine_mesial": "dentine beside the canal",
    "dentine_distal": "dentine beside the canal",
}
# Pairs of landmarks that are asked for together.
PAIRS = {
    ("cej_mesial", "cej_distal"): "CEJ on both sides",
    ("crest_mesial", "crest_distal"): "crest on both sides",
    ("margin_mesial", "margin_distal"): "margins of sound tooth on both sides",
    ("filling_coronal", "filling_apical"): "both ends of the filling",
    ("post_coronal", "post_apical"): "both ends of the post",
    ("root_wall_mesial", "root_wall_distal"): "walls of the root",
    ("canal_wall_mesial", "canal_wall_distal"): "walls of the canal",
}

# How a reading opens its sentence; "below" is used for a value under zero, shown without sign.
OPENINGS = {
    "tooth_length": "Tooth *{value}* long",
    "canal_length": "Canal *{value}* from the coronal reference",
    "working_length": "Working length *{value}* from the coronal reference",
    "stop_setting": "Set the stop at *{value}*",
    "file_gap": "File tip *{value}* short of the apex",
    "filling_to_apex": "Filling ends *{value}* short of the apex",
    "filling_length": "Filling *{value}* long",
    "residual_filling": "Filling left *{value}*",
    "post_gap": "Gap between post and filling *{value}*",
    "post_length": "Post *{value}* long",
    "post_depth": "Post seated *{value}* below the root face",
    "filling_depth": "Filling begins *{value}* below the root face",
    "post_depth_in_bone": "Post reaches *{value}* below the crest",
    "crown_length": "Crown *{value}* from the coronal reference to the CEJ",
    "root_length": "Root *{value}* from the CEJ to the apex",
    "clinical_crown_length": "Clinical crown *{value}*",
    "clinical_root_length": "Root in bone *{value}*",
    "cej_to_crest": "CEJ to crest *{value}*",
    "margin_to_crest": "Sound tooth above the crest *{value}*",
    "ferrule_available": "Ferrule available *{value}*",
    "ferrule_shortfall": "Ferrule short by *{value}*",
    "lesion_area": "Radiolucency *{value}* in area",
    "lesion_diameter": "Radiolucency *{value}* at its largest",
    "lesion_width": "Radiolucency *{value}* across",
    "crown_root_anatomic": "Crown to root *{value}*, anatomic",
    "crown_root_clinical": "Crown to root *{value}*, clinical",
    "bone_support": "Bone support *{value}*",
    "bone_loss": "Bone loss *{value}*",
    "bone_loss_corrected": "Bone loss *{value}* with the normal distance taken off",
    "curvature_schneider": "Canal curved *{value}* by Schneider's angle",
    "curvature_arc": "Arc of *{value}*",
    "curvature_radius": "Radius of the curve *{value}*",
    "straight_length": "Canal straight for *{value}* from the root face",
    "root_width": "Root *{value}* wide",
    "canal_width": "Canal *{value}* wide",
    "dentine_mesial": "Dentine *{value}*, mesial",
    "dentine_distal": "Dentine *{value}*, distal",
}
OPENINGS_BELOW = {
    "file_gap": "File tip *{value}* beyond the apex",
    "filling_to_apex": "Filling ends *{value}* beyond the apex",
    "post_gap": "Post reaches *{value}* into the filling",
    "post_depth_in_bone": "Post ends *{value}* above the crest",
    "cej_to_crest": "Crest *{value}* coronal to the CEJ",
    "margin_to_crest": "Margin *{value}* below the crest",
    "ferrule_available": "No ferrule: margin *{value}* too near the crest for the attachment",
}

# -- landmarks and entries -----------------------------------------------------------------------
LANDMARKS = {
    "coronal_reference": "coronal reference",
    "cej_mesial": "mesial CEJ",
    "cej_distal": "distal CEJ",
    "crest_mesial": "mesial crest",
    "crest_distal": "distal crest",
    "margin_mesial": "mesial margin of sound tooth",
    "margin_distal": "distal margin of sound tooth",
    "apex": "apex",
    "foramen": "foramen",
    "orifice": "root face (canal orifice)",
    "file_stop": "file stop",
    "file_tip": "file tip",
    "filling_coronal": "coronal end of the filling",
    "filling_apical": "apical end of the filling",
    "post_coronal": "coronal end of the post",
    "post_apical": "apical end of the post",
    "canal": "canal line",
    "root_wall_mesial": "mesial wall of the root",
    "root_wall_distal": "distal wall of the root",
    "canal_wall_mesial": "mesial wall of the canal",
    "canal_wall_distal": "distal wall of the canal",
    "lesion": "outline of the radiolucency",
    "file_length_mm": "length of the file",
    "planned_crown_mm": "height of the planned crown",
    "stop_short_mm": "distance to stay short of the apex",
    "technique": "projection technique",
}
ROOTS = {
    "single": "root",
    "mesial": "mesial root",
    "distal": "distal root",
    "mesiobuccal": "mesiobuccal root",
    "distobuccal": "distobuccal root",
    "palatal": "palatal root",
    "buccal": "buccal root",
    "lingual": "lingual root",
}
SIDES = {"mesial": "mesial", "distal": "distal", "mean": "mean"}

# Levels of the chart, short.
LEVELS = {
    "coronal_reference": "reference",
    "orifice": "root face",
    "filling_coronal": "filling top",
    "filling_apical": "filling end",
    "post_apical": "post end",
    "file_tip": "file tip",
    "cej": "CEJ",
    "crest": "crest",
    "margin": "margin",
    "apex": "apex",
    "foramen": "foramen",
}
LEVEL_SIDES = {"mesial": "mes.", "distal": "dist."}
# The same in plain words, for explaining to a patient.
LEVELS_PLAIN = {
    "coronal_reference": "biting edge",
    "crest": "edge of the bone",
    "filling_apical": "end of the root filling",
    "apex": "tip of the root",
}
LANDMARKS_PLAIN = {
    "coronal_reference": "biting edge",
    "crest_mesial": "edge of the bone",
    "crest_distal": "edge of the bone",
    "margin_mesial": "edge of sound tooth",
    "margin_distal": "edge of sound tooth",
    "filling_apical": "end of the root filling",
    "apex": "tip of the root",
}
# What a finding means to a patient; a rule that is not here is for the clinician only.
PLAIN = {
    "filling.length": {
        "meets": "The root filling ends close to the tip of the root, as it should.",
        "fails": "The root filling does not end where it should. It may have to be done again "
        "before anything is built on the tooth.",
        "too_close": "Whether the root filling ends where it should cannot be told for certain "
        "from this picture.",
    },
    "lesion.none": {
        "fails": "There is a darker area around the tip of the root. It has to heal, or be "
        "treated, before anything is built on the tooth.",
        "too_close": "There is a darker area around the tip of the root. It needs watching.",
        "meets": "There is a small darker area around the tip of the root. It needs watching.",
    },
    "crown_root.least": {
        "meets": "More of the tooth is held in the bone than stands out above it.",
        "fails": "Less of the tooth is held in the bone than stands out above it. That makes it "
        "harder for the tooth to carry a load.",
        "too_close": "About half of the tooth is held in the bone.",
    },
    "ferrule.height": {
        "meets": "Enough sound tooth is left for a crown to hold on to.",
        "fails": "Too little sound tooth is left for a crown to hold on to, as the tooth stands.",
        "too_close": "There is only just enough sound tooth for a crown to hold on to, or not "
        "quite enough: it cannot be told for certain.",
    },
    "curvature.severe": {
        "fails": "The root is strongly curved, and a post does not bend.",
    },
    "post.gap": {
        "fails": "There is a gap between the post and the root filling.",
    },
}
# Names beside a film.
LANDMARKS_SHORT = {
    "coronal_reference": "reference",
    "cej_mesial": "CEJ mes.",
    "cej_distal": "CEJ dist.",
    "crest_mesial": "crest mes.",
    "crest_distal": "crest dist.",
    "margin_mesial": "margin mes.",
    "margin_distal": "margin dist.",
    "apex": "apex",
    "foramen": "foramen",
    "orifice": "root face",
    "file_stop": "file stop",
    "file_tip": "file tip",
    "filling_coronal": "filling top",
    "filling_apical": "filling end",
    "post_coronal": "post top",
    "post_apical": "post end",
    "lesion": "radiolucency",
}
ROOTS_SHORT = {
    "single": "",
    "mesial": "m",
    "distal": "d",
    "mesiobuccal": "mb",
    "distobuccal": "db",
    "palatal": "p",
    "buccal": "b",
    "lingual": "l",
}
# What the chart's levels count from.
ZEROS = {
    "coronal_reference": "the coronal reference",
    "orifice": "the root face",
    "cej": "the CEJ",
}

# Of what the chart shows parts on a film without a scale.
WHOLES = {
    "coronal_reference": "the tooth's length",
    "orifice": "the root below its face",
    "cej": "the root's length",
}

# -- rules of the post space ---------------------------------------------------------------------
RULES = {
    "apical_seal": "apical seal",
    "straight_part": "straight part",
    "dentine": "dentine beside the post",
    "middle_third": "middle third",
    "molar_depth": "molar limit",
    "crown_height": "crown it carries",
    "bone_half": "half of the root in bone",
    "beyond_crest": "beyond the crest",
    "root_two_thirds": "two thirds of the root",
    "width_fraction": "third of the root's width",
    "wall_dentine": "dentine on both sides",
    "diameter_cap": "largest diameter listed for the tooth",
    "solid_tooth": "least solid tooth",
}
# The same, as short as a chart needs them.
RULES_SHORT = {
    "apical_seal": "seal",
    "straight_part": "straight part",
    "dentine": "dentine",
    "middle_third": "middle third",
    "molar_depth": "molar limit",
    "crown_height": "crown height",
    "bone_half": "half in bone",
    "beyond_crest": "past crest",
    "root_two_thirds": "2/3 of root",
    "width_fraction": "1/3 of root width",
    "wall_dentine": "dentine",
    "diameter_cap": "listed",
}
# What going deeper than the binding limit would do; {words} is the limit's own text.
DEEPER = {
    "apical_seal": "this {words}, deeper leaves less",
    "straight_part": "deeper, the canal bends and a post does not",
    "dentine": "{words}",
    "middle_third": "deeper, it would end beyond the root's middle third",
    "molar_depth": "{words}",
}
CLASHES = {
    "crown_height": "shorter than the crown it carries",
    "bone_half": "short of half of the root in bone",
    "beyond_crest": "not far enough beyond the crest",
    "root_two_thirds": "shorter than two thirds of the root",
}

GAINS = {
    "as_is": "As it is",
    "lengthening": "Crown lengthening",
    "extrusion": "Extrusion",
}

POST_KINDS = {"fibre": "Fibre post", "cast": "Cast post", "none": "No post"}
# Figures of a plan that a later film shows again.
DIFFERENCES = {
    "working_length": "Working length",
    "filled_length": "Length filled",
    "depth": "Depth below the root face",
    "residual_filling": "Filling left",
    "in_bone": "Post in bone",
}

VERDICTS = {"meets": "meets", "fails": "does not meet", "too_close": "too close to call"}
TRUST = {
    "read": "read in the source",
    "memory": "from memory, check the original",
    "derived": "exact mathematics",
    "practice": "common practice, no source",
    "measured": "measured on synthetic films",
}
