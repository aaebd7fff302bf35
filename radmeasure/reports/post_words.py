"""What the record says of the post space of each root, and of ways to gain tooth."""

from radmeasure.model.plan import AGAINST, LEAST_TOOTH, NO_DEEPER, NO_SHALLOWER, NO_WIDER
from radmeasure.quantity import FAILS, MEETS, TOO_CLOSE
from radmeasure.quantity import verdict as judged
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import (
    depth_text,
    measure,
    probability_text,
    quantity_text,
    size_text,
)
from radmeasure.reports.phrases import joined, say, translated
from radmeasure.reports.sentences import (
    Sentence,
    because_text,
    clash_sentence,
    landmarks_text,
    limit_of,
    owner,
    root_title,
    rule_title,
    source_text,
)


def post_paragraphs(evaluation, make):
    """One paragraph per root; ``make(title, sentences, key, root)`` builds it."""
    many = len(evaluation.post_space) > 1
    # A root no rule keeps a post out of is told first.
    for space in sorted(evaluation.post_space, key=lambda space: not space.admitted):
        name = say("p_post")
        if many:
            name = say("p_root", title=name, root=root_title(space.root))
        mine = evaluation.choice.root in (None, space.root)
        choice = evaluation.choice if mine else None
        yield make(name, tuple(post_sentences(space, choice)), "p_post", space.root)


def post_sentences(space, choice=None):
    """Reasons against, depth, clashes, width, sizes and the drill's setting of one root."""
    yield from _reasons(space)
    if space.deepest is None:
        yield _unknown(space)
        return
    yield _safe(space)
    if not space.admitted:
        return
    if space.planned is not None and space.planned.chosen:
        yield from _chosen(space.planned, choice)
    else:
        yield from _shallow(space)
        yield from _left(space.planned)
        yield from _chosen_beside(space.planned, choice)
        yield from _seal_price(space, choice)
    yield from _width(space)
    yield from _drill(space)
    yield Sentence(say("unseen_wall"), quiet=True)


def _reasons(space):
    for reason in space.reasons:
        words = translated(reason.words)
        if reason.quantity is not None:
            value = quantity_text(reason.quantity, reason.unit)
            words = say("reason_value", words=words, value=value)
        verdict = FAILS if reason.stance == AGAINST else TOO_CLOSE
        sources = (source_text(reason.source, reason.trust),)
        marked = say("reason", words=words[:1].upper() + words[1:])
        rules, quantity = (reason.id,), reason.quantity
        yield Sentence(marked, verdict, sources=sources, rules=rules, quantity=quantity)


def _unknown(space):
    wanted = _wanted(space)
    marked = say("post_unknown", landmarks=landmarks_text(wanted))
    return Sentence(marked, waits_for=wanted, quiet=True)


def _wanted(space):
    return tuple((owner(name, space.root), name) for name in space.missing)


def _safe(space):
    row = limit_of(space, space.deepest_because)
    because = because_text(space)
    sources = () if row is None else (source_text(row.source, row.trust),)
    behind = {"sources": sources, "rules": (space.deepest_because,), "quantity": space.deepest}
    if space.deepest.value <= 0:
        return Sentence(say("post_none", because=because), FAILS, **behind)
    depth = quantity_text(space.deepest, "mm")
    name = "post_safe" if space.admitted else "post_length_only"
    return Sentence(say(name, depth=depth, because=because), **behind)


def _shallow(space):
    clashes = [clash_sentence(space, rule, short) for rule, short in space.clashes]
    yield from clashes
    if any(s.verdict == FAILS for s in clashes) and space.deepest.value > 0:
        yield Sentence(say("post_clash"), quiet=True)
    if not clashes and space.shallowest is not None:
        yield Sentence(say("post_met"), MEETS)


# -- the post that is planned --------------------------------------------------------------------


def _chosen_beside(planned, choice):
    """Size and seal that are chosen while the depth is not."""
    parts = _size_and_seal(planned, choice)
    if parts:
        yield Sentence(say("chosen", choice=joined(parts)))
        for check in planned.checks:
            if check.side == NO_WIDER and check.verdict != MEETS:
                yield _check(check)


