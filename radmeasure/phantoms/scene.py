"""From a recipe to a scene: everything in front of the receptor, and where it lies."""

from dataclasses import dataclass, field, replace

import numpy as np

from radmeasure.errors import InputError
from radmeasure.phantoms import jaw as jaws
from radmeasure.phantoms import tooth_parts, tooth_shape, treatment, view
from radmeasure.phantoms.raycast import Part
from radmeasure.phantoms.solids import Both, Cylinder, Ellipsoid


@dataclass(frozen=True)
class Scene:
    """All that a film of a recipe shows.

    Attributes
    ----------
    recipe : Recipe
    jaw : Jaw
    view : View
    parts : tuple of Part
        Outside first.
    filling, file, post : mapping of root name to treatment.Placed
    lesions : mapping of root name to Ellipsoid
    remains : Ledge or None
    sphere : Ellipsoid or None
    wire : Cylinder or None
    """

    recipe: object
    jaw: object
    view: object
    parts: tuple
    filling: dict = field(default_factory=dict)
    file: dict = field(default_factory=dict)
    post: dict = field(default_factory=dict)
    lesions: dict = field(default_factory=dict)
    remains: object = None
    sphere: object = None
    wire: object = None

    @property
    def tooth(self):
        return self.jaw.teeth[0]

    def canal_tube(self, root):
        """The canal as it is now: as grown, or as instruments left it."""
        if root.name in self.filling or root.name in self.file:
            wanted = self.recipe.filling
            if wanted is not None and root.name in self.filling:
                return treatment.prepared(self.tooth, root, wanted)
        return self.tooth.canal_tubes[root.name]


def receptor_shape(recipe, anatomy):
    """(rows, columns) of the receptor; upright for front teeth, lying for back ones."""
    short, long = anatomy["receptor"][recipe.receptor.size]
    lying = recipe.receptor.lying
    if lying is None:
        lying = recipe.tooth.kind in ("premolar", "molar")
    high, wide = (short, long) if lying else (long, short)
    pitch = recipe.receptor.pitch_um / 1000
    return round(high / pitch), round(wide / pitch)


def _view(recipe, anatomy, tooth):
    # A holder stands off the tooth, a bisected film leans on its crown by some 40 degrees
    # (practice, no source).
    wanted = recipe.view
    tilt = wanted.receptor_tilt_deg
    if tilt is None:
        tilt = 0.0 if wanted.technique == "paralleling" else 40.0
    distance = wanted.receptor_mm
    if distance is None:
        distance = 14.0 if wanted.technique == "paralleling" else 10.0
    shape = tooth.shape
    rows, columns = receptor_shape(recipe, anatomy)
    height = rows * recipe.receptor.pitch_um / 1000
    # The apex and some bone beyond it belong on the film before the crown does.
    middle = (shape.root_mm - shape.crown_mm) / 2
    need = shape.root_mm + 4.5 - height / 2 / 1.05
    middle = max(middle, need)
    point = tooth.frame.to_scene(np.array([[0.0, 0.0, middle]]))[0]
    pitch = recipe.receptor.pitch_um / 1000
    apical = recipe.tooth.apical_sign
    return view.aim(wanted, apical, point, (rows, columns), pitch, distance, tilt)


def _off_film(recipe, what):
    return InputError(f"{what} would lie off the film", "give another shift or a smaller object")


def _object_place(recipe, the_view, tooth, half_mm, behind_mm):
    """Scene point for an object in the empty part of the film beside the crowns."""
    rows, columns = the_view.shape
    margin = (half_mm + 1.0) / the_view.pitch_mm * the_view.magnification
    if 2 * margin > columns or 2 * margin > rows:
        raise _off_film(recipe, "the reference object")
    crownward = -recipe.tooth.apical_sign
    y = rows - 1 - margin if crownward > 0 else margin
    x = columns - 1 - margin if recipe.tooth.mesial_sign < 0 else margin
    at = the_view.on_plane(np.float64(x), np.float64(y), behind_mm)
    return np.array([float(at[0]), float(at[1]), behind_mm])


def _references(recipe, the_view, tooth, parts):
    sphere = wire = None
    if recipe.sphere:
        r = recipe.sphere.diameter_mm / 2
        at = _object_place(recipe, the_view, tooth, r, recipe.sphere.behind_mm)
        frame = jaws.jaw_frame(recipe.tooth)
        centre = frame.to_local(at[None])[0]
        sphere = Ellipsoid(frame, tuple(centre), (r, r, r))
        parts.append(Part(sphere, "steel", True))
    if recipe.wire:
        half = recipe.wire.length_mm / 2
        at = _object_place(recipe, the_view, tooth, half, recipe.wire.behind_mm)
        at[1] += recipe.tooth.apical_sign * -(half - 0.3)
        base = jaws.jaw_frame(recipe.tooth)
        own = base.moved(base.to_local(at[None])[0], 90 - recipe.wire.angle_deg, 0.0)
        wire = Cylinder(own, recipe.wire.diameter_mm / 2, -half, half)
        parts.append(Part(wire, "steel", True))
    return sphere, wire


