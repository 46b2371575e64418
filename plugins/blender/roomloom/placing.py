"""Ends, gear and the listener, placed on the surface under the cursor."""

from math import atan2, cos, inf, radians, sin

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatVectorProperty, StringProperty
from bpy_extras import view3d_utils
from mathutils import Matrix, Vector

from .objects import select_only
from .preferences import catalogue
from .properties import system_choices
from .rays import first_hit, nearest_surface, solids_of_room
from .units import metres_per_unit

PLACED = [
    ("END", "End", "Where runs end: a plate, a box, a loudspeaker"),
    ("GEAR", "Gear", "A box that holds devices; scale it to its size"),
    ("LISTENER", "Listener", "Ear height at the seat; looks along its own y"),
]
_GEAR_BOX_M = (0.6, 0.5, 0.8)
_EAR_HEIGHT_M = 1.2
_NO_SURFACE_M = 2.0  # a loudspeaker whose ray meets nothing is put this far from the listener


def _home_collection(context):
    """Where placed markers are kept: a collection of their own, that the user may rename."""
    for collection in bpy.data.collections:
        if collection.get("roomloom_markers") == context.scene.name:
            return collection
    collection = bpy.data.collections.new("Roomloom ends")
    collection["roomloom_markers"] = context.scene.name
    context.scene.collection.children.link(collection)
    return collection


def new_marker(context, kind, name):
    """An empty of one of the PLACED kinds at the origin, not yet placed."""
    scale = metres_per_unit(context.scene)
    marker = bpy.data.objects.new(name, None)
    marker.roomloom.kind = kind
    _home_collection(context).objects.link(marker)
    if kind == "GEAR":
        marker.empty_display_type, marker.empty_display_size = "CUBE", 0.5
        marker.scale = [side / scale for side in _GEAR_BOX_M]
    elif kind == "LISTENER":
        marker.empty_display_type, marker.empty_display_size = "ARROWS", 0.3 / scale
    else:
        marker.empty_display_type, marker.empty_display_size = "SPHERE", 0.06 / scale
    return marker


def _turned_to(normal):
    """A level rotation whose -y looks along the normal, as gear stands with its back to a wall."""
    flat = Vector((normal.x, normal.y, 0))
    if flat.length < 1e-3:
        return Matrix.Identity(3)
    y = -flat.normalized()
    return Matrix((y.cross(Vector((0, 0, 1))), y, Vector((0, 0, 1)))).transposed()


def place(context, marker, point, normal):
    """Puts a marker on a surface: gear stands before or on it, the listener sits above it."""
    scale = metres_per_unit(context.scene)
    point, kind = Vector(point), marker.roomloom.kind
    if kind == "GEAR":
        _, depth, height = marker.scale
        turned = _turned_to(normal)
        back = -turned.col[1]
        upright = abs(normal.z) < 0.7
        foot = point + back * (0.5 * depth + 0.05 / scale) if upright else point.copy()
        foot.z = _floor_below(context, foot, point.z) if upright else point.z
        marker.location = foot + Vector((0, 0, 0.5 * height))
        if upright:
            marker.rotation_euler = turned.to_euler()
    elif kind == "LISTENER":
        above = normal.z > 0.7
        marker.location = point + Vector((0, 0, _EAR_HEIGHT_M / scale if above else 0))
    else:
        marker.location = point
        marker.rotation_euler = Vector(normal).to_track_quat("Z", "Y").to_euler()
        marker.roomloom.label = ""


def _floor_below(context, point, else_z):
    hit = first_hit(context, point, (0, 0, -1))
    return hit[0].z if hit else else_z


def _under_mouse(context, event):
    region, view = context.region, context.region_data
    mouse = (event.mouse_region_x, event.mouse_region_y)
    direction = view3d_utils.region_2d_to_vector_3d(region, view, mouse)
    origin = view3d_utils.region_2d_to_origin_3d(region, view, mouse)
    seen_through = [t for t in context.scene.objects if t.display_type in ("WIRE", "BOUNDS")]
    return first_hit(context, origin, direction, seen_through)


