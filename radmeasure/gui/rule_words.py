"""A rule explained from the rulebook in force: its figure, its reason, its source."""

from radmeasure.gui.wording import translate
from radmeasure.model.rulebook import Rule
from radmeasure.reports.words import (
    joined,
    limit_text,
    measure,
    rule_title,
    source_text,
    title,
    translated,
)

# Rules of the post space by the name the plan gives them, and their entry in the rulebook.
ENTRIES = {
    "apical_seal": "post.seal",
    "dentine": "post.dentine",
    "wall_dentine": "post.dentine",
    "middle_third": "post.middle_third",
    "molar_depth": "post.molar_depth",
    "crown_height": "post.crown_ratio",
    "bone_half": "post.bone_half",
    "beyond_crest": "post.beyond_crest",
    "root_two_thirds": "post.root_fraction",
    "width_fraction": "post.width_fraction",
    "diameter_cap": "post.cap",
    "solid_tooth": "post.solid_tooth",
}
_NAMES = {entry: name for name, entry in ENTRIES.items() if name != "wall_dentine"}
# Entries that name another entry as the one in force.
_CHOSEN = {
    "post.dentine": "post.use_dentine",
    "post.width_fraction": "post.use_width_fraction",
    "post.cap": "post.use_cap",
}


def entry_of(rule, rulebook):
    """The Rule or Setting behind a rule's name or id, as in force; None when there is none."""
    id_ = ENTRIES.get(rule, rule)
    chosen = rulebook.settings.get(_CHOSEN.get(id_))
    if chosen is not None:
        id_ = chosen.value
    return rulebook.rules.get(id_) or rulebook.settings.get(id_)


def name_of(entry):
    """What an entry is called: its reading, its rule of the post space, else its id."""
    if isinstance(entry, Rule):
        return title(entry.reading)
    name = _NAMES.get(entry.id)
    if name is None:
        return entry.id
    words = rule_title(name)
    return words[:1].upper() + words[1:]


def figure_of(entry):
    """The entry's figure in words: 'at least 5 mm', '67 %'; '' for as much as something else."""
    if not isinstance(entry, Rule) and entry.unit == "1" and entry.value == 1:
        return ""
    if isinstance(entry, Rule):
        return limit_text(entry.relation, entry.limit, entry.unit)
    return _figure(entry.value, entry.unit)


def _figure(value, unit):
    if isinstance(value, dict):
        parts = (f"{translated(k.replace('_', ' '))} {_figure(v, unit)}" for k, v in value.items())
        return "; ".join(parts)
    if isinstance(value, list | tuple):
        return joined(_figure(v, unit) for v in value)
    if isinstance(value, str):
        return translated(value)
    if unit == "1" and 0 < value < 1:
        return measure(round(100 * value, 1), "%")
    return measure(value, unit)


def why_of(entry):
    """Its reason and source in one paragraph."""
    why = translated(entry.why)
    reason = f"{why[:1].upper()}{why[1:]}. " if why else ""
    source = source_text(entry.source, entry.trust)
    return f"{reason}{source[:1].upper()}{source[1:]}."


def told(rule, rulebook):
    """Paragraphs that explain a rule; none when the rulebook does not have it."""
    if rule == "straight_part":
        yield translate(
            "Explain",
            "A post is straight, so it ends where the canal begins to bend. Exact mathematics on "
            "the canal line.",
        )
    entry = entry_of(rule, rulebook)
    if entry is None:
        return
    figure = figure_of(entry)
    yield f"{name_of(entry)}: {figure}. {why_of(entry)}" if figure else why_of(entry)
    if entry.id in rulebook.changed:
        shipped, _ = rulebook.changed[entry.id]
        words = translate("Explain", "Changed by your practice; as shipped: {0}.")
        yield words.format(figure_of(shipped))
