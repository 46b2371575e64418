"""Rooms that others modelled, opened in Blender and routed through the add-on."""

import unittest

import bpy
import support
from support import InBlender, addon, place

ROOMS = support.SHARED_DATA / "rooms"


@unittest.skipUnless(ROOMS.is_dir(), "the real models are not there")
class RealRooms(InBlender):
    def open(self, *path):
        self.assertEqual(
            bpy.ops.roomloom.open_model(filepath=str(ROOMS.joinpath(*path))), {"FINISHED"}
        )
        bpy.context.view_layer.update()

    def furnish(self, seat, rack, ends):
        place("LISTENER", "Seat", seat)
        place("GEAR", "rack", rack).roomloom.mark.devices = "amplifier: 1..5"
        runs = addon("runs")
        for number, (name, point) in enumerate(ends.items()):
            place("END", name, point)
            runs.add_run(
                bpy.context.scene,
                f"amplifier.{number + 1}",
                name,
                "speaker 2x2.5",
                f"S{number + 1}",
            )
        self.ours.effort, self.ours.drawings = "QUICK", False

    def all_routed(self):
        before = len([t for t in bpy.context.scene.objects if t.roomloom.kind != "RESULT"])
        result = self.route()
        self.assertTrue(result.runs)
        self.assertEqual([run.id for run in result.runs if not run.routed], [])
        rows = addon("roomloom_files").read_lengths(result.file("lengths.csv"))
        for item in self.ours.result.runs:
            line = bpy.data.objects[f"Run {item.name} centreline"]
            drawn = float(rows[item.name]["Drawn (m)"])
            self.assertAlmostEqual(item.drawn, drawn, 4)
            self.assertAlmostEqual(support.drawn_length(line), drawn, delta=0.004 * drawn)
        now = len([t for t in bpy.context.scene.objects if t.roomloom.kind != "RESULT"])
        self.assertEqual(now, before)
        return result

    BEDROOM = {
        "front left": (-3.7, -4.7, 5.0),
        "front right": (-3.7, -2.6, 5.0),
        "rear left": (-0.02, -4.9, 5.3),
        "data": (-3.7, -1.4, 3.7),
    }

    def test_a_bedroom_of_a_house_of_two_flats_as_glb(self):
        self.open("building", "duplex.glb")
        self.furnish((-1.7, -3.2, 4.5), (-1.8, -0.05, 3.7), self.BEDROOM)
        self.all_routed()

    def test_the_same_bedroom_as_obj_by_blenders_own_importer(self):
        self.open("building", "duplex.obj")
        self.furnish((-1.7, -3.2, 4.5), (-1.8, -0.05, 3.7), self.BEDROOM)
        self.all_routed()

    def test_a_scanned_meeting_room(self):
        self.open("scan", "meeting_room.glb")
        bpy.data.objects["GLOBAL_MESH.mesh.01"].hide_set(True)  # the planes are the room
        low, high = self.extent("FLOOR.plane.01")
        middle = (low + high) / 2 + support.Vector((0, 0, 1.2))
        hit = addon("rays").first_hit
        wall = "WALL_FACE.plane.05"
        above = middle + support.Vector((0, 0, 1.3))  # over the screen
        ways = ((0, 1, 0), (0, -1, 0))
        across = next(way for way in ways if hit(bpy.context, above, way)[2].name == wall)
        behind = hit(bpy.context, above, across)[0]
        behind.z = low.z + 0.5
        ends = {}
        for name, way in {"left": (1, 0, 0.1), "above": (0, 0, 1)}.items():
            ends[name] = hit(bpy.context, middle, way)[0]
        ends["over the screen"] = hit(bpy.context, above, (0.3, across[1], 0))[0]
        self.furnish(middle, behind, ends)
        self.ours.effort = "NORMAL"
        self.all_routed()

    @staticmethod
    def extent(name):
        thing = bpy.data.objects[name]
        corners = [thing.matrix_world @ support.Vector(corner) for corner in thing.bound_box]
        low = support.Vector([min(c[i] for c in corners) for i in range(3)])
        return low, support.Vector([max(c[i] for c in corners) for i in range(3)])


if __name__ == "__main__":
    unittest.main()
