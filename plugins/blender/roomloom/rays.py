"""Surfaces of the room: what a ray meets and what a point lies at, but for our own objects."""

from math import inf

from mathutils import Vector

from .objects import is_room

_STEP = 1e-4  # past an object of ours, in units of the scene
_MOST_OURS = 64


def first_hit(context, origin, direction, leave_out=()):
    """The first surface of the room along a ray: (point, normal toward the origin, object) or None.

    leave_out  objects that the ray passes through
    """
    depsgraph = context.evaluated_depsgraph_get()
    start, direction = Vector(origin), Vector(direction).normalized()
    for _ in range(_MOST_OURS):
        hit, point, normal, _, thing, _ = context.scene.ray_cast(depsgraph, start, direction)
        if not hit:
            return None
        if is_room(thing) and thing.original not in leave_out:
            normal = normal.normalized()
            return point, -normal if normal.dot(direction) > 0 else normal, thing.original
        start = point + _STEP * direction
    return None


def solids_of_room(context):
    """Evaluated meshes of the room that are in sight, as (object, world matrix, inverse)."""
    depsgraph = context.evaluated_depsgraph_get()
    found = []
    for thing in context.scene.objects:
        if thing.type != "MESH" or not is_room(thing) or not thing.visible_get():
            continue
        matrix = thing.matrix_world.copy()
        if abs(matrix.determinant()) < 1e-12:
            continue
        found.append((thing.evaluated_get(depsgraph), matrix, matrix.inverted()))
    return found


def nearest_surface(solids, point, reach=inf):
    """The nearest point on `solids`: (point, normal, object), or None where none is in reach."""
    best, best_away = None, reach
    for thing, matrix, inverse in solids:
        if not thing.data.polygons:
            continue
        found, at, normal, _ = thing.closest_point_on_mesh(inverse @ Vector(point))
        if not found:
            continue
        at = matrix @ at
        away = (at - Vector(point)).length
        if away < best_away:
            turned = (inverse.to_3x3().transposed() @ normal).normalized()
            best, best_away = (at, turned, thing.original), away
    return best
