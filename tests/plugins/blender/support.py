"""A small room in Blender, built with Blender's own means, for the tests that run inside it.

Blender is started with --factory-startup and the built add-on is installed into an empty user
folder, as a user would do it; ROOMLOOM_ADDON names the zip, ROOMLOOM_PROGRAM the program.
"""

import os
import shutil
import stat
import sys
import tempfile
import textwrap
import unittest
from pathlib import Path

import bpy
from mathutils import Euler, Vector  # noqa: F401

PROGRAM = os.environ["ROOMLOOM_PROGRAM"]
SHARED_DATA = Path(os.environ.get("ROOMLOOM_SHARED_DATA", "/nonexistent"))


def addon(name=""):
    """A module of the installed add-on."""
    import importlib

    return importlib.import_module("roomloom" + (f".{name}" if name else ""))


def install():
    bpy.ops.preferences.addon_install(filepath=os.environ["ROOMLOOM_ADDON"], overwrite=True)
    bpy.ops.preferences.addon_enable(module="roomloom")
    use_program(PROGRAM)


def use_program(path):
    bpy.context.preferences.addons["roomloom"].preferences.program = str(path)


def empty_file():
    bpy.ops.wm.read_factory_settings(use_empty=True)
    if "roomloom" not in bpy.context.preferences.addons:
        bpy.ops.preferences.addon_enable(module="roomloom")
    use_program(PROGRAM)


def select(*things):
    for thing in list(bpy.context.selected_objects):
        thing.select_set(False)
    for thing in things:
        thing.select_set(True)
        bpy.context.view_layer.objects.active = thing


def add_box(name, low, high):
    """A box between two corners, in units of the scene."""
    low, high = Vector(low), Vector(high)
    bpy.ops.mesh.primitive_cube_add(size=1, location=(low + high) / 2)
    thing = bpy.context.object
    thing.name, thing.scale = name, high - low
    return thing


def mark(thing, role, **fields):
    """Marks by the operator, then fills in fields as the panel would."""
    select(thing)
    bpy.ops.roomloom.mark(role=role)
    for key, value in fields.items():
        setattr(thing.roomloom.mark, key, value)
        if f"use_{key}" in thing.roomloom.mark.bl_rna.properties:
            setattr(thing.roomloom.mark, f"use_{key}", True)


def build_room(unit=1.0):
    """4 m by 5 m, 2.9 m to the deck, tiles at 2.5 m. `unit`: metres a unit of the scene."""
    w, d, deck, tiles, t = (value / unit for value in (4.0, 5.0, 2.9, 2.5, 0.1))
    parts = {
        "Floor": ((0, 0, -t), (w, d, 0)),
        "Slab": ((0, 0, deck), (w, d, deck + t)),
        "Tiles": ((0, 0, tiles), (w, d, tiles + 0.015 / unit)),
        "Front": ((0, d, 0), (w, d + t, deck)),
        "Back": ((0, -t, 0), (w, 0, deck)),
        "Left": ((-t, 0, 0), (0, d, deck)),
        "Right": ((w, 0, 0), (w + t, d, deck)),
    }
    room = {name: add_box(name, low, high) for name, (low, high) in parts.items()}
    mark(room["Floor"], "FLOOR")
    mark(room["Slab"], "DECK")
    mark(room["Tiles"], "SUSPENDED_CEILING", tile=(0.6 / unit, 0.6 / unit), tile_origin=(0, 0))
    room["Tiles"].roomloom.mark.handles_air = "NO"
    for name in ("Front", "Back", "Left", "Right"):
        mark(room[name], "WALL", build="MASONRY")
    return room


def place(kind, name, point, snap=True):
    """By the operator, as a script or a click does it; returns the marker."""
    bpy.ops.roomloom.place(kind=kind, name=name, location=point, snap=snap)
    return bpy.context.object


def furnish(unit=1.0):
    """A rack at the front wall, an end at the left and one at the back, and runs to them."""
    rack = place("GEAR", "rack", (2 / unit, 4.99 / unit, 0.4 / unit))
    rack.roomloom.mark.devices = "amp: S1..S4; switch: 1..4"
    place("END", "left", (0.02 / unit, 1.5 / unit, 1.2 / unit))
    place("END", "data", (3 / unit, 0.02 / unit, 0.3 / unit))
    runs = addon("runs")
    runs.add_run(bpy.context.scene, "amp.S1", "left", "speaker 2x2.5", "S1")
    runs.add_run(bpy.context.scene, "switch", "data", "cat6", "N1")
    bpy.context.scene.roomloom.effort = "QUICK"
    bpy.context.scene.roomloom.drawings = False


def snapshot():
    """Everything of the document that Roomloom must leave alone, as plain values."""
    things = {}
    for thing in bpy.data.objects:
        mesh = thing.data if thing.type == "MESH" else None
        points = [tuple(v.co) for v in mesh.vertices] if mesh else []
        things[thing.name] = (
            [tuple(row) for row in thing.matrix_world],
            points,
            sorted(collection.name for collection in thing.users_collection),
            [slot.name for slot in thing.material_slots],
            thing.roomloom.kind,
        )
    collections = sorted(collection.name for collection in bpy.data.collections)
    return things, collections, len(bpy.data.meshes), len(bpy.data.materials)


class InBlender(unittest.TestCase):
    def setUp(self):
        empty_file()
        self.folder = Path(tempfile.mkdtemp(prefix="roomloom-test-"))
        self.addCleanup(shutil.rmtree, self.folder, True)
        bpy.context.scene.roomloom.result_folder = str(self.folder / "result")

    @property
    def ours(self):
        return bpy.context.scene.roomloom

    def message(self):
        return bpy.context.window_manager.roomloom.message

    def route(self):
        self.assertEqual(bpy.ops.roomloom.route(), {"FINISHED"})
        return addon("roomloom_files").read_result(self.ours.result.folder)

    def refused(self, operator=None):
        """Routing (or another operator) that must fail: the text that was told."""
        with self.assertRaises(RuntimeError) as raised:
            (operator or bpy.ops.roomloom.route)()
        return str(raised.exception)

    def pretend_program(self, body, version="0.1.0"):
        path = self.folder / "roomloom"
        path.write_text(
            f"#!{sys.executable if 'python' in sys.executable else '/usr/bin/env python3'}\n"
            + textwrap.dedent(
                f"""\
                import sys, time, json, pathlib
                if sys.argv[1:] == ["--version"]:
                    print("roomloom {version}")
                    sys.exit(0)
                """
            )
            + textwrap.dedent(body)
        )
        path.chmod(path.stat().st_mode | stat.S_IXUSR)
        return path

    def result_objects(self):
        return [thing for thing in bpy.data.objects if thing.roomloom.kind == "RESULT"]


def drawn_length(centreline):
    """The length of a run's centreline as Blender has it, in units of the scene."""
    mesh = centreline.data
    points = [centreline.matrix_world @ vertex.co for vertex in mesh.vertices]
    return sum((points[e.vertices[0]] - points[e.vertices[1]]).length for e in mesh.edges)
