"""Train the scorers of radmeasure.tracing and write radmeasure/tracing/scorers.npz.

    python -m tests.experiments.train_suggest FOLDER [FOLDER ...] [--scatters 2]

The folders hold films of the project's own generator with their truth
(tests/experiments/suggest_recipes.py). Each film is developed anew and clicked roughly
several times; every scorer learns to tell the true place from others on the same ray or
wall (softmax cross-entropy, Adam: Kingma & Ba, ICLR 2015, memory). fit_certainty.py then
fits how sure they are, on films they were not taught.
"""

import argparse

import numpy as np

from radmeasure.tracing import canal, levels, metal, network, outline, profiles, roots, rough, scene
from radmeasure.tracing.network import Network
from radmeasure.tracing.rays import resample
from tests.experiments.suggest_films import films, neighbour_hints, scattered_hints
from tests.experiments.suggest_redeveloped import redeveloped

STEP = profiles.STEP
HIDDEN = {"wall": 24, "canal": 24, "canal_wall": 16, "contents": 24}  # else 14
DECAY = {"wall": 1e-4, "canal": 1e-4, "canal_wall": 1e-4}  # else 2e-3


def train(groups, hidden, decay=1e-4, epochs=30, rate=3e-3, seed=0):
    """Network scoring candidate 0 of every group highest.

    Parameters
    ----------
    groups : list of (features (n, K, F), excluded (n, K))
    """
    features = np.concatenate([g[0] for g in groups])
    excluded = np.concatenate([g[1] for g in groups])
    start = _start(features.reshape(-1, features.shape[-1]), hidden, 1, seed)

    def gradient(score, batch):
        score = np.where(excluded[batch], -1e9, score[..., 0])
        p = _softmax(score)
        p[:, 0] -= 1.0
        return p[..., None]

    return _descend(start, features, gradient, decay, epochs, rate, seed)


def train_classes(features, label, classes, hidden, decay=1e-3, epochs=30, rate=3e-3, seed=0):
    """Network scoring the class ``label`` of each row highest."""
    start = _start(features, hidden, classes, seed)

    def gradient(score, batch):
        p = _softmax(score[:, 0])
        p[np.arange(len(batch)), label[batch]] -= 1.0
        return p[:, None]

    return _descend(start, features[:, None], gradient, decay, epochs, rate, seed)


def _softmax(score):
    score = np.exp(score - score.max(axis=1, keepdims=True))
    return score / score.sum(axis=1, keepdims=True)


def _start(flat, hidden, classes, seed):
    rng = np.random.default_rng(seed)
    count = flat.shape[1]
    w1 = rng.normal(0.0, count**-0.5, (count, hidden)).astype(np.float32)
    w2 = rng.normal(0.0, 0.3, (hidden, classes)).astype(np.float32)
    scale = 1.0 / (flat.std(axis=0) + 1e-3)
    return Network(flat.mean(axis=0), scale, w1, np.zeros(hidden, np.float32), w2)


