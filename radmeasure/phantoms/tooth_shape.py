"""The form of a tooth: profiles of crown, roots and canals from the table of sizes.

Local coordinates (m mesial, li lingual, s apical); s = 0 at the middle of the
two proximal CEJ points, so crown and root lengths are counted from there.
"""

from dataclasses import dataclass, field

import numpy as np

from radmeasure.model.recipe import RootRecipe
from radmeasure.phantoms.frame import STRAIGHT, Bend
from radmeasure.phantoms.profile import Profile, tabulated, through

_AZIMUTH = {"mesial": 0.0, "lingual": 90.0, "distal": 180.0, "buccal": 270.0}
_ROUNDING = 9  # how late the root's end rounds off; an assumption of form


@dataclass(frozen=True)
class RootShape:
    """One root and its canal, in a frame of its own inside the tooth's.

    Attributes
    ----------
    at, splay : tuple of float
        Where its axis crosses s = 0 of the tooth (m, li), mm, and its lean, degrees.
    length_mm : float
        Along its axis to the apex.
    half2, ratio : Profile
        Square of the half width mesiodistally, and buccolingual over mesiodistal width.
    canal_half2, canal_ratio, canal_centre : Profile
    orifice_mm, foramen_mm : float
        Along the axis.
    """

    name: str
    at: tuple
    splay: tuple
    length_mm: float
    bend: object
    half2: Profile
    ratio: Profile
    canal_half2: Profile
    canal_ratio: Profile
    canal_centre: Profile | None
    orifice_mm: float
    foramen_mm: float


@dataclass(frozen=True)
class ToothShape:
    """A whole tooth.

    Attributes
    ----------
    crown_mm, root_mm : float
    half, ratio : Profile
        Dentine of crown and (single root or) trunk: half width, and its ratio.
    cap_ratio : Profile
        Ratio of the crown's outside.
    centre, centre_l : Profile
        Mesial and lingual shift of the sections.
    enamel : Profile
        Thickness by distance coronal to the CEJ surface.
    trunk_mm : float or None
        CEJ to the parting of the roots; None for a single root.
    vault : tuple of float or None
        How much sooner the roots part at the mesial or distal, and at the
        buccal or lingual face than in the middle, mm.
    """

    tooth: object
    crown_mm: float
    root_mm: float
    cervix_md: float
    cervix_bl: float
    crown_md: float
    crown_bl: float
    cej_curve: tuple
    half: Profile
    ratio: Profile
    cap_ratio: Profile
    centre: Profile
    centre_l: Profile | None
    enamel: Profile
    form: dict
    trunk_mm: float | None
    vault: tuple | None
    roots: tuple = field(default_factory=tuple)

    def cej(self, m, li):
        """Height s of the CEJ surface: higher (more coronal) at the proximal sides."""
        mesial, distal = self.cej_curve
        tilt = np.float32((mesial - distal) / 2 / (self.cervix_md / 2))
        rise = np.float32((mesial + distal) / 2 / (self.cervix_bl / 2) ** 2)
        return rise * li * li - tilt * m

    def root(self, name):
        for root in self.roots:
            if root.name == name:
                return root
        raise KeyError(name)


def _smooth(x):
    x = np.clip(x, 0, 1)
    return x * x * (3 - 2 * x)


def _root_half(start, length, taper):
    """Half width of a root along s: a gentle taper that rounds off at the apex."""

    def half2(s):
        x = np.maximum(s / length, 0)
        base = 1 - taper[0] * np.minimum(x, 1) - taper[1] * np.minimum(x, 1) ** 2
        end = np.where(x <= 1, 1 - x**_ROUNDING, -_ROUNDING * (x - 1))
        return start**2 * base**2 * end

    return half2


def _widths(table, name, crown_mm):
    canal = table["canal"][name]
    return np.array(canal["md"]), np.array(canal["bl"])


def _canal(widths, ends, top, swell):
    """Half width squared of a canal along s, and its ratio.

    ``ends`` are (orifice, foramen); ``top`` is where the pulp begins and
    ``swell`` how much wider than at the orifice it becomes half-way up.
    """
    orifice, foramen = ends
    md, bl = widths
    knots = [orifice, foramen - 5, foramen - 2, foramen - 1, foramen]
    if foramen - 5 <= orifice + 0.5:
        knots[1] = orifice + 0.4 * (foramen - 2 - orifice)
    above = [top, top + 0.25 * (orifice - top), top + 0.6 * (orifice - top)]

    def width(w):
        inside = [w[3], w[2], w[1], w[0], 0.85 * w[0]]
        crownward = [swell * w[3], swell * w[3], 0.5 * (1 + swell) * w[3]]
        return through([*above, *knots], [*crownward, *inside], top - 0.5, foramen + 0.6)

    across, deep = width(md), width(bl)

    def closed(s, w):
        start = np.clip((s - top) / 0.3 / (orifice - top), -1, 1)
        cap = np.where(start < 0, start, start * (2 - start))
        end = np.where(s > foramen + 0.15, -(s - foramen - 0.15), 1)
        return (w / 2) ** 2 * np.where(end < 0, 1, cap) + np.minimum(end, 0)

    return across.mapped(closed), Profile(across.start, deep.values / across.values)