class ROOMLOOM_OT_place(bpy.types.Operator):
    """Place it on the surface under the mouse: click to set, Esc to leave"""

    bl_idname = "roomloom.place"
    bl_label = "Place"
    bl_options = {"REGISTER", "UNDO"}

    kind: EnumProperty(name="Kind", items=PLACED)
    name: StringProperty(name="Name", description="Of the end or gear; runs use it")
    location: FloatVectorProperty(name="Point", size=3, subtype="TRANSLATION")
    snap: BoolProperty(name="Onto the surface", description="The nearest of the room", default=True)
    move: BoolProperty(name="Move the active one", options={"SKIP_SAVE"})

    def _marker(self, context):
        active = context.active_object
        if self.move and active is not None and active.roomloom.kind == self.kind:
            return active
        return new_marker(
            context, self.kind, self.name or dict((k, n) for k, n, _ in PLACED)[self.kind]
        )

    def execute(self, context):
        marker = self._marker(context)
        if self.kind == "LISTENER" or not self.snap:
            marker.location = self.location
        else:
            found = nearest_surface(solids_of_room(context), self.location)
            if found is None:
                place(context, marker, self.location, Vector((0, 0, 1)))
            else:
                place(context, marker, found[0], found[1])
        context.view_layer.update()
        select_only(context, [marker])
        return {"FINISHED"}

    def invoke(self, context, event):
        if context.area is None or context.area.type != "VIEW_3D" or context.region_data is None:
            return self.execute(context)
        self.is_new = not self.move
        self.marker = self._marker(context)
        self.before = self.marker.matrix_world.copy()
        self.label_before = self.marker.roomloom.label
        select_only(context, [self.marker])
        context.workspace.status_text_set("Click: place    Esc or right click: leave")
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context, event):
        if event.type in ("ESC", "RIGHTMOUSE"):
            if self.is_new:
                bpy.data.objects.remove(self.marker)
            else:
                self.marker.matrix_world = self.before
                self.marker.roomloom.label = self.label_before
            return self._leave(context, {"CANCELLED"})
        if event.type == "MOUSEMOVE":
            hit = _under_mouse(context, event)
            if hit:
                place(context, self.marker, hit[0], hit[1])
            return {"RUNNING_MODAL"}
        if event.type == "LEFTMOUSE" and event.value == "PRESS":
            hit = _under_mouse(context, event)
            if hit:
                place(context, self.marker, hit[0], hit[1])
                self.location = self.marker.location
                return self._leave(context, {"FINISHED"})
            return {"RUNNING_MODAL"}
        return {"PASS_THROUGH"}

    def _leave(self, context, how):
        context.workspace.status_text_set(None)
        return how


class ROOMLOOM_OT_to_surface(bpy.types.Operator):
    """Move the selected ends onto the nearest surface of the room"""

    bl_idname = "roomloom.to_surface"
    bl_label = "Onto the surface"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context):
        return any(thing.roomloom.kind == "END" for thing in context.selected_objects)

    def execute(self, context):
        solids = solids_of_room(context)
        for thing in context.selected_objects:
            if thing.roomloom.kind != "END":
                continue
            found = nearest_surface(solids, thing.matrix_world.translation)
            if found:
                place(context, thing, found[0], found[1])
        return {"FINISHED"}


def listener_of(scene):
    """The scene's listener, or None."""
    for thing in scene.objects:
        if thing.roomloom.kind == "LISTENER":
            return thing
    return None


def facing_rad(listener):
    """Where the listener looks: from the room's +y, counter-clockwise seen from above."""
    look = listener.matrix_world.to_3x3().col[1]
    return atan2(-look.x, look.y)


def direction(facing, azimuth_deg, elevation_deg):
    """A direction from the listener in the world; azimuth positive to the left."""
    turn, rise = facing + radians(azimuth_deg), radians(elevation_deg)
    return Vector((-sin(turn) * cos(rise), cos(turn) * cos(rise), sin(rise)))


class ROOMLOOM_OT_place_layout(bpy.types.Operator):
    """Place an end for every loudspeaker of a layout of ITU-R BS.2051, as the listener sees it"""

    bl_idname = "roomloom.place_layout"
    bl_label = "Place the layout"
    bl_options = {"REGISTER", "UNDO"}

    system: EnumProperty(name="Layout", items=system_choices(), default="4+5+0")

    def execute(self, context):
        listener = listener_of(context.scene)
        if listener is None:
            self.report({"ERROR"}, "Place the listener first.")
            return {"CANCELLED"}
        labels = catalogue().labels(self.system)
        if not labels:
            self.report({"ERROR"}, "The program does not tell this layout; see its preferences.")
            return {"CANCELLED"}
        context.scene.roomloom.system = self.system
        there = {t.roomloom.label for t in context.scene.objects if t.roomloom.kind == "END"}
        unplaced = []
        for label in labels:
            if not label["positioned"]:
                unplaced.append(label["label"])
            elif label["label"] not in there:
                self._place(context, listener, label)
        if unplaced:
            self.report({"INFO"}, f"The layout gives no place to {', '.join(unplaced)}.")
        return {"FINISHED"}

    def _place(self, context, listener, label):
        way = direction(facing_rad(listener), label["azimuth_deg"], label["elevation_deg"])
        ear = listener.matrix_world.translation
        hit = first_hit(context, ear, way)
        far = _NO_SURFACE_M / metres_per_unit(context.scene)
        point, normal = (hit[0], hit[1]) if hit else (ear + far * way, -way)
        marker = new_marker(context, "END", label["label"])
        place(context, marker, point, normal)
        marker.roomloom.label = label["label"]
        marker.roomloom.label_at = marker.location


def holds_its_label(marker):
    """Whether an end of a layout still is where the layout put it."""
    ours = marker.roomloom
    away = (marker.matrix_world.translation - Vector(ours.label_at)).length
    return bool(ours.label) and away < 1e-4


def wall_behind(context, thing, centre, axes, sides):
    """Which way the back of `thing`, a box, looks: the index of its level axis and the sign, by rays.

    axes  the box's level directions in the world; sides  its size along them
    """
    best, best_gap = (1, 1.0), inf
    for index, (axis, side) in enumerate(zip(axes, sides)):
        for sign in (1.0, -1.0):
            hit = first_hit(context, centre, sign * axis, (thing,))
            gap = (hit[0] - centre).length - 0.5 * side if hit else inf
            if gap < best_gap - 1e-6:
                best, best_gap = (index, sign), gap
    return best


_CLASSES = (ROOMLOOM_OT_place, ROOMLOOM_OT_to_surface, ROOMLOOM_OT_place_layout)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
