"""Routes a room without Blender's window: opens it, marks it, places ends, prints the lengths
and leaves the result in the folder OUT and the scene in OUT.blend.

    blender -b --factory-startup --python batch.py -- OUT [ROOM.glb] [ROOMLOOM]

The add-on must be installed (or this file lie in the source tree). Without a room a box of 4 m by
5 m is built. ROOMLOOM is the program, where it is not on the PATH. To route a .blend that holds
marks and runs already, open it instead (blender -b hall.blend ...) and call bpy.ops.roomloom.route().
"""

import os
import sys

import bpy

HERE = os.path.dirname(os.path.abspath(__file__))


def enable(program):
    """The installed add-on, else the one of the source tree."""
    sys.dont_write_bytecode = True
    sys.path.append(os.path.dirname(HERE))
    bpy.ops.preferences.addon_enable(module="roomloom")
    bpy.context.preferences.addons["roomloom"].preferences.program = program


def add_box(name, low, high):
    middle = [(a + b) / 2 for a, b in zip(low, high)]
    bpy.ops.mesh.primitive_cube_add(size=1, location=middle)
    thing = bpy.context.object
    thing.name, thing.scale = name, [b - a for a, b in zip(low, high)]


def build():
    add_box("Floor", (0, 0, -0.1), (4, 5, 0))
    add_box("Ceiling", (0, 0, 2.5), (4, 5, 2.6))
    add_box("Wall front", (0, 5, 0), (4, 5.1, 2.5))
    add_box("Wall back", (0, -0.1, 0), (4, 0, 2.5))
    add_box("Wall left", (-0.1, 0, 0), (0, 5, 2.5))
    add_box("Wall right", (4, 0, 0), (4.1, 5, 2.5))
    bpy.ops.object.select_pattern(pattern="Wall *", extend=False)
    bpy.ops.roomloom.mark(role="WALL", build="MASONRY")


def place():
    """A rack at the front wall, two loudspeakers and a data outlet, and the runs to them."""
    place = bpy.ops.roomloom.place
    place(kind="GEAR", name="rack", location=(2, 4.99, 0.4))
    bpy.data.objects["rack"].roomloom.mark.devices = "amplifier: 1..2; switch: 1..4"
    place(kind="END", name="left", location=(0, 3, 1.2))
    place(kind="END", name="right", location=(4, 3, 1.2))
    place(kind="END", name="data", location=(3, 0, 0.3))
    wanted = [
        ("S1", "amplifier.1", "left", "speaker 2x2.5"),
        ("S2", "amplifier.2", "right", "speaker 2x2.5"),
        ("N1", "switch", "data", "cat6"),
    ]
    for name, start, end, cable in wanted:
        bpy.ops.roomloom.row_add(table="runs")
        run = bpy.context.scene.roomloom.runs[-1]
        run.name, run.start, run.end, run.cable = name, start, end, cable


def main():
    arguments = sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else []
    if not arguments:
        sys.exit("Say where to: blender -b --factory-startup --python batch.py -- OUT")
    out, room, program = (arguments + ["", ""])[:3]
    bpy.ops.wm.read_factory_settings(use_empty=True)
    enable(program)
    if room:
        bpy.ops.roomloom.open_model(filepath=os.path.abspath(room))
        bpy.context.view_layer.update()
    else:
        build()
    place()
    ours = bpy.context.scene.roomloom
    ours.result_folder, ours.effort = os.path.abspath(out), "QUICK"
    bpy.ops.roomloom.route()  # an error of the program is raised as RuntimeError, in words
    for row in ours.result.runs:
        print(f"{row.name}: drawn {row.drawn:.2f} m, cut {row.cut:.2f} m")
    bpy.ops.wm.save_as_mainfile(filepath=os.path.abspath(out) + ".blend")


main()