def _solve_length(distance, wanted, low, high):
    """Length of the axis for which the apex lies ``wanted`` mm from the CEJ's middle."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        if distance(middle) < wanted:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _bend(recipe, curve_deg, orifice, length, share):
    """The bend whose arc ends at the apex; Schneider's angle is half the arc's (derived)."""
    if curve_deg < 0.05:
        return STRAIGHT
    angle = 2 * curve_deg
    if recipe.radius_mm is not None:
        start = length - recipe.radius_mm * np.radians(angle)
    elif recipe.straight_mm is not None:
        start = orifice + recipe.straight_mm
    else:
        start = orifice + share * (length - orifice)
    start = min(max(start, orifice + 0.2), length - 1.0)
    radius = (length - start) / np.radians(angle)
    return Bend(start, radius, angle, _AZIMUTH[recipe.toward])


def _lean(at, splay, m, li, s):
    """Root coordinates -> tooth coordinates; the same turns as Frame.moved."""
    a, b = np.radians(splay[0]), np.radians(splay[1])
    s2 = s * np.cos(a) - m * np.sin(a)
    return (
        m * np.cos(a) + s * np.sin(a) + at[0],
        li * np.cos(b) + s2 * np.sin(b) + at[1],
        s2 * np.cos(b) - li * np.sin(b),
    )


def _make_root(name, recipe, spec, anatomy, size, pulp):
    """A root from its size; ``pulp`` gives (orifice, top of the pulp, swell)."""
    at, splay, start_md, start_bl, taper, curve, canal, share = spec
    orifice, top, swell = pulp
    orifice = orifice if recipe.orifice_mm is None else recipe.orifice_mm
    curve = curve if recipe.curve_deg is None else recipe.curve_deg
    splay = (splay[0] if recipe.splay_deg is None else recipe.splay_deg, splay[1])

    def apex_distance(length):
        bend = _bend(recipe, curve, orifice, length, share)
        m, li, d = _lean(at, splay, *bend.place(0.0, 0.0, length))
        return float(np.sqrt(m * m + li * li + d * d))

    length = _solve_length(apex_distance, size, 0.5 * size, 1.6 * size)
    half2 = tabulated(-20.0, length + 2, _root_half(start_md / 2, length, taper[0]))
    deep2 = tabulated(-20.0, length + 2, _root_half(start_bl / 2, length, taper[1]))
    inside = half2.grid < length - 0.01
    squares = np.where(inside, deep2.values / np.where(inside, half2.values, 1), 0)
    ratio = np.sqrt(np.where(inside, squares, squares[inside][-1]))
    off = recipe.foramen_mm or 0.0
    foramen, centre = length, None
    if off:
        grid = half2.grid
        foramen = float(grid[np.flatnonzero((half2.values > off**2) & (grid > 0))[-1]])
        centre = tabulated(-20.0, length + 2, lambda s: -off * _smooth((s - foramen + 3) / 3))
    canal_half2, canal_ratio = _canal(canal, (orifice, foramen), top, swell)
    return RootShape(
        name, tuple(at), splay, length, _bend(recipe, curve, orifice, length, share), half2,
        Profile(half2.start, ratio), canal_half2, canal_ratio, centre, orifice, foramen,
    )  # fmt: skip


def _crown_sides(size, form):
    """Half widths mesial and distal by height share, and buccolingual."""
    cervix, crown = size["cervix_md"] / 2, size["crown_md"] / 2
    sides = []
    for contact in form["contact"]:
        knots = [0, 0.45 * contact, contact, 1.0, 1.3]
        edge = form["edge_md"] * crown
        middle = cervix + 0.72 * (crown - cervix)
        sides.append(through(knots, [cervix, middle, crown, edge, edge * 0.96], -0.2, 1.4, 0))
    b0, b1 = size["cervix_bl"] / 2, size["crown_bl"] / 2
    edge = form["edge_bl"] * b1
    if form["edge_bl"] < 0.4:
        knots, deep = [0, 0.22, 0.55, 0.85, 1.0, 1.3], [b0, b1, 0.8 * b1, 0.48 * b1, edge, edge]
    else:
        knots, deep = [0, 0.3, 0.62, 1.0, 1.3], [b0, b1, 0.93 * b1, edge, edge * 0.95]
    return sides[0], sides[1], through(knots, deep, -0.2, 1.4)


def _enamel(greatest, crown_mm):
    """Thickness by distance from the CEJ surface: nothing at it, rising without a step."""

    def thickness(x):
        u = np.clip(x / (0.7 * crown_mm), 0, 1)
        return greatest * (1 - (1 - u) ** 2) * (x > 0)

    return tabulated(-30.0, 20.0, thickness)


def _crown_profiles(size, form, root_half2, root_ratio, root_centre, enamel):
    """Dentine half width and ratio of crown and root, the crown's centre and outer ratio."""
    crown_mm = size["crown"]
    mesial, distal, deep = _crown_sides(size, form)
    kappa = sum(size["cej_curve"]) / 2
    grid = root_half2.grid
    share = np.float32(np.maximum(-grid / crown_mm, 0))
    e_side = enamel(np.float32(-grid))
    e_deep = enamel(np.float32(kappa - grid))
    outer = 0.5 * (mesial(share) + distal(share))
    root_half = np.sign(root_half2.values) * np.sqrt(np.abs(root_half2.values))
    half = np.where(grid < 0, np.maximum(outer - e_side, 0.3), root_half)
    below = 0 if root_centre is None else root_centre.values
    centre = np.where(grid < 0, 0.5 * (mesial(share) - distal(share)), below)
    deep_out = deep(share)
    # The dentine of a front tooth thins to an edge, so enamel makes most of the incisal third.
    more = 0.45 if form["edge_bl"] < 0.4 else 0.0
    thick = 0.8 * _smooth(share / 0.3) + more * _smooth((share - 0.55) / 0.35)
    deep_in = np.maximum(deep_out - e_deep * thick, 0.28)
    ratio = np.where(grid < 0, deep_in / np.where(grid < 0, half, 1), root_ratio.values)
    cap = np.where(grid < 0, deep_out / np.maximum(half + e_deep, 0.3), ratio)
    cap = ratio + (cap - ratio) * _smooth(share / 0.35)
    made = [Profile(root_half2.start, v) for v in (half, ratio, cap, centre)]
    return made


