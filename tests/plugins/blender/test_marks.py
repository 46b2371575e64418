import unittest

import bpy
import support
from support import InBlender, add_box, addon, build_room, mark, select


class Marks(InBlender):
    def test_marks_become_rules_in_metres(self):
        build_room()
        wall = bpy.data.objects["Front"]
        mark(wall, "WALL", build="STUD", stud_pitch=0.4, blocking="1.2, 60 cm")
        mark(add_box("Duct", (1, 1, 2.6), (2, 1.2, 2.7)), "OBSTACLE", clearance=0.05)
        mark(add_box("Door", (3.9, 3, 0), (3.99, 3.9, 2)), "DOOR", swing=1.5707963)
        prepared = addon("route").Prepared(bpy.context)
        rules = {rule["match"]: rule for rule in prepared.job["parts"]}
        self.assertEqual(
            rules["Front"],
            {
                "match": "Front",
                "is": "wall",
                "build": "stud",
                "studs": {"pitch": 0.4, "blocking": [1.2, "60 cm"]},
            },
        )
        self.assertEqual(rules["Tiles"]["tile"], [0.6, 0.6])
        self.assertEqual(rules["Tiles"]["tile_origin"], [0, 0])
        self.assertIs(rules["Tiles"]["handles_air"], False)
        self.assertEqual(rules["Duct"], {"match": "Duct", "is": "obstacle", "clearance": 0.05})
        self.assertEqual(rules["Door"]["swing"], "90 deg")

    def test_marks_survive_saving_and_reloading(self):
        build_room()
        path = str(self.folder / "room.blend")
        bpy.ops.wm.save_as_mainfile(filepath=path)
        bpy.ops.wm.read_homefile(use_empty=True)
        bpy.ops.wm.open_mainfile(filepath=path)
        tiles = bpy.data.objects["Tiles"].roomloom
        self.assertEqual((tiles.kind, tiles.mark.role), ("PART", "SUSPENDED_CEILING"))
        self.assertAlmostEqual(tiles.mark.tile[0], 0.6, 6)
        self.assertEqual(bpy.data.objects["Left"].roomloom.mark.build, "MASONRY")

    def test_marking_is_undone_and_redone(self):
        wall = add_box("Wall", (0, 0, 0), (1, 0.1, 2))
        bpy.ops.ed.undo_push(message="before")
        select(wall)
        bpy.ops.roomloom.mark(role="WALL", build="STUD")
        bpy.ops.ed.undo_push(message="marked")
        bpy.ops.ed.undo()
        self.assertEqual(bpy.data.objects["Wall"].roomloom.kind, "NONE")
        bpy.ops.ed.redo()
        self.assertEqual(bpy.data.objects["Wall"].roomloom.mark.build, "STUD")

    def test_a_mark_is_copied_and_taken_away_and_the_object_stays(self):
        a, b = add_box("A", (0, 0, 0), (1, 1, 1)), add_box("B", (2, 0, 0), (3, 1, 1))
        mark(a, "WALL", build="STUD", stud_pitch=0.6)
        select(b, a)
        bpy.ops.roomloom.copy_mark()
        self.assertEqual(b.roomloom.mark.build, "STUD")
        self.assertAlmostEqual(b.roomloom.mark.stud_pitch, 0.6, 6)
        select(b)
        bpy.ops.roomloom.unmark()
        self.assertEqual(b.roomloom.kind, "NONE")
        self.assertEqual(len(b.data.vertices), 8)

    def test_all_of_a_role_are_selected(self):
        build_room()
        bpy.ops.roomloom.select_marked(role="WALL")
        names = {thing.name for thing in bpy.context.selected_objects}
        self.assertEqual(names, {"Front", "Back", "Left", "Right"})

    def test_a_length_that_cannot_be_read_is_told_with_its_part(self):
        build_room()
        support.furnish()
        mark(bpy.data.objects["Front"], "WALL", build="STUD", stud_pitch=0.4, blocking="knee high")
        self.assertIn('Rule for "Front"', self.refused())
        self.assertIn("knee high", self.message())
        self.assertEqual(bpy.context.active_object.name, "Front")

    def test_the_grid_corner_is_taken_from_the_cursor(self):
        room = build_room()
        select(room["Tiles"])
        bpy.context.scene.cursor.location = (0.25, 0.4, 1)
        bpy.ops.roomloom.grid_corner()
        self.assertAlmostEqual(room["Tiles"].roomloom.mark.tile_origin[1], 0.4, 6)


