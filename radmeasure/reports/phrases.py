"""Every sentence of the record as a template, in one place to translate.

No numbers are turned into text here. ``{name}`` is filled in; ``*stars*`` mark what
a front shows strongly. Each template is translated before it is filled
(:mod:`radmeasure.reports.language`). Names of readings, landmarks and rules stand in
:mod:`radmeasure.reports.vocabulary`.
"""

from radmeasure.reports.language import translated

# -- sentences -----------------------------------------------------------------------------------
TEXT = {
    # numbers
    "decimal_sign": ".",
    "value": "{value} ± {expanded} {unit}",
    "value_alone": "{value} {unit}",
    "value_interval": "{value} {unit} ({low} to {high})",
    "at_least": "at least {limit}",
    "at_most": "at most {limit}",
    "between": "{low} to {high}",
    "either_way": "within {limit} either way",
    "probability": "{percent} % likely",
    "probability_under": "under {percent} % likely",
    "probability_over": "over {percent} % likely",
    # findings
    "verdict_meets": "meets {limit}",
    "verdict_fails": "does not meet {limit}",
    "verdict_too_close": "too close to call against {limit} ({probability} to be met)",
    "finding": "{opening}: {words}; {verdict}.",
    "finding_bare": "{opening}: {verdict}.",
    "verdict_clause": "{words} ({verdict})",
    "doubtful": "{words}, too close to call ({probability} to be {limit})",
    "chance": "{probability} to be {limit}",
    "unsure": "too close to call ({chances})",
    "plain": "{opening}.",
    "with_meaning": "{opening}: {meaning}.",
    "with_sides": "{opening}. {meaning}.",
    "source": "{source} ({trust})",
    "side": "{opening} {side}",
    "of_root": "{what}, {root}",
    # waiting
    "waits": "{title} waits for: {landmarks}.",
    "not_outlined_at": "No radiolucency is outlined at the {roots}; an early one does not show.",
    "not_outlined": "No radiolucency is outlined; an early one does not show on a film.",
    "wait": "{title} wait for: {landmarks}.",
    "withheld": "{title} not given: {why}.",
    "withheld_mm": "Millimetres are withheld: {why}.",
    "and": "{first} and {last}",
    "list": ", ",
    # scale
    "scale_none": "No scale: lengths in mm are withheld; ratios, percentages and angles stand.",
    "scale_ways": "Ways to a scale: a file or a ball of known size on a film that is being taken "
    "anyway, the pixel size of the receptor, or the original DICOM file.",
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
    "post_length_only": "By length alone a post would end *{depth}* below the root face: "
    "{because}.",
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
    "seal_price": "Against {usual} of filling that gains *{gained}*; a post set so deep is "
    "{chance} to leave at least {least}.",
    "against": "{reason}.",
    "unseen_wall": "The film does not show the walls towards cheek and tongue; the dentine left "
    "there is not known from it.",
    # the post that is planned
    "reason": "{words}.",
    "reason_value": "{words}: *{value}*",
    "reason_by": "{words}, by up to *{value}*",
    "reason_to": "{words}, down to *{value}*",
    "at_depth": "At *{depth}* the post {what}.",
    "leaves": "leaves *{value}* of filling",
    "ends_below_crest": "ends *{value}* below the crest",
    "ends_above_crest": "ends *{value}* above the crest",
    "dentine_end": "Dentine left beside its end: {values}.",
    "chosen_met": "It keeps every rule that could be worked out.",
    "check_deep": "Deeper than the {rule} allows by *{by}*.",
    "check_shallow": "{clash} by *{by}*.",
    "check_wide": "Wider than the {rule} allows by *{by}*.",
    "check_tooth": "Less solid tooth than is taught for a post of this length, by *{by}*.",
    "check_close": "Limit kept by {by}, too close to call: {rule}.",
    "check_close_beyond": "Limit passed by {by}, too close to call: {rule}.",
    # ways to gain tooth
    "p_gain": "Ways to gain {amount} of tooth",
    "gain": "{kind}: {facts}.",
    "gain_by": "{kind} by {amount}",
    "gain_both": "Crown lengthening by {lengthening}, extrusion by {extrusion}",
    "gain_ferrule": "ferrule",
    "gain_crown_root": "crown to root",
    "gain_bone": "bone support",
    "gain_post": "post safe to",
    "gain_cost": "{words}.",
    "gain_short": "short of the rules by",
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
    "pdf_foot": "Rulebook {version} ({digest}) · {date}",
    "pdf_foot_caution": "Supports, and never replaces, the judgement of a licensed clinician.",
    "pdf_cautions": "Cautions",
    "pdf_rulebook": "Rulebook",
    "pdf_readings": "Readings",
    "pdf_reading": "Reading",
    "pdf_value": "Value or mean",
    "pdf_mesial": "Mesial",
    "pdf_distal": "Distal",
    "pdf_finding": "Held against the rules",
    "pdf_source": "Src.",
    "pdf_limits": "Limits of the post space",
    "pdf_rule": "Rule",
    "pdf_limit": "Limit",
    "pdf_meaning": "Meaning",
    "pdf_sources": "Sources",
    "pdf_trusted": "{trust}: {sources}.",
    "rulebook_line": "Rulebook {version}, digest {digest}.",
    "rulebook_changed": "The practice's own copy changes: {names}.",
    "rulebook_marks": "± is the expanded uncertainty at 95 %. ✓ meets, ✗ does not meet, ? too "
    "close to call: a rule counts as met or not met from 95 % probability on (JCGM 106:2012).",
    # observers
    "o_head": "Observers: {observers}, films: {films}; limits of agreement at {factor} standard "
    "deviations.",
    "o_against_truth": "{reading}, against the truth ({count} places on films)",
    "o_against_mean": "{reading}, against the mean of all ({count} places on films)",
    "o_against_pairs": "{reading}, in pairs ({count} places on films)",
    "o_alone": "{reading} ({count} places on films)",
    "o_observer": "observer",
    "o_bias": "bias",
    "o_interval": "95 % interval",
    "o_direction": "direction",
    "o_limits": "limits of agreement",
    "o_error": "own error",
    "o_agreement": "agreement",
    "o_kappa": "kappa",
    "o_in_words": "in words",
    "o_linear": "linear weights",
    "o_quadratic": "quadratic weights",
    "o_again": "kappa again",
    "k_poor": "poor",
    "k_slight": "slight",
    "k_fair": "fair",
    "k_moderate": "moderate",
    "k_substantial": "substantial",
    "k_almost_perfect": "almost perfect",
    "o_high": "reads high",
    "o_low": "reads low",
    "o_none": "no bias shown",
    "o_unknown": "too few to tell",
    "o_icc": "ICC(2,1) {two} (one reading, observers standing for others), ICC(3,1) {three} (these "
    "observers only), from {subjects} places that all {observers} read; {left_out} left out.",
    "o_no_icc": "No intraclass correlation: fewer than two places that all observers read.",
    "o_one": "One observer only: bias and own error can be given, agreement between observers "
    "cannot.",
    "o_no_truth": "{count} places have no truth and are left out of the bias.",
    "o_unordered": "Weighted kappa needs the order of the classes (--order).",
    "o_chance": "One in twenty of such intervals misses zero by chance alone.",
    "o_error_is": "Own error is Dahlberg's, of readings taken again.",
    # a class
    "c_head": "Students: {students}. Films of known truth: {films}.",
    "c_student": "student",
    "c_handed": "films marked",
    "c_hold": "95 % intervals that hold",
    "c_ratio": "placement error / shipped",
    "c_written": "own figures",
    "c_of": "{part} of {all}",
    "c_off": "Marks that lie off on the mean (95 % interval):",
    "c_chance": "{count} means were looked at; about {some} of them miss zero by chance alone.",
    "c_none_off": "No student's marks lie off on the mean by more than chance.",
    "c_along_high": "{by} mm too far apical ({low} to {high})",
    "c_along_low": "{by} mm too far coronal ({low} to {high})",
    "c_across_high": "{by} mm too far mesial ({low} to {high})",
    "c_across_low": "{by} mm too far distal ({low} to {high})",
    "c_size_high": "drawn {by} mm too far outside ({low} to {high})",
    "c_size_low": "drawn {by} mm too far inside ({low} to {high})",
    "c_own": "Each student's own rulebook (STUDENT.rulebook.toml) states the placement error found "
    "here; it holds for films like these.",
    "c_troubles": "Could not be marked:",
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
    "s_gain": "To give a crown more to hold on to, gum and bone around the tooth can be trimmed "
    "back, or the tooth can be drawn out a little. Both leave less root in the bone. Leaving the "
    "tooth as it is, or not keeping it, are other ways your dentist can speak about.",
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
    # two films of one tooth
    "change_by_crown": "Root by the rule of three (crown unchanged)",
    "change_exceeds": "more than error",
    "change_within": "within error",
    "films_aligned": "The films are laid over each other on {count} landmarks, {residual} are "
    "left over; {overlap} % of the earlier film lies on the later one.",
    "films_not_aligned": "The films are not laid over each other: {why}.",
    "nothing_to_compare": "No reading is there on both films.",
    # follow-up films
    "post_beside": "The filling's coronal end lies beside the post: move it to where the filling "
    "begins below the post.",
    "p_against_plan": "Against the plan",
    "p_outcome": "Outcome of the length check",
    "length_accepted": "Film accepted: the file of {length} ends {gap}; set the stop at "
    "*{setting}*.",
    "length_repeat": "Set the stop at *{setting}* and repeat the film: the file of {length} ends "
    "{gap}.",
    "length_undecided": "Set the stop at *{setting}*; whether to repeat the film is too close to "
    "call: the file of {length} ends {gap}.",
    "gap_short": "{gap} short of the apex",
    "gap_beyond": "{gap} beyond the apex",
    "agrees": "{what} *{found}*, planned {planned}: within error.",
    "differs_more": "{what} *{found}*, planned {planned}: {difference} more, beyond error.",
    "differs_less": "{what} *{found}*, planned {planned}: {difference} less, beyond error.",
    # widths
    "dentine_at": "Dentine beside the canal at {depth}: {values}.",
    # curvature by Schneider's classes
    "class_inside": "{name} by his classes",
    "class_between": "between the classes {low} and {high}",
    "class_straight": "straight",
    "class_moderate": "moderate",
    "class_severe": "severe",
    "normal_distance": "Normal distance from CEJ to crest taken as {n}; a loss below zero means "
    "that the crest lies nearer to the CEJ than that.",
    "stage": "Classes of loss (15 and 33 %) help to stage a patient; one tooth on one film does "
    "not give a stage.",
    "attachment": "Attachment kept free: {n}; ferrule wanted: {wanted}.",
    # level chart
    "chart_levels": "mm from {zero}",
    "chart_depths": "mm below the root face",
    "chart_no_scale": "no scale",
    "chart_parts": "parts of {whole}, from {zero}",
    "chart_no_axis": "The chart waits for the apex and the CEJ or the coronal reference.",
    "level_side": "{level} {side}",
    "rule_depth": "{rule} {sign} {depth}",
    "rule_width": "{rule}: width ≤ {width}",
    "chart_words": "Tooth {tooth}, {root}: room for a post safe to {safe} below the root face; "
    "drawn at {depth}.",
    "chart_words_bare": "Tooth {tooth}, {root}, drawn along its axis.",
    "chart_words_parts": "Tooth {tooth}, {root}, drawn along its axis without a scale, in parts "
    "of its length.",
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