def _descend(net, features, gradient, decay, epochs, rate, seed):
    rng = np.random.default_rng(seed)
    weights = [net.w1.copy(), net.b1.copy(), net.w2.copy()]
    first, second = ([np.zeros_like(w) for w in weights] for _ in range(2))
    size = int(np.clip(len(features) // 30, 16, 256))
    steps, total = 0, epochs * (len(features) // size + 1)
    for _ in range(epochs):
        order = rng.permutation(len(features))
        for begin in range(0, len(order), size):
            batch = order[begin : begin + size]
            x = (features[batch] - net.mean) * net.scale
            hidden = np.tanh(x @ weights[0] + weights[1])
            slope = gradient(hidden @ weights[2], batch) / len(batch)
            inner = slope @ weights[2].T * (1 - hidden**2)
            flat_x, flat_h = x.reshape(-1, x.shape[-1]), hidden.reshape(-1, hidden.shape[-1])
            steep = [
                flat_x.T @ inner.reshape(len(flat_x), -1) + decay * weights[0],
                inner.sum(axis=(0, 1)),
                flat_h.T @ slope.reshape(len(flat_h), -1) + decay * weights[2],
            ]
            steps += 1
            pace = rate * 0.5 * (1 + np.cos(np.pi * steps / (total + 1)))
            for j, g in enumerate(steep):
                first[j] = 0.9 * first[j] + 0.1 * g
                second[j] = 0.999 * second[j] + 0.001 * g * g
                move = first[j] / (1 - 0.9**steps)
                weights[j] -= pace * move / (np.sqrt(second[j] / (1 - 0.999**steps)) + 1e-8)
    return Network(net.mean, net.scale, *(w.astype(np.float32) for w in weights))


# -- groups: the true place first, others of the same ray after it ------------------


def candidates(rng, truth, count, near, reach):
    """Indices, the true one first, and which of the others count as true as well."""
    truth = np.clip(np.round(truth).astype(int), 0, count - 1)
    beside = truth[:, None] + rng.choice(
        np.r_[-reach : -near + 1, near : reach + 1], (len(truth), 20)
    )
    anywhere = rng.integers(0, count, (len(truth), 20))
    index = np.concatenate([truth[:, None], np.clip(beside, 0, count - 1), anywhere], axis=1)
    excluded = np.abs(index - truth[:, None]) < near
    excluded[:, 0] = False
    return index, excluded


def ray_group(rng, features, rays, crossing, most=25):
    """Group of a frame whose rays cross the true curve at ``crossing`` (NaN: unknown)."""
    known = np.flatnonzero(np.isfinite(crossing))
    if not len(known):
        return None
    known = rng.choice(known, min(len(known), most), replace=False)
    truth = (crossing[known] - rays.radius[0]) / STEP
    index, excluded = candidates(rng, truth, len(rays.radius), 2, 12)
    return features[known[:, None], index], excluded


def true_outline(film, root):
    """The root's silhouette: down the mesial wall, up the distal one."""
    lines, placed = film.truth.roots[root].lines, film.truth.points
    mesial, distal = list(lines["root_wall_mesial"]), list(lines["root_wall_distal"])
    if len(film.truth.roots) == 1 and "cej_mesial" in placed:
        mesial, distal = [placed["cej_mesial"], *mesial], [placed["cej_distal"], *distal]
    apex = film.truth.roots[root].points["apex"]
    return np.array([*mesial, apex, *distal[::-1]])


def true_centre(film, root, rng, unit_px):
    """A centre line and half-widths as a rough look would give them."""
    contour = resample(true_outline(film, root), 4.0)
    line = np.array(film.truth.roots[root].lines["canal"])
    if len(film.truth.roots) == 1 and "cej_mesial" in film.truth.points:
        pair = [film.truth.points["cej_mesial"], film.truth.points["cej_distal"]]
        line = np.vstack([np.mean(pair, axis=0), line])
    line = resample(line, 0.4 * unit_px)
    width = np.array([np.linalg.norm(contour - p, axis=1).min() for p in line]) / unit_px
    wander = np.cumsum(rng.normal(0.0, 0.03 * unit_px, line.shape), axis=0)
    line = line + rng.normal(0.0, 0.25 * unit_px, 2) + wander
    return line, np.clip(width * np.exp(rng.normal(0.0, 0.15)), 0.5, 5.0)


def wall_groups(film, rng):
    hints = scattered_hints(film, rng)
    coronal = np.array(hints.points["coronal_reference"])
    apices = roots.apex_clicks(hints)
    unit_px = film.px_per_mm * np.exp(rng.normal(0.0, 0.07))
    image = scene.prepared(film.pixels, coronal, list(apices.values()), unit_px).film
    for root, apex in apices.items():
        contour = true_outline(film, root)
        for side in (1, -1):
            rays, from_tip = rough.across_rays(coronal, apex, unit_px, side)
            flat = np.zeros(len(from_tip))
            features = profiles.wall_features(rays, image, 0.5, flat, from_tip)
            yield "wall", ray_group(rng, features, rays, rays.crossings(contour))
        true_apex = np.array(film.truth.roots[root].points["apex"])
        near_apex = true_apex + rng.normal(0.0, 0.6 * unit_px, 2)
        frame = outline.outline_rays(*true_centre(film, root, rng, unit_px), near_apex, unit_px)
        features = profiles.wall_features(frame.rays, image, 0.7, frame.slant, frame.from_tip)
        yield "wall", ray_group(rng, features, frame.rays, frame.rays.crossings(contour))


def inner_groups(film, rng):
    """(scorer, group) of everything that is searched inside a traced outline."""
    hints = scattered_hints(film, rng)
    tooth = roots.trace_tooth(film.pixels, hints)
    setting, image = tooth.scene, tooth.scene.film
    for name, trace in tooth.roots.items():
        truth = film.truth.roots[name]
        yield "contents", content_rows(tooth, trace, truth.points)
        frame = trace.canal_frame
        crossing = frame.rays.crossings(truth.lines["canal"])
        crossing[np.abs(crossing) > frame.half_width] = np.nan
        features = canal.canal_features(frame, image)
        yield "canal", ray_group(rng, features, frame.rays, crossing)
        known = np.isfinite(crossing)
        if known.sum() < 20:
            continue
        wander = np.cumsum(rng.normal(0.0, 0.01, known.sum())) + rng.normal(0.0, 0.04)
        part = canal.cut(frame, known)
        path = canal.CanalPath(part, crossing[known] + wander, None, None)
        for rays in canal.wall_rays(path):
            walls = [truth.lines[f"canal_wall_{side}"] for side in ("mesial", "distal")]
            meets = np.max([np.nan_to_num(rays.crossings(w), nan=-1.0) for w in walls], axis=0)
            features = canal.wall_features(rays, part, image)
            meets = np.where(meets > 0, meets, np.nan)
            yield "canal_wall", ray_group(rng, features, rays, meets)
        for kind, line in lengthwise(tooth, setting, trace):
            if kind in truth.points:
                yield kind, level_group(rng, kind, film, line, image, truth.points[kind])
        for side, wall in trace.walls.items():
            for kind in ("cej", "crest"):
                point = film.truth.points.get(f"{kind}_{side}")
                if point is not None and not (kind == "cej" and crown_lost(film)):
                    yield kind, level_group(rng, kind, film, wall, image, point)


def neighbour_groups(film, rng):
    """(scorer, group) of the CEJ of the teeth beside the tooth: more necks for the same film."""
    for beside in film.neighbours:
        tooth = roots.trace_tooth(film.pixels, neighbour_hints(film, beside, rng))
        for trace in tooth.roots.values():
            for wall in trace.walls.values():
                for point in beside["cej"]:
                    yield "cej", level_group(rng, "cej", film, wall, tooth.scene.film, point)


def crown_lost(film):
    return "margin_mesial" in film.truth.points


def lengthwise(tooth, setting, trace):
    """(scorer, frame) of the levels along a root's canal."""
    path = canal.find_canal(setting, trace.canal_frame)
    frame = levels.level_frame(levels.extended(path.points, setting.unit_px), 1, setting.unit_px)
    yield "orifice", frame
    yield "foramen", frame
    line = metal.track(setting, path.points, tooth.coronal)
    frame = levels.level_frame(line.points, 1, setting.unit_px)
    for kind in metal.ENDS:
        yield kind, frame


def level_group(rng, kind, film, frame, image, point):
    points = frame.rays.curve(frame.offset)
    away = np.linalg.norm(points - np.array(point), axis=1)
    row = int(away.argmin())
    if away[row] > 0.8 * film.px_per_mm or row in (0, len(points) - 1):
        return None
    index, excluded = candidates(rng, np.array([row]), len(points), 3, 15)
    return levels.level_features(kind, frame, image)[index[0]][None], excluded


def content_rows(tooth, trace, placed):
    """(features, label) of the levels along a root's canal."""
    path = canal.find_canal(tooth.scene, trace.canal_frame)
    line = metal.track(tooth.scene, path.points, tooth.coronal)
    label = np.full(len(line.points), metal.EMPTY)
    for kind, first, last in (
        (metal.FILLING, "filling_coronal", "filling_apical"),
        (metal.POST, "post_coronal", "post_apical"),
        (metal.FILE, None, "file_tip"),
    ):
        if last in placed:
            begin = line.row_of(placed[first]) if first in placed else 0
            label[begin : line.row_of(placed[last]) + 1] = kind
    return metal.track_features(line), label


def collected(source, groups_of, scatters, seed):
    """(scorer, group) of every film, each developed anew for every scatter."""
    found = []
    for index, film in enumerate(source):
        rng = np.random.default_rng([seed, index])
        for _ in range(scatters):
            groups = groups_of(redeveloped(rng, film), rng)
            found += [(name, group) for name, group in groups if group is not None]
    return found


def use(arrays):
    """Make the tracers use ``arrays`` instead of the shipped ones, without writing a file."""
    network.shipped().update(arrays)
    network.trained.cache_clear()


def fitted(groups):
    """Arrays of the scorers trained on ``groups``."""
    by_name = {}
    for name, group in groups:
        by_name.setdefault(name, []).append(group)
    arrays = {}
    for name, found in by_name.items():
        if name == "contents":
            features, label = (np.concatenate(part) for part in zip(*found))
            net = train_classes(features, label, 4, HIDDEN[name])
        else:
            net = train(found, HIDDEN.get(name, 14), DECAY.get(name, 2e-3))
        arrays.update(net.stored(name))
    return arrays


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folders", nargs="+")
    parser.add_argument("--scatters", type=int, default=2)
    parser.add_argument("--out", default="radmeasure/tracing/scorers.npz")
    args = parser.parse_args()
    source = films(*args.folders)
    groups = collected(source, wall_groups, args.scatters, 1)
    use(fitted(groups))
    groups += collected(source, inner_groups, args.scatters, 2)
    groups += collected(source, neighbour_groups, args.scatters, 3)
    arrays = fitted(groups)
    kept = {name: a for name, a in network.shipped().items() if name.endswith(".certainty")}
    np.savez_compressed(args.out, **arrays, **kept)
    print(f"trained on {len(source)} films: {', '.join(sorted(arrays))}")


if __name__ == "__main__":
    main()
