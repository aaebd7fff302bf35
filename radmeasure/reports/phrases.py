"""Every piece of text the record is put together from, in one place to translate.

Tables only: no numbers are turned into text here. ``{name}`` is filled in;
``*stars*`` mark what a front shows strongly. :func:`use_language` lets a front
put each template through its own translation before it is filled.
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
    "post_depth_in_bone": "Post ends *{value}* short of the crest",
    "cej_to_crest": "Crest *{value}* coronal to the CEJ",
    "margin_to_crest": "Margin *{value}* below the crest",
    "ferrule_available": "No ferrule: *{value}* below what the attachment needs",
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
    "diameter_cap": "largest diameter for the tooth",
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
    "diameter_cap": "tooth's limit",
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
    "both": "Half lengthening, half extrusion",
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

# -- sentences -----------------------------------------------------------------------------------
TEXT = {
    # numbers
    "value": "{value} ± {expanded} {unit}",
    "value_alone": "{value} {unit}",
    "value_interval": "{value} {unit} ({low} to {high})",
    "at_least": "at least {limit}",
    "at_most": "at most {limit}",
    "between": "{low} to {high}",
    "probability": "{percent} % sure",
    "probability_under": "under {percent} % sure",
    "probability_over": "over {percent} % sure",
    # findings
    "verdict_meets": "meets {limit}",
    "verdict_fails": "does not meet {limit}",
    "verdict_too_close": "too close to call against {limit} ({probability} it is met)",
    "finding": "{opening}: {words}; {verdict}.",
    "finding_bare": "{opening}: {verdict}.",
    "verdict_clause": "{words} ({verdict})",
    "doubtful": "{words}, too close to call ({probability} of {limit})",
    "plain": "{opening}.",
    "with_meaning": "{opening}: {meaning}.",
    "with_sides": "{opening}. {meaning}.",
    "source": "{source} ({trust})",
    "side": "{opening} {side}",
    "of_root": "{what}, {root}",
    # waiting
    "waits": "{title} waits for: {landmarks}.",
    "not_outlined_at": "No radiolucency is outlined at the {roots}.",
    "not_outlined": "No radiolucency is outlined.",
    "wait": "{title} wait for: {landmarks}.",
    "withheld": "{title} not given: {why}.",
    "withheld_mm": "Millimetres are withheld: {why}.",
    "and": "{first} and {last}",
    "list": ", ",
    # scale
    "scale_none": "No scale: lengths in mm are withheld; ratios, percentages and angles stand.",
    "scale": "Scale from {references}: {directions}.",
    "scale_along": "{mm} mm per px ± {percent} % along the tooth",
    "scale_across": "{mm} mm per px ± {percent} % across it",
    "foreshortening": "Lengths along the tooth appear at {value} of their size across it.",
    "reference_tooth": "a file of {length} in the canal",
    "reference_across": "a wire of {length} across the tooth",
    "reference_free": "an object of {length}",
    "reference_sphere": "a sphere of {length}",
    "reference_detector": "the receptor's pixels of {length}",
    "reference_film": "the film's own spacing",
    # length check
    "instrument": "{opening}; {instrument}.",
    "confirm": "Confirm with an electronic apex locator.",
    # post space
    "post_safe": "Post space safe to *{depth}* below the root face: {because}.",
    "post_none": "No room for a post by these rules: {because}.",
    "width_unknown": "How wide a post may be waits for: {landmarks}.",
    "post_unknown": "How deep a post may go waits for: {landmarks}.",
    "post_asked": "{rule} asks for at least *{depth}*.",
    "post_met": "Long enough for every rule on depth that could be worked out.",
    "clash": "At that depth {clash} by *{short}*.",
    "clash_close": "At that depth about as long as wanted, too close to call: {clash} by {short}.",
    "post_clash": "The rules clash on this root; the depth is the clinician's choice.",
    "post_width": "Up to *{width}* wide at that depth: {because} binds.",
    "post_sizes": "Sizes that fit: {sizes}.",
    "post_sizes_close": "Too close to call: {sizes}.",
    "post_no_size": "No size of the list is sure to fit at that depth.",
    "drill": "Depth to set on the drill from the coronal reference: *{depth}*.",
    "chosen": "Chosen: {choice}.",
    "chosen_depth": "{depth} deep",
    "chosen_size": "size {size}",
    "chosen_seal": "{seal} of filling kept",
    "against": "{reason}.",
    "unseen_wall": "The film does not show the walls towards cheek and tongue.",
    # the post that is planned
    "reason": "{words}.",
    "reason_value": "{words}: *{value}*",
    "at_depth": "At *{depth}* the post {what}.",
    "leaves": "leaves *{value}* of filling",
    "ends_below_crest": "ends *{value}* below the crest",
    "ends_above_crest": "ends *{value}* above the crest",
    "dentine_end": "Dentine left beside its end: {values}.",
    "chosen_met": "It keeps every rule that could be worked out.",
    "check_deep": "Deeper than the {rule} allows by *{by}*.",
    "check_shallow": "{clash} by *{by}*.",
    "check_wide": "Wider than the {rule} allows by *{by}*.",
    "check_tooth": "The solid tooth left is short of the sum taught for a post by *{by}*.",
    "check_close": "Within the limit ({rule}) by {by}, too close to call.",
    "check_close_beyond": "Beyond the limit ({rule}) by {by}, too close to call.",
    # ways to gain tooth
    "p_gain": "Ways to gain {amount} of tooth",
    "gain": "{kind}: {facts}.",
    "gain_by": "{kind} by {amount}",
    "gain_ferrule": "ferrule",
    "gain_crown_root": "crown to root",
    "gain_bone": "bone support",
    "gain_post": "post safe to",
    "gain_cost": "{words}.",
    "gain_rules": "rules",
    "gain_open": "Which way, if any, is the clinician's choice.",
    # beside a film
    "mark_sphere": "sphere {length}",
    "mark_object": "object {length}",
    "mark_root": "{name} {root}",
    # the printed record
    "chart_caption": "Level chart, {root}",
    "page": "page {number} of {count}",
    "pdf_title": "Tooth {tooth}, {name}",
    "pdf_subject": "Measurements of a periapical film, for the clinician's judgement",
    "pdf_head": "Tooth {tooth}, {name}",
    "pdf_no_identity": "No identity printed",
    "pdf_foot": "rulebook {version} ({digest}) · {date}",
    "pdf_foot_caution": "Supports, and never replaces, the judgement of a licensed clinician.",
    "pdf_cautions": "Cautions",
    "pdf_rulebook": "Rulebook",
    "pdf_readings": "Readings",
    "pdf_reading": "Reading",
    "pdf_value": "Value or mean",
    "pdf_mesial": "Mesial",
    "pdf_distal": "Distal",
    "pdf_finding": "Against the rules",
    "pdf_source": "Src.",
    "pdf_limits": "Limits of the post space",
    "pdf_rule": "Rule",
    "pdf_limit": "Limit",
    "pdf_meaning": "Meaning",
    "pdf_sources": "Sources",
    "rulebook_line": "Rulebook {version}, digest {digest}.",
    "rulebook_changed": "The practice's own copy changes: {names}.",
    "rulebook_marks": "± is the expanded uncertainty at 95 %. ✓ meets, ✗ does not meet, ? too "
    "close to call: a rule counts as met or not met from 95 % probability on (JCGM 106:2012).",
    # sheet for the patient
    "plain_room": "room for a post",
    "plain_post": "planned post",
    "s_title": "Your tooth: {name}",
    "s_upper": "upper {side} {kind}",
    "s_lower": "lower {side} {kind}",
    "s_right": "right",
    "s_left": "left",
    "s_shows": "What the picture shows",
    "s_bone": "About {percent} % of the root's length is still held in bone.",
    "s_nothing": "Your dentist will explain what the picture shows.",
    "s_considered": "What is being considered",
    "s_post": "A post is a thin pin set into the root. It holds a core, and the core holds a "
    "crown. A post does not make the root stronger.",
    "s_depth": "In your tooth it could go about {depth} mm into the root. The blue part of "
    "the drawing shows the room for it.",
    "s_chosen": "In your tooth it is planned to go about {depth} mm into the root. The outline in "
    "the drawing shows it.",
    "s_clash": "Some of the rules for posts pull in different directions here. Your dentist will "
    "explain what that means for you.",
    "s_no_room": "By the usual rules there is no room for a post in this root.",
    "s_gain": "To give a crown more to hold on to, the gum and bone can be lowered, or the tooth "
    "can be drawn out a little. Both leave less root in the bone. Leaving the tooth as it is, or "
    "not keeping it, are other ways your dentist can speak about.",
    "s_unknown": "What the picture cannot show",
    "s_flat": "It is flat: the sides towards the cheek and the tongue, cracks and pain are not "
    "seen on it. Lengths measured on it are near the truth, not exact.",
    "s_ask": "Questions you may want to ask",
    "s_questions": "What happens if nothing is done? What are the other ways, and what does each "
    "ask of me? How sure is this? What could go wrong, and what then?",
    "s_notes": "Notes",
    "s_foot": "This sheet helps to explain. It does not replace the talk with your dentist, who "
    "decides with you. {date}",
    # worksheet
    "w_for": "Speaks for a post, core and crown",
    "w_against": "Speaks against",
    "w_open": "Too close to call, or between classes",
    "w_lists": "Indications and contra-indications",
    "w_kinds": "Kind of post, considerations only",
    "w_missing": "Worksheet still open",
    "w_none": "none",
    "w_indications": "Indications met: {words} ({unknown} of {count} not known yet).",
    "w_contraindications": "Contra-indications met: {words} ({unknown} of {count} not known yet).",
    "w_index": "{name}: {total} of {out_of}, {band}.",
    "w_kind": "*{kind}*. {words}",
    "w_kind_for": "For: {words}.",
    "w_kind_against": "Against: {words}.",
    "w_waiting": "Not entered: {words}.",
    "w_more": " and {count} more",
    # follow-up films
    "p_against_plan": "Against the plan",
    "length_accepted": "File of {length} accepted: tip {gap} from the apex; set the stop at "
    "*{setting}*.",
    "length_repeat": "Repeat the film with the stop at *{setting}*: the file of {length} ends "
    "{gap} from the apex.",
    "length_undecided": "Whether to repeat the film is too close to call: tip {gap} from the "
    "apex; set the stop at *{setting}*.",
    "agrees": "{what} *{found}*, planned {planned}: within error.",
    "differs": "{what} *{found}*, planned {planned}: differs by {difference}, more than error.",
    # widths
    "dentine_at": "Dentine beside the canal at {depth}: {values}.",
    # curvature by Schneider's classes
    "class_inside": "{name} by his classes",
    "class_between": "between the classes {low} and {high}",
    "class_straight": "straight",
    "class_moderate": "moderate",
    "class_severe": "severe",
    "normal_distance": "Normal distance from CEJ to crest taken as {n}.",
    "attachment": "Attachment kept free: {n}; ferrule wanted: {wanted}.",
    # level chart
    "chart_levels": "mm from {zero}",
    "chart_depths": "mm below the root face",
    "chart_no_scale": "No scale on this film, so there is no chart in mm.",
    "chart_no_axis": "The chart waits for the apex and the CEJ or the coronal reference.",
    "level_side": "{level} {side}",
    "rule_depth": "{rule} {sign} {depth}",
    "rule_width": "{rule}: width ≤ {width}",
    "chart_words": "Tooth {tooth}, {root}: room for a post safe to {safe} below the root face; "
    "drawn at {depth}.",
    "chart_words_bare": "Tooth {tooth}, {root}, drawn along its axis.",
    # paragraphs
    "p_length": "Length check",
    "p_filling": "Root filling",
    "p_post": "Post plan",
    "p_seated": "Post on the film",
    "p_bone": "Crown, root and bone",
    "p_ferrule": "Ferrule",
    "p_canal": "Canal",
    "p_lengths": "Lengths",
    "p_lesion": "Periapical region",
    "p_open": "Still open",
    "p_scale": "Scale",
    "p_root": "{title}, {root}",
}

# Shown at the first start, and printed with every record.
CAUTIONS = (
    "A film is a flat projection: what lies towards the cheek or the tongue, cracks and symptoms "
    "are not seen on it.",
    "Lengths come out too short or too long when tooth, receptor and beam are not aligned; the "
    "stated uncertainty allows for it only as far as the scale says.",
    "A length from a film is confirmed with an electronic apex locator, and the reference point it "
    "was measured from is written down.",
    "Lesions and changes of the ligament show only after much mineral is lost; nothing seen does "
    "not mean nothing there.",
    "No film is repeated only to measure: exposure is kept as low as reasonably achievable.",
    "These results support, and never replace, the judgement of a licensed clinician and the codes "
    "that apply where they practise.",
    "Synthetic films are for teaching and trying out only.",
)

_language = {"translate": str}


def use_language(translate):
    """Put every template through ``translate(text) -> text`` from now on."""
    _language["translate"] = translate


def translated(text):
    """``text`` in the language of the front."""
    return _language["translate"](text)


def say(name, /, **fields):
    """The sentence ``name`` of :data:`TEXT`, translated, then filled in.

    Examples
    --------
    >>> say("at_most", limit="2 mm")
    'at most 2 mm'
    """
    return translated(TEXT[name]).format(**fields)


def joined(items):
    """'a', 'a and b', 'a, b and c'.

    Examples
    --------
    >>> joined(["crest", "CEJ", "apex"])
    'crest, CEJ and apex'
    """
    items = list(items)
    if len(items) < 2:
        return "".join(items)
    return say("and", first=translated(TEXT["list"]).join(items[:-1]), last=items[-1])