def _seal_price(space, choice):
    """What keeping less filling than is usual gains, and what speaks against it."""
    kept = None if choice is None else choice.seal_mm
    option = next((o for o in space.seals if o.seal_mm == kept), None)
    usual = next((o for o in space.seals if o.gained.value == 0 and o is not option), None)
    if option is None or usual is None or option.gained.value <= 0:
        return
    marked = say(
        "seal_price",
        usual=measure(usual.seal_mm, "mm"),
        gained=quantity_text(option.gained, "mm"),
        chance=probability_text(option.p_least),
        least=measure(option.least_mm, "mm"),
    )
    sources = (source_text(option.source, option.trust),)
    yield Sentence(marked, judged(option.p_least), sources=sources)


def _size_and_seal(planned, choice):
    parts = []
    if planned is not None and planned.size is not None:
        parts.append(say("chosen_size", size=translated(planned.size.name)))
    if choice is not None and choice.seal_mm is not None:
        parts.append(say("chosen_seal", seal=measure(choice.seal_mm, "mm")))
    return parts


def _chosen(planned, choice):
    depth = say("chosen_depth", depth=depth_text(planned.depth_mm))
    yield Sentence(say("chosen", choice=joined([depth, *_size_and_seal(planned, choice)])))
    yield from _left(planned)
    broken = [c for c in planned.checks if c.verdict == FAILS]
    doubtful = [c for c in planned.checks if c.verdict == TOO_CLOSE]
    for check in sorted(broken, key=lambda c: c.margin.value):
        yield _check(check)
    for check in doubtful:
        yield _check(check)
    if planned.checks and not broken and not doubtful:
        yield Sentence(say("chosen_met"), MEETS)


def _check(check):
    """A rule the chosen post breaks, or may break, and by how much."""
    behind = {
        "sources": (source_text(check.source, check.trust),),
        "rules": (check.rule,),
        "quantity": check.margin,
    }
    by = size_text(check.margin, "mm")
    if check.verdict == TOO_CLOSE:
        name = "check_close_beyond" if check.margin.value < 0 else "check_close"
        marked = say(name, rule=rule_title(check.rule), by=by)
        return Sentence(marked, TOO_CLOSE, **behind)
    names = {NO_DEEPER: "check_deep", NO_SHALLOWER: "check_shallow", LEAST_TOOTH: "check_tooth"}
    clash = translated(vocabulary.CLASHES.get(check.rule, rule_title(check.rule)))
    clash = clash[:1].upper() + clash[1:]
    name = names.get(check.side, "check_wide")
    marked = say(name, rule=rule_title(check.rule), clash=clash, by=by)
    return Sentence(marked, FAILS, **behind)


def _left(planned):
    """Filling, bone and dentine at the post's end."""
    if planned is None or planned.depth_mm <= 0:
        return
    parts = []
    if planned.residual is not None:
        parts.append(say("leaves", value=quantity_text(planned.residual, "mm")))
    if planned.in_bone is not None:
        name = "ends_below_crest" if planned.in_bone.value >= 0 else "ends_above_crest"
        parts.append(say(name, value=size_text(planned.in_bone, "mm")))
    if parts:
        yield Sentence(say("at_depth", depth=depth_text(planned.depth_mm), what=joined(parts)))
    if planned.levels:
        end = planned.levels[-1]
        sides = (("mesial", end.dentine_mesial), ("distal", end.dentine_distal))
        values = joined(
            say("side", opening=f"*{quantity_text(q, 'mm')}*", side=translated(vocabulary.SIDES[s]))
            for s, q in sides
        )
        behind = {"rules": ("dentine",), "quantity": end.dentine_mesial}
        yield Sentence(say("dentine_end", values=values), **behind)


# -- width, sizes, drill -------------------------------------------------------------------------


def _width(space):
    if space.widest_at_deepest is None:
        if space.missing:
            wanted = _wanted(space)
            marked = say("width_unknown", landmarks=landmarks_text(wanted))
            yield Sentence(marked, "", None, (), wanted, True)
        return
    row = limit_of(space, space.widest_because)
    sources = () if row is None else (source_text(row.source, row.trust),)
    width = quantity_text(space.widest_at_deepest, "mm")
    because = rule_title(space.widest_because)
    behind = {"rules": (space.widest_because,), "quantity": space.widest_at_deepest}
    yield Sentence(say("post_width", width=width, because=because), sources=sources, **behind)
    yield from _sizes(space)


