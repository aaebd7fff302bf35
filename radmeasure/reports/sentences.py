"""Sentences of the record, each from one template: value, uncertainty, meaning, reason."""

import re
from dataclasses import dataclass

from radmeasure.model.landmarks import Detector, KnownLength, Sphere
from radmeasure.model.plan import NOTHING_MM
from radmeasure.quantity import FAILS, MEETS, TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import (
    limit_text,
    measure,
    number,
    percent,
    probability_text,
    quantity_text,
    stated_text,
    value_text,
)
from radmeasure.reports.phrases import joined, say, translated

# Certainty a clash needs before it is stated as one.
_SURE = 0.95


@dataclass(frozen=True)
class Sentence:
    """One sentence of the record.

    Attributes
    ----------
    marked : str
        The sentence; what stands between *stars* is shown strongly.
    verdict : str
        'meets', 'fails', 'too_close', or '' when it judges nothing.
    about : tuple or None
        Key of the reading (id, root, side, depth_mm) it speaks of.
    sources : tuple of str
        Where its limits come from, with the trust word; shown on demand.
    waits_for : tuple of (root or None, landmark name)
        What to place so that it can be said; choosing it starts placing.
    quiet : bool
        Shown in the background: remarks, reasons.
    rules : tuple of str
        Rules it speaks of that judge no reading: limits of the post space, reasons.
    quantity : Quantity or None
        The value behind it when it is no reading.
    """

    marked: str
    verdict: str = ""
    about: tuple | None = None
    sources: tuple = ()
    waits_for: tuple = ()
    quiet: bool = False
    rules: tuple = ()
    quantity: object = None

    @property
    def text(self):
        """The sentence without marks."""
        return self.marked.replace("*", "")

    @property
    def parts(self):
        """(text, strong) pairs in order.

        Examples
        --------
        >>> Sentence("Post *8.0 mm* deep.").parts
        (('Post ', False), ('8.0 mm', True), (' deep.', False))
        """
        pieces = re.split(r"\*", self.marked)
        return tuple((t, bool(i % 2)) for i, t in enumerate(pieces) if t)


# -- names ---------------------------------------------------------------------------------------


def title(reading_id):
    """Title of a reading, e.g. 'Working length'."""
    return translated(vocabulary.TITLES.get(reading_id, reading_id.replace("_", " ").capitalize()))


def reading_title(reading):
    """Title with side, root (if not the only one) and depth."""
    parts = [title(reading.id)]
    if reading.side:
        parts.append(translated(vocabulary.SIDES[reading.side]))
    if reading.root and reading.root != "single":
        parts.append(root_title(reading.root))
    if reading.depth_mm is not None:
        parts.append(measure(reading.depth_mm, "mm"))
    return ", ".join(parts)


def landmark_title(name, root=None):
    """A landmark or entry in words, with its root when there are several.

    Examples
    --------
    >>> landmark_title("apex", "palatal"), landmark_title("cej_mesial")
    ('apex, palatal root', 'mesial CEJ')
    """
    what = translated(vocabulary.LANDMARKS.get(name, name.replace("_", " ")))
    if root in (None, "single"):
        return what
    return say("of_root", what=what, root=root_title(root))


def landmarks_text(wanted):
    """Several (root, name) in words; both sides of a pair together, each root named once.

    Examples
    --------
    >>> landmarks_text([(None, "cej_mesial"), (None, "cej_distal"), ("single", "apex")])
    'CEJ on both sides and apex'
    """
    by_root = {}
    for root, name in wanted:
        by_root.setdefault("" if root in (None, "single") else root, []).append(name)
    said = []
    for root, names in by_root.items():
        what = joined(_paired(names))
        said.append(say("of_root", what=what, root=root_title(root)) if root else what)
    return joined(said)


def _paired(names):
    for pair, together in vocabulary.PAIRS.items():
        if set(pair) <= set(names):
            names = [together if n == pair[0] else n for n in names if n != pair[1]]
    return [translated(vocabulary.LANDMARKS.get(n, n)) for n in names]


def root_title(root):
    """'palatal root'; 'root' for a single one."""
    return translated(vocabulary.ROOTS.get(root, root))


def tooth_title(tooth):
    """A tooth by its name, e.g. 'maxillary right central incisor'."""
    return translated(tooth.name)


def rule_title(rule):
    """Name of a rule of the post space, e.g. 'apical seal'."""
    return translated(vocabulary.RULES.get(rule, rule.replace("_", " ")))


def trust_text(trust):
    """What a trust word means."""
    return translated(vocabulary.TRUST.get(trust, trust))


def source_text(source, trust):
    """Source and trust word; a source that says it has none is not qualified twice."""
    words, source = trust_text(trust), translated(source)
    if words in source:
        return source
    return say("source", source=source, trust=words)


# -- findings ------------------------------------------------------------------------------------


def verdict_text(finding):
    """'meets 0 to 2 mm', 'does not meet ...', 'too close to call against ... (31 % sure ...)'."""
    limit = limit_text(finding.relation, finding.limit, finding.unit)
    chance = probability_text(finding.p)
    return say(f"verdict_{finding.verdict}", limit=limit, probability=chance)


def opening(reading_id, value, below=False):
    """The start of a sentence on a reading: 'Filling ends *3.1 ± 0.4 mm* short of the apex'."""
    table = vocabulary.OPENINGS_BELOW if below else vocabulary.OPENINGS
    template = table.get(reading_id) or vocabulary.OPENINGS.get(reading_id)
    if template is None:
        return f"{title(reading_id)} *{value}*"
    return translated(template).format(value=value)


