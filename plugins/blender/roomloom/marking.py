"""Saying what the parts of the room are."""

from math import degrees

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from .properties import choices, word
from .roomloom_files import MARK_FIELDS, ROLES, fields_of
from .units import metres_per_unit, typed_lengths

MARKABLE = ("MESH", "CURVE", "SURFACE", "META", "FONT", "EMPTY")


def mark_properties(mark):
    """Names of all properties of a mark, as they are set."""
    return [key for key in mark.bl_rna.properties.keys() if key not in ("rna_type", "name")]


def copy_mark(source, target):
    for key in mark_properties(source):
        setattr(target, key, getattr(source, key))


def mark_of(mark, scene):
    """A mark as the plain dict of roomloom_files.marks: metres and degrees, only what is given."""
    scale = metres_per_unit(scene)
    said = {"is": word(mark.role)}
    for field in fields_of(said["is"]):
        value = getattr(mark, field.key)
        if field.kind in ("length", "pair", "angle"):
            if not getattr(mark, f"use_{field.key}"):
                continue
            if field.kind == "length":
                said[field.key] = round(value * scale, 6)
            elif field.kind == "pair":
                said[field.key] = [round(each * scale, 6) for each in value]
            else:
                said[field.key] = round(degrees(value), 6)
        elif field.kind == "choice":
            if word(value) != "unknown":
                said[field.key] = word(value)
        elif field.kind == "maybe":
            if value != "UNSAID":
                said[field.key] = value == "YES"
        elif field.kind == "flag":
            if value:
                said[field.key] = True
        elif field.kind == "lengths":
            said[field.key] = typed_lengths(scene, value)
        elif field.kind == "words":
            said[field.key] = [each.strip() for each in value.split(",") if each.strip()]
        elif value.strip():
            said[field.key] = value.strip()
    return said


def draw_mark(layout, mark, switched):
    """The fields that mean something for the mark's role; see panels.switched."""
    layout.prop(mark, "role")
    for field in fields_of(word(mark.role)):
        if f"use_{field.key}" in mark.bl_rna.properties:
            switched(layout, mark, field.key, field.label)
        else:
            layout.prop(mark, field.key)


class ROOMLOOM_OT_mark(bpy.types.Operator):
    """Say what the selected objects are"""

    bl_idname = "roomloom.mark"
    bl_label = "Mark"
    bl_options = {"REGISTER", "UNDO"}

    role: EnumProperty(name="Is", items=choices(ROLES))
    build: EnumProperty(name="Build", items=choices(MARK_FIELDS["build"].choices))

    @classmethod
    def poll(cls, context):
        return bool(context.selected_objects)

    def execute(self, context):
        marked = 0
        for thing in context.selected_objects:
            if thing.type not in MARKABLE or thing.roomloom.kind not in ("NONE", "PART"):
                continue
            thing.roomloom.kind = "PART"
            thing.roomloom.mark.role = self.role
            if self.properties.is_property_set("build"):
                thing.roomloom.mark.build = self.build
            marked += 1
        if not marked:
            self.report({"ERROR"}, "None of the selected objects is a part of the room.")
            return {"CANCELLED"}
        self.report({"INFO"}, f"{marked} marked as {word(self.role)}.")
        return {"FINISHED"}


class ROOMLOOM_OT_unmark(bpy.types.Operator):
    """Take the mark away from the selected objects; the objects stay"""

    bl_idname = "roomloom.unmark"
    bl_label = "Unmark"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context):
        return any(thing.roomloom.kind == "PART" for thing in context.selected_objects)

    def execute(self, context):
        for thing in context.selected_objects:
            if thing.roomloom.kind == "PART":
                thing.property_unset("roomloom")
        return {"FINISHED"}


class ROOMLOOM_OT_copy_mark(bpy.types.Operator):
    """Give the active object's mark to all selected objects"""

    bl_idname = "roomloom.copy_mark"
    bl_label = "Copy to selected"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context):
        active = context.active_object
        return active is not None and active.roomloom.kind == "PART"

    def execute(self, context):
        source = context.active_object
        for thing in context.selected_objects:
            free = thing.roomloom.kind in ("NONE", "PART") and thing.type in MARKABLE
            if thing != source and free:
                thing.roomloom.kind = "PART"
                copy_mark(source.roomloom.mark, thing.roomloom.mark)
        return {"FINISHED"}


class ROOMLOOM_OT_select_marked(bpy.types.Operator):
    """Select every object that is marked like this"""

    bl_idname = "roomloom.select_marked"
    bl_label = "Select marked"
    bl_options = {"REGISTER", "UNDO"}

    role: EnumProperty(name="Is", items=choices(ROLES))
    extend: BoolProperty(name="Keep selection")

    def execute(self, context):
        found = 0
        for thing in context.view_layer.objects:
            hit = thing.roomloom.kind == "PART" and thing.roomloom.mark.role == self.role
            if hit or not self.extend:
                thing.select_set(hit)
            found += hit
        self.report({"INFO"}, f"{found} marked as {word(self.role)}.")
        return {"FINISHED"}


class ROOMLOOM_OT_grid_corner(bpy.types.Operator):
    """Take the 3D cursor as a corner of the ceiling grid"""

    bl_idname = "roomloom.grid_corner"
    bl_label = "Grid corner from cursor"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context):
        active = context.active_object
        return active is not None and active.roomloom.mark.role == "SUSPENDED_CEILING"

    def execute(self, context):
        mark = context.active_object.roomloom.mark
        mark.tile_origin = context.scene.cursor.location.xy
        mark.use_tile_origin = True
        return {"FINISHED"}


class ROOMLOOM_OT_rule_add(bpy.types.Operator):
    """Mark parts by a pattern of their names"""

    bl_idname = "roomloom.rule_add"
    bl_label = "Add a rule by name"
    bl_options = {"REGISTER", "UNDO"}

    match: StringProperty(name="Name", default="Wall *")
    role: EnumProperty(name="Is", items=choices(ROLES))

    def execute(self, context):
        ours = context.scene.roomloom
        rule = ours.rules.add()
        rule.match, rule.mark.role = self.match, self.role
        ours.rule_index = len(ours.rules) - 1
        return {"FINISHED"}


_CLASSES = (
    ROOMLOOM_OT_mark,
    ROOMLOOM_OT_unmark,
    ROOMLOOM_OT_copy_mark,
    ROOMLOOM_OT_select_marked,
    ROOMLOOM_OT_grid_corner,
    ROOMLOOM_OT_rule_add,
)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