def _sizes(space):
    if not space.sizes:
        return
    fits = [translated(fit.size.name) for fit in space.sizes if fit.fits]
    doubtful = [fit for fit in space.sizes if not fit.fits and 0.05 < fit.p < 0.95]
    close = [translated(fit.size.name) for fit in doubtful]
    if fits:
        yield Sentence(say("post_sizes", sizes=joined(fits)))
    else:
        yield Sentence(say("post_no_size"))
    if close:
        yield Sentence(say("post_sizes_close", sizes=joined(close)), quiet=True)


def _drill(space):
    drill = space.drill_depth
    if space.planned is not None and space.planned.drill is not None:
        drill = space.planned.drill
    if drill is not None and space.deepest.value > 0:
        yield Sentence(say("drill", depth=quantity_text(drill, "mm")), quantity=drill)


# -- ways to gain tooth --------------------------------------------------------------------------


def gain_paragraphs(evaluation, make):
    """One paragraph per root whose ferrule is short, the ways side by side."""
    many = len(evaluation.gains) > 1
    for gains in evaluation.gains:
        if gains.amount_mm <= 0:
            continue
        name = say("p_gain", amount=measure(gains.amount_mm, "mm", 1))
        if many:
            name = say("p_root", title=name, root=root_title(gains.root))
        yield make(name, tuple(gain_sentences(gains)), "p_gain", gains.root)


def gain_sentences(gains):
    """A sentence for each way with what it gives and costs; none is recommended."""
    for option in gains.options:
        facts = "; ".join(
            f"{what} {joined(value for _, value in values)}"
            for what, _, values in gain_facts(option)
        )
        kind = gain_title(option)
        yield Sentence(say("gain", kind=kind, facts=facts), _gain_verdict(option))
        if option.words and option.kind != "both":
            words = translated(option.words)
            words = words[:1].upper() + words[1:]
            sources = (source_text(option.source, option.trust),)
            rules = (f"gain.{option.kind}",)
            yield Sentence(say("gain_cost", words=words), "", None, sources, (), True, rules)
    yield Sentence(say("gain_open"), quiet=True)


def gain_title(option):
    """'Crown lengthening by 2.0 mm'."""
    amounts = depth_text(option.lengthening_mm), depth_text(option.extrusion_mm)
    if option.kind == "both":
        return say("gain_both", lengthening=amounts[0], extrusion=amounts[1])
    kind = translated(vocabulary.GAINS[option.kind])
    amount = option.lengthening_mm + option.extrusion_mm
    return say("gain_by", kind=kind, amount=depth_text(amount)) if amount else kind


def gain_facts(option):
    """(what, rule that judges it, [(side, value marked strong)]) of one way."""
    ferrule = [
        (side, say("side", opening=_strong(q, "mm"), side=translated(vocabulary.SIDES[side])))
        for side, q in option.ferrule.items()
    ]
    if ferrule:
        yield say("gain_ferrule"), "ferrule.height", ferrule
    mean, room = option.bone_support.get("mean"), option.room
    facts = [
        ("gain_crown_root", "crown_root.least", option.crown_root, "1"),
        ("gain_bone", "", mean, "%"),
        ("gain_post", "", option.deepest, "mm"),
        ("gain_short", "", room if room is not None and room.value < 0 else None, "mm"),
    ]
    for what, rule, quantity, unit in facts:
        if quantity is not None:
            yield say(what), rule, [(None, _strong(quantity, unit))]


def _strong(quantity, unit):
    return f"*{size_text(quantity, unit)}*"


def _gain_verdict(option):
    asked = [f for f in option.findings if f.rule in ("ferrule.height", "crown_root.least")]
    verdicts = [f.verdict for f in asked]
    for verdict in (FAILS, TOO_CLOSE):
        if verdict in verdicts:
            return verdict
    return MEETS if verdicts else ""