def reading_opening(reading):
    """The start of a sentence on a reading, its sign put into words."""
    below = reading.quantity.value < 0 and reading.id in vocabulary.OPENINGS_BELOW
    start = opening(reading.id, value_text(reading, absolute=below), below)
    if reading.side:
        start = say("side", opening=start, side=translated(vocabulary.SIDES[reading.side]))
    return start


def finding_sentence(finding, reading=None):
    """Value first, what it means, then the verdict on the limit.

    ``reading`` gives the interval of a Monte Carlo result; without it the
    finding's own value and uncertainty are used.
    """
    if reading is not None and reading.quantity is not None:
        start = reading_opening(reading)
    else:
        below = finding.value < 0 and finding.reading in vocabulary.OPENINGS_BELOW
        value = abs(finding.value) if below else finding.value
        start = opening(finding.reading, stated_text(value, finding.u, finding.unit), below)
        if finding.side:
            start = say("side", opening=start, side=translated(vocabulary.SIDES[finding.side]))
    words = translated(finding.words)
    name = "finding" if words else "finding_bare"
    return Sentence(
        say(name, opening=start, words=words, verdict=verdict_text(finding)),
        finding.verdict,
        (finding.reading, finding.root, finding.side, None),
        (source_text(finding.source, finding.trust),),
    )


def telling(findings):
    """Of several rules on one reading, those that still say something.

    A met rule makes every looser one needless, a failed rule every stricter one.
    """
    kept = []
    for finding in findings:
        same = [f for f in findings if f.relation == finding.relation and f.unit == finding.unit]
        if not any(_says_more(other, finding) for other in same):
            kept.append(finding)
    return kept


def _says_more(other, finding):
    if other is finding or finding.relation == "between" or other.verdict != finding.verdict:
        return False
    stricter = other.limit < finding.limit
    if finding.relation == "at_least":
        stricter = other.limit > finding.limit
    if finding.verdict == MEETS:
        return stricter
    return finding.verdict == FAILS and not stricter and other.limit != finding.limit


# -- waiting -------------------------------------------------------------------------------------


def waits_sentence(reading):
    """What a missing reading waits for, or why it is withheld."""
    name = reading_title(reading)
    wanted = tuple((owner(landmark, reading.root), landmark) for landmark in reading.missing)
    if reading.why:
        why = translated(reading.why)
        return Sentence(say("withheld", title=name, why=why), "", reading.key, (), wanted, True)
    marked = say("waits", title=name, landmarks=landmarks_text(wanted))
    return Sentence(marked, "", reading.key, (), wanted, True)


def owner(landmark, root):
    """The root a landmark belongs to, None for those of the tooth and for entries."""
    from_tooth = landmark.startswith(("coronal_reference", "cej_", "crest_", "margin_"))
    return None if from_tooth or landmark in _ENTRIES else root


_ENTRIES = ("file_length_mm", "planned_crown_mm", "stop_short_mm", "technique")


# -- post space ----------------------------------------------------------------------------------


def limit_of(space, rule):
    """The limit row of a rule, or None."""
    return next((row for row in space.limits if row.rule == rule), None)


def because_text(space):
    """What going deeper than the safe depth would do."""
    row = limit_of(space, space.deepest_because)
    template = translated(vocabulary.DEEPER.get(space.deepest_because, "{words}"))
    return template.format(words="" if row is None else translated(row.words))


def clash_sentence(space, rule, short):
    """A no-shallower rule that the safe depth does not reach, and by how much."""
    # Where the same length bounds the post from both sides many draws fall short by nothing.
    sure = short.probability(low=NOTHING_MM) >= _SURE
    clash = translated(vocabulary.CLASHES.get(rule, rule_title(rule)))
    row = limit_of(space, rule)
    sources = () if row is None else (source_text(row.source, row.trust),)
    name = "clash" if sure else "clash_close"
    marked = say(name, clash=clash, short=quantity_text(short, "mm"))
    verdict = FAILS if sure else TOO_CLOSE
    return Sentence(marked, verdict, None, sources, rules=(rule,), quantity=short)


# -- scale ---------------------------------------------------------------------------------------

_REFERENCES = {"tooth": "reference_tooth", "across": "reference_across", "free": "reference_free"}


def reference_text(entry):
    """A reference object in words: 'a sphere of 5 mm'."""
    if isinstance(entry, KnownLength):
        return say(_REFERENCES[entry.along], length=measure(entry.length_mm, "mm"))
    if isinstance(entry, Sphere):
        return say("reference_sphere", length=measure(entry.diameter_mm, "mm"))
    if isinstance(entry, Detector):
        return say("reference_detector", length=measure(entry.mm_per_px, "mm"))
    raise TypeError(entry)


def scale_sentences(scale, landmarks=None):
    """How the scale was obtained and how good it is (tuple of Sentence).

    ``landmarks`` (as evaluated) name the reference objects.
    """
    if scale.along is None:
        first = [Sentence(say("scale_none")), Sentence(say("scale_ways"), quiet=True)]
    else:
        directions = [_direction("scale_along", scale.along)]
        directions.append(_direction("scale_across", scale.across))
        entries = () if landmarks is None else landmarks.scale
        named = joined(map(reference_text, entries)) or say("reference_film")
        first = [Sentence(say("scale", references=named, directions=joined(directions)))]
    if scale.foreshortening is not None:
        value = quantity_text(scale.foreshortening, "1")
        first.append(Sentence(say("foreshortening", value=value), quiet=True))
    return (*first, *(Sentence(_sentence_case(translated(n)), quiet=True) for n in scale.notes))


def _direction(name, quantity):
    share = quantity.expanded / quantity.value
    places = 0 if share >= 0.0195 else 1
    return say(name, mm=number(quantity.value, 4), percent=percent(share, places))


def _sentence_case(text):
    text = text.strip().rstrip(".")
    return f"{text[:1].upper()}{text[1:]}."
