"""A tooth's form as solids: socket, enamel, dentine, pulp, and its silhouettes' tubes."""

from dataclasses import dataclass

import numpy as np

from radmeasure.phantoms.frame import Frame
from radmeasure.phantoms.profile import Profile, tabulated
from radmeasure.phantoms.raycast import Part
from radmeasure.phantoms.solids import Both, Cusp, EnamelCap, Ledge, Tube
from radmeasure.phantoms.tooth_shape import ToothShape, chamber

_DENTINE_CUSP = 1.22  # dentine cusps are this much blunter than enamel ones (assumption)


@dataclass(frozen=True)
class Tooth3D:
    """A tooth placed in the scene.

    Attributes
    ----------
    shape : ToothShape
    frame : Frame
    root_frames : mapping of root name to Frame
    body : Tube
        Dentine of crown and root, or crown and trunk.
    root_tubes, canal_tubes : mapping of root name to Tube
    cap : EnamelCap
    """

    shape: ToothShape
    frame: Frame
    root_frames: dict
    body: Tube
    root_tubes: dict
    canal_tubes: dict
    cap: EnamelCap


def _squared(profile):
    return profile.mapped(lambda s, v: v * np.abs(v))


def _squareness(crown, root, low):
    """How square the sections are along s: the crown's value goes over into the root's."""
    return tabulated(low - 1, 3.0, lambda s: root + (crown - root) * np.clip(-s / 3, 0, 1))


def place(shape, frame):
    """Put a form into the scene."""
    bend = shape.roots[0].bend if shape.trunk_mm is None else None
    low = -shape.crown_mm - 0.6
    kwargs = {} if bend is None else {"bend": bend}
    high = shape.roots[0].length_mm if shape.trunk_mm is None else shape.trunk_mm + 2.0
    square = _squareness(*shape.form["square"], low)
    body = Tube(
        frame, _squared(shape.half), shape.ratio, low, high, shape.centre, shape.centre_l,
        square=square, **kwargs,
    )  # fmt: skip
    cervical = sum(shape.cej_curve) / 2 + 0.3
    cap = EnamelCap(
        frame, shape.half, shape.cap_ratio, low, cervical, shape.centre,
        shape.centre_l, square=square, enamel=shape.enamel, cej=shape.cej, **kwargs,
    )  # fmt: skip
    frames, tubes, canals = {}, {}, {}
    for root in shape.roots:
        own = frame.moved((*root.at, 0.0), *root.splay)
        frames[root.name] = own
        tubes[root.name] = Tube(own, root.half2, root.ratio, 0.0, root.length_mm, bend=root.bend)
        top = float(root.canal_half2.start + 0.5)
        canals[root.name] = Tube(
            own, root.canal_half2, root.canal_ratio, top, root.foramen_mm + 0.2,
            root.canal_centre, bend=root.bend,
        )  # fmt: skip
    return Tooth3D(shape, frame, frames, body, tubes, canals, cap)


def edge_height(shape, deeper=0.0):
    """Height of an incisal edge or cusp ridge along m, for teeth without separate cusps."""
    mesial, distal = shape.form["edge_drop"]
    half = shape.crown_md / 2
    canine = shape.tooth.kind == "canine"

    def height(m):
        u = m / half
        drop = np.where(u > 0, mesial, distal)
        if canine:
            fall = drop * (np.sqrt(u * u + 0.02) - np.sqrt(0.02))
        else:
            fall = drop * np.abs(u) ** 5
        return -shape.crown_mm + deeper + fall

    return tabulated(-half - 3, half + 3, height, 0.05)


def cusps(shape, frame, deeper=0.0):
    """Paraboloids whose union is the chewing surface; ``deeper`` for the dentine's."""
    half_m, half_l = shape.crown_md / 2, shape.crown_bl / 2
    blunt = _DENTINE_CUSP if deeper else 1.0
    made = []
    for at_m, at_l, drop in shape.form["cusps"]:
        at = (at_m * half_m + float(shape.centre(np.float32(-0.8 * shape.crown_mm))), at_l * half_l)
        width = (
            max(abs(at[0]), 0.62 * half_m) / 0.98 * blunt,
            max(abs(at[1]), 0.4 * half_l) / 0.98 * blunt,
        )
        made.append(Cusp(frame, at, -shape.crown_mm + drop + deeper, width))
    return made


def _crown_solids(tooth, tube, deeper):
    """The crown's outside or core cut to its edge or cusps."""
    shape = tooth.shape
    if not shape.form["cusps"]:
        return [Both((tube, Ledge(tooth.frame, edge_height(shape, deeper))))]
    return [Both((tube, cusp)) for cusp in cusps(shape, tooth.frame, deeper)]


def _trunk_floor(tooth, grow):
    """What lies coronal to the parting of the roots: a vault, highest in the tooth's middle."""
    shape = tooth.shape
    drop_m, drop_l = shape.vault
    up = Frame(tooth.frame.origin, tooth.frame.axes * np.array([[1], [1], [-1]]))
    width = (shape.cervix_md / 2 / np.sqrt(drop_m), shape.cervix_bl / 2 / np.sqrt(drop_l))
    return Cusp(up, (0.0, 0.0), -shape.trunk_mm - 0.3 - grow, width)


