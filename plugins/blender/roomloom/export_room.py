"""The room in the scene as parts of a model file: meshes as they are shown, in metres."""

from array import array

from mathutils import Matrix

from .objects import is_rack, is_room
from .roomloom_files import GlbPart, PartNames
from .units import metres_per_unit

_SHAPED = ("MESH", "CURVE", "SURFACE", "META", "FONT")


class ExportedRoom:
    """What was exported.

    parts     GlbPart by GlbPart, ordered by name
    names     exported names and the keys of objects: its name, or "instancer/object/number"
    marks     (exported name, the mark's property group) of every marked part
    """

    def __init__(self):
        self.parts, self.names, self.marks = [], PartNames(), []


def _is_left_out(thing, ways):
    """Roomloom's own objects, curves that only wish for a path, and racks, which become gear."""
    return not is_room(thing) or thing in ways or is_rack(thing)


def _colour(thing):
    material = thing.active_material
    return tuple(material.diffuse_color) if material else None


def _extras(thing):
    """The object's own custom properties, where they are plain: they may say what a part is."""
    plain = (str, int, float, bool)
    keys = sorted(key for key in thing.keys() if key not in ("roomloom", "cycles", "_RNA_UI"))
    return {key: thing[key] for key in keys if isinstance(thing[key], plain)}


def _shape(thing, matrix, is_conduit):
    """Points, triangles and kind of an evaluated object in the room frame; None if it has none."""
    mesh = thing.to_mesh()
    if mesh is None:
        return None
    try:
        mesh.transform(matrix)
        mesh.calc_loop_triangles()
        points = array("f", bytes(12 * len(mesh.vertices)))
        mesh.vertices.foreach_get("co", points)
        triangles = array("i", bytes(12 * len(mesh.loop_triangles)))
        mesh.loop_triangles.foreach_get("vertices", triangles)
        if matrix.determinant() < 0:  # mirrored: the other side is the outside
            triangles[1::3], triangles[2::3] = triangles[2::3], triangles[1::3]
        if len(triangles):
            return points, triangles, "mesh"
        if is_conduit and len(points) >= 6:
            return points, (), "curve"
        return None
    finally:
        thing.to_mesh_clear()


def _shown(context):
    """Every shown object or instance, by key: (key, name wished for, original, matrix, holder).

    The holder carries the mark: the instancer if that is marked, else the object itself.
    """
    found = []
    for instance in context.evaluated_depsgraph_get().object_instances:
        original = instance.object.original
        key = wish = original.name
        holder = original
        if instance.is_instance:
            parent = instance.parent.original
            number = "-".join(str(part) for part in instance.persistent_id if part != 0x7FFFFFFF)
            key, wish = f"{parent.name}/{original.name}/{number}", f"{parent.name} {original.name}"
            holder = parent if parent.roomloom.kind == "PART" else original
        found.append((key, wish, original, instance.matrix_world.copy(), holder))
    return sorted(found, key=lambda item: item[0])


def export_room(context, leave_out=()):
    """The shown objects of the scene that belong to the room. Nothing in the scene is changed.

    leave_out  objects that are no parts: curves that runs wish to follow
    """
    room = ExportedRoom()
    if context.object is not None and context.object.mode == "EDIT":
        context.object.update_from_editmode()
    depsgraph = context.evaluated_depsgraph_get()
    to_metres = Matrix.Scale(metres_per_unit(context.scene), 4)
    for key, wish, original, matrix, holder in _shown(context):
        if _is_left_out(original, leave_out) or _is_left_out(holder, leave_out):
            continue
        if original.type == "EMPTY" and original.instance_type == "NONE":
            at = to_metres @ matrix.translation
            part = GlbPart(room.names.give(key, wish), tuple(at), kind="marker")
        elif original.type in _SHAPED:
            marked = holder.roomloom.kind == "PART" and holder.roomloom.mark.role == "CONDUIT"
            shape = _shape(original.evaluated_get(depsgraph), to_metres @ matrix, marked)
            if shape is None:
                continue
            points, triangles, kind = shape
            name = room.names.give(key, wish)
            part = GlbPart(name, points, triangles, kind, _colour(original), _extras(original))
        else:
            continue
        room.parts.append(part)
        if holder.roomloom.kind == "PART":
            room.marks.append((part.name, holder.roomloom.mark))
    return room
