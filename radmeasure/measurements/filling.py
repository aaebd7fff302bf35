"""Root filling and post on the film, by depth along the canal."""

import numpy as np

from radmeasure.measurements.canal import canal_of, canal_waits, depth_of_point
from radmeasure.measurements.lengths import crest_depth
from radmeasure.measurements.result import Measured, Missing, key, waits


def filling(sight, root, rules):
    """filling_to_apex, filling_length, residual_filling; the post's gap, length and depths."""
    canal = canal_of(sight, root)
    names = ("filling_coronal", "filling_apical", "post_coronal", "post_apical")
    at = {n: depth_of_point(sight, root, n) for n in names}
    yield _filling_to_apex(sight, root, canal, at)
    yield _span(sight, root, "filling_length", at, "filling_coronal", "filling_apical")
    yield _residual(sight, root, at)
    yield _span(sight, root, "post_gap", at, "post_apical", "filling_coronal")
    yield _span(sight, root, "post_length", at, "post_coronal", "post_apical")
    yield _depth(sight, root, "post_depth", at, "post_apical")
    yield _depth(sight, root, "filling_depth", at, "filling_coronal")
    yield _post_in_bone(sight, root)


def _filling_to_apex(sight, root, canal, at):
    k = key("filling_to_apex", root)
    if at["filling_apical"] is None:
        lacking = waits(sight, (root, "filling_apical")) + canal_waits(sight, root)
        return k, Missing("mm", lacking)
    values = canal.length - at["filling_apical"] + sight.hidden("apical", root)
    return k, Measured(values, "mm", f"filling end to {canal.end} along the canal")


def _span(sight, root, id_, at, start, end):
    if at[start] is None or at[end] is None:
        lacking = waits(sight, (root, start), (root, end)) + canal_waits(sight, root)
        return key(id_, root), Missing("mm", lacking)
    method = f"{start.replace('_', ' ')} end to {end.replace('_', ' ')} end, along the canal"
    return key(id_, root), Measured(at[end] - at[start], "mm", method)


def _depth(sight, root, id_, at, end):
    if at[end] is None:
        lacking = waits(sight, (root, end)) + canal_waits(sight, root)
        return key(id_, root), Missing("mm", lacking)
    method = f"root face to the {end.replace('_', ' ')} end, along the canal"
    return key(id_, root), Measured(at[end], "mm", method)


def _residual(sight, root, at):
    """What is left of the filling: from its coronal end, or from the post where it reaches in."""
    k = key("residual_filling", root)
    tops = [at[n] for n in ("filling_coronal", "post_apical") if at[n] is not None]
    if at["filling_apical"] is None or not tops:
        lacking = waits(sight, (root, "filling_coronal"), (root, "filling_apical"))
        return k, Missing("mm", lacking + canal_waits(sight, root))
    values = at["filling_apical"] - np.max(tops, axis=0)
    return k, Measured(values, "mm", "filling left below its coronal end or the post")


def _post_in_bone(sight, root):
    k = key("post_depth_in_bone", root)
    post, crest = sight.depth("post_apical", root), crest_depth(sight, root)
    if post is None or crest is None:
        names = ((root, "post_apical"), "crest_mesial", "crest_distal", (root, "apex"))
        return k, Missing("mm", waits(sight, *names))
    return k, Measured(post - crest, "mm", "mean crest to the post's end, along the axis")