def dentine_solids(tooth, grow=0.0):
    """Solids of all dentine; with ``grow`` the socket around the root, offset outward."""
    shape = tooth.shape
    body = _grown(tooth.body, grow)
    if shape.trunk_mm is None:
        return [body] if grow else _crown_solids(tooth, body, _edge_enamel(shape))
    floor = _trunk_floor(tooth, grow)
    if grow:
        trunk = [Both((body, floor))]
    else:
        trunk = [Both((s, floor)) for s in _crown_solids(tooth, body, _edge_enamel(shape))]
    top = Ledge(tooth.frame, Profile(-9.0, np.full(2, shape.trunk_mm * 0.25), 18.0))
    return trunk + [Both((_grown(t, grow), top)) for t in tooth.root_tubes.values()]


def _grown(tube, grow):
    """The root's tube offset outward by ``grow`` mm, its end included."""
    if not grow:
        return tube
    end = tube.high
    grid = tube.half_md.grid
    inner = np.where(grid > 0, grid * end / (end + grow), grid).astype(np.float32)
    half = np.sqrt(np.maximum(tube.half_md(inner), 0))
    # The offset itself rounds off over the last bit beyond the apex.
    radial = grow * np.sqrt(np.clip((end + grow - grid) / grow, 0, 1))
    wide, deep = half + radial, half * tube.ratio(inner) + radial
    beyond = np.maximum(grid - end - grow, 0)
    half2 = Profile(tube.half_md.start, np.where(beyond > 0, -2 * beyond, wide**2))
    solid = wide > 0.02
    ratio = np.where(solid, deep / np.where(solid, wide, 1), 0)
    ratio = Profile(tube.half_md.start, np.where(solid, ratio, ratio[solid][-1]))
    return Tube(
        tube.frame, half2, ratio, max(tube.low, -1.5), end + grow, tube.centre_m, tube.centre_l,
        tube.bend, tube.square,
    )  # fmt: skip


def _edge_enamel(shape):
    """Enamel at the edge or the cusps, mm: about 2 (memory, no source)."""
    return {"incisor": 1.6, "canine": 1.9}.get(shape.tooth.kind, 2.1)


def enamel_solids(tooth):
    """The crown's outside down to the lowest point of the CEJ."""
    lowest = Profile(-30.0, np.full(2, tooth.cap.high), 60.0)
    whole = Both((tooth.cap, Ledge(tooth.frame, lowest, coronal=True)))
    return _crown_solids(tooth, whole, 0.0)


def pulp_solids(tooth, anatomy):
    """Canals, and the chamber with its horns when there are several roots."""
    made = list(tooth.canal_tubes.values())
    if tooth.shape.trunk_mm is None:
        return made
    shape = tooth.shape
    room = chamber(shape.tooth, anatomy, shape.crown_md, shape.crown_bl)
    roof, floor = room["roof"], room["floor"]
    a, b = room["half"]
    middle, half = (roof + floor) / 2, (floor - roof) / 2

    def half2(s):
        x = np.abs((s - middle) / half)
        return a * a * np.where(x < 1, 1 - x**3, -3 * (x - 1))

    profile = tabulated(roof - 2, floor + 2, half2)
    ratio = Profile(profile.start, np.full(len(profile.values), b / a))
    made.append(Tube(tooth.frame, profile, ratio, roof, floor, square=0.3))
    made += [
        _horn(tooth, roof, at_m * a * 1.5, at_l * b * 1.5) for at_m, at_l, _ in shape.form["cusps"]
    ]
    return made


def _horn(tooth, roof, at_m, at_l):
    frame = tooth.frame.moved((at_m, at_l, roof), -2.0 * np.sign(at_m), 2.0 * np.sign(at_l))

    def half2(s):
        up = (s + 1.7) / 2.0
        return (
            0.5**2
            * np.where(up < 0, up, np.clip(up, 0, 1.2) ** 1.5)
            * np.where(s > 0.8, 0.8 - s, 1)
        )

    profile = tabulated(-2.5, 1.5, half2)
    return Tube(frame, profile, Profile(-2.5, np.ones(len(profile.values))), -1.7, 0.8)


def parts(tooth, anatomy, bone, remains=None, pulp=True):
    """All parts of a sound tooth in its socket, outside first.

    Parameters
    ----------
    bone : Solid
        Ligament and lamina dura exist only inside it.
    remains : Solid or None
        What is left of a broken tooth.
    """
    value = anatomy["value"]
    ligament, lamina = value["ligament"]["mm"], value["lamina_dura"]["mm"]

    def left(solid):
        return solid if remains is None else Both((solid, remains))

    lining = [Part(Both((s, bone)), "cortical") for s in dentine_solids(tooth, ligament + lamina)]
    socket = [Part(Both((s, bone)), "soft") for s in dentine_solids(tooth, ligament)]
    hard = [Part(left(s), "enamel") for s in enamel_solids(tooth)]
    hard += [Part(left(s), "dentine") for s in dentine_solids(tooth)]
    inside = [Part(left(s), "soft") for s in pulp_solids(tooth, anatomy)] if pulp else []
    return lining, socket, hard, inside