def _sizes(tooth, anatomy, wanted):
    size = dict(anatomy["tooth"][tooth.jaw_type])
    replace = {
        "crown": wanted.crown_mm,
        "root": wanted.root_mm,
        "crown_md": wanted.crown_md_mm,
        "cervix_md": wanted.cervix_md_mm,
        "cervix_bl": wanted.cervix_bl_mm,
    }
    size.update({k: v for k, v in replace.items() if v is not None})
    size["crown_md"] = max(size["crown_md"], size["cervix_md"] + 0.3)
    return size


def _single_canal(tooth):
    """Name of the canal table's row for a single root."""
    jaw = "maxillary" if tooth.upper else "mandibular"
    if tooth.kind == "incisor":
        return tooth.jaw_type if tooth.upper else "mandibular_incisor"
    if tooth.kind == "molar":
        return "mandibular_molar_distal" if not tooth.upper else "maxillary_molar_palatal"
    return f"{jaw}_{tooth.kind}"


def root_table(tooth, anatomy, wanted_roots):
    """Rows of the roots a tooth is drawn with; empty for a single root."""
    if "single" in wanted_roots:
        return {}
    key = tooth.jaw_type
    if tooth.kind == "molar":
        key = f"{'maxillary' if tooth.upper else 'mandibular'}_molar"
    rows = anatomy["roots"].get(key, {})
    return {k: v for k, v in rows.items() if isinstance(v, dict)}


def build(tooth, anatomy, wanted, wanted_roots, curve_deg=4.0):
    """The form of a tooth.

    Parameters
    ----------
    tooth : Tooth
    anatomy : mapping
        ``calibration/anatomy.toml``.
    wanted : Size
    wanted_roots : mapping of root name to RootRecipe
    curve_deg : float
        Schneider angle of a single root when the recipe names none.

    Returns
    -------
    ToothShape
    """
    size = _sizes(tooth, anatomy, wanted)
    form = anatomy["form"][tooth.kind]
    enamel = _enamel(size["enamel"], size["crown"])
    rows = root_table(tooth, anatomy, wanted_roots)
    if rows:
        roots, trunk, vault = _several_roots(tooth, anatomy, size, rows, wanted_roots)
        half2, ratio, root_centre, centre_l = _trunk(size, trunk, roots)
    else:
        roots, trunk = (_one_root(tooth, anatomy, size, wanted_roots, curve_deg),), None
        vault = None
        half2, ratio, root_centre, centre_l = roots[0].half2, roots[0].ratio, None, None
    half, ratio, cap, centre = _crown_profiles(size, form, half2, ratio, root_centre, enamel)
    return ToothShape(
        tooth, size["crown"], size["root"], size["cervix_md"], size["cervix_bl"],
        size["crown_md"], size["crown_bl"], tuple(size["cej_curve"]), half, ratio, cap, centre,
        centre_l, enamel, form, trunk, vault, tuple(roots),
    )  # fmt: skip


