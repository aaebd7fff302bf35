"""What differs between two evaluations of one film."""


def changed_since(model, scale, earlier, earlier_scale):
    """What differs between two declared films.

    Parameters
    ----------
    model, earlier : FilmModel
    scale, earlier_scale : SampledScale
        Solved on the stencils of both.

    Returns
    -------
    set or None
        (root or None, name) of places and lines that differ, and 'scale' where that does;
        None when more differs than that, and nothing can be taken over.
    """
    now, was = model.landmarks, earlier.landmarks
    alike = (
        now.tooth == was.tooth
        and now.given == was.given
        and tuple(now.roots) == tuple(was.roots)
        and scale.calibrated == earlier_scale.calibrated
        and model.evidence.mm_per_px == earlier.evidence.mm_per_px
    )
    moved = model.inputs.moved_from(earlier.inputs) if alike else None
    if moved is None:
        return None
    changed = {(r, name) for r, name, at in now.placed() if at != was.get(name, r)}
    if not moved <= model.evidence.places_of(changed):
        return None  # a reference, or what was entered
    if not scale.equals(earlier_scale):
        changed.add("scale")
    return changed