class Export(InBlender):
    def room(self):
        return addon("export_room").export_room(bpy.context)

    def test_mirrored_scaled_and_modified_objects_are_exported_as_they_are_seen(self):
        box = add_box("Box", (0, 0, 0), (1, 2, 3))
        box.scale.x *= -1
        box.modifiers.new("Twice", "ARRAY")
        bpy.context.view_layer.update()
        part = self.room().parts[0]
        self.assertEqual(len(part.triangles) // 3, 24)
        xs, ys, zs = part.points[0::3], part.points[1::3], part.points[2::3]
        volume = 0.0
        corners = list(zip(xs, ys, zs))
        for a, b, c in zip(part.triangles[0::3], part.triangles[1::3], part.triangles[2::3]):
            p, q, r = (support.Vector(corners[i]) for i in (a, b, c))
            volume += p.dot(q.cross(r)) / 6
        # Two boxes of 1 x 2 x 3; outward faces give a positive volume, mirrored or not.
        self.assertAlmostEqual(volume, 12, 4)

    def test_instances_of_a_collection_are_parts_of_their_own(self):
        chair = add_box("Chair", (0, 0, 0), (0.5, 0.5, 1))
        kit = bpy.data.collections.new("Kit")
        kit.objects.link(chair)
        bpy.context.scene.collection.objects.unlink(chair)
        for number in range(2):
            holder = bpy.data.objects.new(f"Place {number}", None)
            holder.instance_type, holder.instance_collection = "COLLECTION", kit
            holder.location.x = 3 * number
            bpy.context.scene.collection.objects.link(holder)
        bpy.context.view_layer.update()
        select(bpy.data.objects["Place 1"])
        bpy.ops.roomloom.mark(role="SEAT")
        room = self.room()
        self.assertEqual([part.name for part in room.parts], ["Place 0 Chair", "Place 1 Chair"])
        self.assertAlmostEqual(max(room.parts[1].points[0::3]), 3.5, 5)
        self.assertEqual([(n, m.role) for n, m in room.marks], [("Place 1 Chair", "SEAT")])

    def test_names_that_are_patterns_or_differ_in_case_reach_their_own_part(self):
        for name in ("Wall*", "wall_", "WALL_"):
            mark(add_box(name, (0, 0, 0), (1, 1, 1)), "WALL")
        room = self.room()
        names = [part.name for part in room.parts]
        self.assertEqual(len({name.lower() for name in names}), 3)
        self.assertTrue(all("*" not in name for name in names))
        self.assertEqual({room.names.host(name) for name in names}, {"Wall*", "wall_", "WALL_"})

    def test_hidden_things_curves_and_our_own_are_left_out_and_markers_kept(self):
        hidden = add_box("Hidden", (0, 0, 0), (1, 1, 1))
        hidden.hide_set(True)
        bpy.ops.curve.primitive_bezier_curve_add()
        support.place("END", "end", (5, 5, 5), snap=False)
        bpy.ops.object.empty_add(location=(1, 2, 3))
        bpy.context.object.name = "Eye"
        room = self.room()
        self.assertEqual([(part.name, part.kind) for part in room.parts], [("Eye", "marker")])
        self.assertEqual(room.parts[0].points, (1, 2, 3))

    def test_a_conduit_drawn_as_a_curve_is_exported_as_a_line(self):
        bpy.ops.curve.primitive_nurbs_path_add()
        pipe = bpy.context.object
        pipe.name = "Pipe"
        mark(pipe, "CONDUIT", inside=0.025)
        part = self.room().parts[0]
        self.assertEqual(part.kind, "curve")
        self.assertGreater(len(part.points), 6)

    def test_plain_custom_properties_go_along(self):
        box = add_box("Box", (0, 0, 0), (1, 1, 1))
        box["build"], box["odd"] = "masonry", [1, 2]
        self.assertEqual(self.room().parts[0].extras, {"build": "masonry"})


if __name__ == "__main__":
    unittest.main()