def _treated(recipe, tooth, kept, rng):
    """Parts of what was done in the tooth, and where each lies."""
    shape = tooth.shape
    inside, top = [], []
    filling, file, post = {}, {}, {}
    if recipe.filling:
        for root in shape.roots:
            own = recipe.roots.get(root.name) or tooth_shape.RootRecipe()
            ends = treatment.filling_ends(root, recipe.filling, own)
            if recipe.post and root is treatment.main_root(shape, recipe.post.root, "post"):
                start = root.orifice_mm + recipe.post.depth_mm + recipe.post.gap_mm
                ends = treatment.Placed(root.name, max(ends.coronal, start), ends.apical)
            filling[root.name] = ends
            bore = treatment.prepared(tooth, root, recipe.filling)
            inside.append(Part(bore if kept is None else Both((bore, kept)), "soft"))
            inside += treatment.filling_parts(tooth, root, recipe.filling, ends, rng)
    state = _crown_state(recipe)
    if state in ("opened", "restored"):
        root = treatment.main_root(shape, None, "crown")
        inside += treatment.access_parts(tooth, root, state)
    if recipe.post:
        root = treatment.main_root(shape, recipe.post.root, "post")
        ends = treatment.post_ends(tooth, root, recipe.post)
        start = filling[root.name].coronal if root.name in filling else ends.apical
        if recipe.post.core:
            inside += treatment.core_parts(tooth, root, recipe.post, kept)
        top += treatment.post_parts(tooth, root, recipe.post, ends, start)
        post[root.name] = ends
    if recipe.file:
        root = treatment.main_root(shape, recipe.file.root, "file")
        ends = treatment.file_ends(tooth, root, recipe.file)
        top += treatment.file_parts(tooth, root, recipe.file, ends)
        file[root.name] = ends
    return inside, top, filling, file, post


def _crown_state(recipe):
    if recipe.crown.state:
        return recipe.crown.state
    if recipe.file:
        return "opened"
    if recipe.post:
        return "lost"
    return "restored" if recipe.filling else "sound"


def build(recipe, anatomy):
    """The scene of a recipe.

    Raises
    ------
    InputError
        What the recipe asks for does not fit the tooth.
    """
    layout = np.random.default_rng([recipe.seed, 1])
    # Tip and a slight bend where the recipe is silent: assumptions, no source.
    tip, curve = layout.uniform(-2.5, 2.5), layout.uniform(1.0, 6.0)
    tip = recipe.size.tip_deg if recipe.size.tip_deg is not None else tip
    _check_roots(recipe, anatomy)
    shape = tooth_shape.build(recipe.tooth, anatomy, recipe.size, recipe.roots, curve)
    if recipe.post:
        recipe = _straight_for_post(recipe, shape)
        shape = tooth_shape.build(recipe.tooth, anatomy, recipe.size, recipe.roots, curve)
    _, columns = receptor_shape(recipe, anatomy)
    reach = columns * recipe.receptor.pitch_um / 2000 + abs(recipe.view.shift_x_mm) + 3
    mouth = jaws.build(recipe.tooth, shape, anatomy, recipe, tip, reach, layout)
    tooth = mouth.teeth[0]
    crown = recipe.crown if recipe.crown.state else _with_state(recipe)
    kept = treatment.remains(tooth, crown)
    the_view = _view(recipe, anatomy, tooth)
    rng = np.random.default_rng([recipe.seed, 2])
    inside, top, filling, file, post = _treated(recipe, tooth, kept, rng)
    lesions = _lesions(recipe, mouth)
    parts = _assemble(mouth, anatomy, kept, lesions, recipe, inside, top)
    sphere, wire = _references(recipe, the_view, tooth, parts)
    return Scene(
        recipe, mouth, the_view, tuple(parts), filling, file, post, lesions, kept, sphere, wire
    )


def _with_state(recipe):
    return replace(recipe.crown, state=_crown_state(recipe))


def _straight_for_post(recipe, shape):
    """The recipe with the post's root straight as deep as the post, if it names no bend."""
    root = treatment.main_root(shape, recipe.post.root, "post")
    own = recipe.roots.get(root.name, tooth_shape.RootRecipe())
    if (own.curve_deg, own.straight_mm, own.radius_mm) != (None, None, None):
        return recipe
    own = replace(own, curve_deg=3.0, straight_mm=recipe.post.depth_mm)
    return replace(recipe, roots={**recipe.roots, root.name: own})


def _check_roots(recipe, anatomy):
    rows = tooth_shape.root_table(recipe.tooth, anatomy, recipe.roots)
    known = tuple(rows) or ("single",)
    for name in recipe.roots:
        if name not in known:
            raise InputError(
                f"tooth {recipe.tooth.fdi} has no root {name!r}",
                f"its roots are: {', '.join(known)}",
            )


def _lesions(recipe, mouth):
    if not recipe.lesion:
        return {}
    tooth = mouth.teeth[0]
    root = treatment.main_root(tooth.shape, recipe.lesion.root, "lesion")
    return {root.name: treatment.lesion_solid(tooth, root, recipe.lesion, mouth.half_width_mm)}


def _assemble(mouth, anatomy, kept, lesions, recipe, inside, top):
    """All parts, outside first: gum, bone, sockets, lesion, teeth, what lies in them."""
    parts = [
        Part(mouth.gum, "soft"),
        Part(mouth.bone, "cortical"),
        Part(mouth.spongiosa, "spongiosa"),
    ]
    linings, sockets, hard, pulps = [], [], [], []
    for index, tooth in enumerate(mouth.teeth):
        left = kept if index == 0 else None
        groups = tooth_parts.parts(tooth, anatomy, mouth.bone, left)
        for whole, group in zip((linings, sockets, hard, pulps), groups):
            whole += group
    parts += linings + [Part(s, "soft") for s in lesions.values()] + sockets + hard
    if recipe.caries:
        parts += treatment.caries_parts(mouth.teeth[0], recipe.caries)
    return parts + pulps + inside + top
