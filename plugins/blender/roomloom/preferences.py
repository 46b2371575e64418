"""Where the program is, and what it offers for lists."""

import os

import bpy
from bpy.props import StringProperty

from .roomloom_files import Catalogue, Told, check_program, find_program, read_catalogue


class RoomloomPreferences(bpy.types.AddonPreferences):
    bl_idname = __package__

    program: StringProperty(
        name="Program",
        description="The program roomloom, or the folder that holds it; empty: beside the add-on, "
        "then on the PATH",
        subtype="FILE_PATH",
    )

    def draw(self, context):
        self.layout.prop(self, "program")
        self.layout.operator("roomloom.check_program", icon="QUESTION")


def program_path():
    """The path of the program. Raises Told."""
    addon = bpy.context.preferences.addons.get(__package__)
    wish = addon.preferences.program if addon and addon.preferences else ""
    wish = bpy.path.abspath(wish) if wish else os.environ.get("ROOMLOOM_PROGRAM", "")
    return find_program(wish, [os.path.dirname(os.path.abspath(__file__))])


def program():
    """The program, asked for its version. Raises Told."""
    return check_program(program_path())


_NOTHING = Catalogue([], [], [])


def catalogue():
    """What the program offers for lists; empty where it cannot be asked (routing tells why)."""
    try:
        return read_catalogue(program_path())
    except Told:
        return _NOTHING


class ROOMLOOM_OT_check_program(bpy.types.Operator):
    """Look for the program and say which version it is"""

    bl_idname = "roomloom.check_program"
    bl_label = "Look for the program"

    def execute(self, context):
        try:
            found = program()
        except Told as told:
            self.report({"ERROR"}, told.text())
            return {"CANCELLED"}
        version = ".".join(map(str, found.version))
        self.report({"INFO"}, f"roomloom {version} at {found.path}")
        return {"FINISHED"}


_CLASSES = (RoomloomPreferences, ROOMLOOM_OT_check_program)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
