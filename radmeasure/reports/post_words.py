"""What the record says of the post space of each root."""

from radmeasure.model.plan import NO_WIDER
from radmeasure.quantity import FAILS, MEETS
from radmeasure.reports.figures import depth_text, measure, quantity_text
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
    for space in evaluation.post_space:
        name = say("p_post")
        if many:
            name = say("p_root", title=name, root=root_title(space.root))
        choice = evaluation.choice
        yield make(name, tuple(post_sentences(space, choice)), "p_post", space.root)


def post_sentences(space, choice):
    """Depth, clashes, width, sizes and the drill's setting of one root."""
    for reason in space.contraindications:
        marked = say("against", reason=reason[:1].upper() + reason[1:])
        yield Sentence(marked, FAILS)
    if space.deepest is None:
        yield _unknown(space)
        return
    yield _safe(space)
    yield from _shallow(space)
    if choice.root in (None, space.root):
        yield from _chosen(choice)
    yield from _width(space)
    if space.drill_depth is not None and space.deepest.value > 0:
        yield Sentence(say("drill", depth=quantity_text(space.drill_depth, "mm")))
    yield Sentence(say("unseen_wall"), quiet=True)


def _unknown(space):
    wanted = tuple((owner(name, space.root), name) for name in space.missing)
    return Sentence(
        say("post_unknown", landmarks=landmarks_text(wanted)), waits_for=wanted, quiet=True
    )


def _safe(space):
    row = limit_of(space, space.deepest_because)
    because = because_text(space)
    sources = () if row is None else (source_text(row.source, row.trust),)
    if space.deepest.value <= 0:
        return Sentence(say("post_none", because=because), FAILS, sources=sources)
    depth = quantity_text(space.deepest, "mm")
    return Sentence(say("post_safe", depth=depth, because=because), sources=sources)


def _shallow(space):
    clashes = [clash_sentence(space, rule, short) for rule, short in space.clashes]
    yield from clashes
    if clashes and any(s.verdict == FAILS for s in clashes) and space.deepest.value > 0:
        yield Sentence(say("post_clash"), quiet=True)
    if not clashes and space.shallowest is not None:
        yield Sentence(say("post_met"), MEETS)


def _chosen(choice):
    parts = []
    if choice.depth_mm is not None:
        parts.append(say("chosen_depth", depth=depth_text(choice.depth_mm)))
    if choice.size_name is not None:
        parts.append(say("chosen_size", size=choice.size_name))
    if choice.seal_mm is not None:
        parts.append(say("chosen_seal", seal=measure(choice.seal_mm, "mm")))
    if parts:
        yield Sentence(say("chosen", choice=joined(parts)))


def _width(space):
    if space.widest_at_deepest is None:
        if space.missing:
            wanted = tuple((owner(n, space.root), n) for n in space.missing)
            marked = say("width_unknown", landmarks=landmarks_text(wanted))
            yield Sentence(marked, "", None, (), wanted, True)
        return
    row = limit_of(space, space.widest_because)
    sources = () if row is None else (source_text(row.source, row.trust),)
    width = quantity_text(space.widest_at_deepest, "mm")
    because = rule_title(space.widest_because)
    yield Sentence(say("post_width", width=width, because=because), sources=sources)
    yield from _sizes(space)


def _sizes(space):
    if not space.sizes:
        return
    fits = [fit.size.name for fit in space.sizes if fit.fits]
    close = [f.size.name for f in space.sizes if not f.fits and 0.05 < f.p < 0.95]
    if fits:
        yield Sentence(say("post_sizes", sizes=joined(fits)))
    else:
        yield Sentence(say("post_no_size"))
    if close:
        yield Sentence(say("post_sizes_close", sizes=joined(close)), quiet=True)


def width_limits(space):
    """The no-wider rows of a root."""
    return tuple(row for row in space.limits if row.side == NO_WIDER)


def deeper_words(space):
    """Short words for the edge of the window: the rule that binds."""
    return translated(rule_title(space.deepest_because))