def _one_root(tooth, anatomy, size, wanted_roots, curve_deg):
    recipe = wanted_roots.get("single", RootRecipe())
    length = recipe.root_mm or size["root"]
    # How widths fall to the apex, here and below: fitted to drawings of teeth (assumption).
    taper = ((0.38, 0.30), (0.30, 0.32))
    spec = (
        (0.0, 0.0), (0.0, 0.0), size["cervix_md"], size["cervix_bl"], taper, curve_deg,
        _widths(anatomy, _single_canal(tooth), size["crown"]), 0.5,
    )  # fmt: skip
    return _make_root("single", recipe, spec, anatomy, length, (1.0, -0.58 * size["crown"], 1.15))


def _several_roots(tooth, anatomy, size, rows, wanted_roots):
    floor = chamber(tooth, anatomy, size["crown_md"], size["crown_bl"])["floor"]
    key = "maxillary_first_premolar" if tooth.kind == "premolar" else None
    key = key or f"{'maxillary' if tooth.upper else 'mandibular'}_molar"
    reference = anatomy["tooth"][
        key if tooth.kind == "premolar" else key.replace("_molar", "_first_molar")
    ]
    k_md = size["cervix_md"] / reference["cervix_md"]
    k_bl = size["cervix_bl"] / reference["cervix_bl"]
    roots = []
    for name, row in rows.items():
        recipe = wanted_roots.get(name, RootRecipe())
        at = (row["at"][0] * k_md, row["at"][1] * k_bl)
        taper = ((0.22, 0.30), (0.18, 0.34))
        length = recipe.root_mm or size["root"] * row["share"]
        trunk = anatomy["roots"][key]["trunk"]
        # `at` is given where the roots part; the axis is carried back to the CEJ.
        back = tuple(a - trunk * np.tan(np.radians(lean)) for a, lean in zip(at, row["splay"]))
        spec = (
            back, tuple(row["splay"]), row["md"] * k_md, row["bl"] * k_bl, taper,
            row.get("curve", 6.0), _widths(anatomy, row["canal"], size["crown"]), 0.3,
        )  # fmt: skip
        pulp = (floor + 0.1, floor - 0.7, 1.0)
        roots.append(_make_root(name, recipe, spec, anatomy, length, pulp))
    return roots, anatomy["roots"][key]["trunk"], tuple(anatomy["roots"][key]["vault"])


def _extent(roots, axis, sign, s):
    """How far the roots reach mesially, lingually, ... at heights s, tooth coordinates."""
    reach = []
    for root in roots:
        half = np.sqrt(np.maximum(root.half2(np.float32(s)), 0))
        half = half * (root.ratio(np.float32(s)) if axis else 1)
        centre = root.at[axis] + s * np.tan(np.radians(root.splay[axis]))
        reach.append(sign * centre + half)
    return np.max(reach, axis=0)


def _trunk(size, trunk, roots):
    """Half width squared, ratio and centre of the part above the parting of the roots.

    From the cervix it goes over into the outline of the roots, so that nothing
    stands out where they part.
    """
    made = tabulated(-20.0, trunk + 3, lambda s: s * 0)
    s = made.grid
    blend = _smooth((s + 0.3) / (0.75 * trunk))
    sides = {}
    for axis, cervix in ((0, size["cervix_md"] / 2), (1, size["cervix_bl"] / 2)):
        for sign in (1, -1):
            wide = np.minimum(_extent(roots, axis, sign, np.maximum(s, 0)) + 0.02, cervix)
            sides[axis, sign] = cervix + (wide - cervix) * blend
    half_m = (sides[0, 1] + sides[0, -1]) / 2
    half_l = (sides[1, 1] + sides[1, -1]) / 2
    profiles = (half_m**2, half_l / half_m, (sides[0, 1] - sides[0, -1]) / 2,
                (sides[1, 1] - sides[1, -1]) / 2)  # fmt: skip
    return [Profile(made.start, v) for v in profiles]


def chamber(tooth, anatomy, crown_md, crown_bl):
    """Roof, floor and half widths of the pulp chamber of a tooth with several roots, mm.

    Height and roof by Deutsch & Musikant 2004 (read); its width is an assumption.
    """
    value = anatomy["value"]
    if tooth.kind == "premolar":
        return {"roof": -1.2, "floor": 3.0, "half": (0.55, 2.0)}
    height = value["chamber_height_upper" if tooth.upper else "chamber_height_lower"]["mm"]
    return {"roof": 0.0, "floor": height, "half": (0.27 * crown_md, 0.26 * crown_bl)}
