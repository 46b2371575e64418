"""Parts of a document marked and handed over, inside FreeCAD without a window."""

import os
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
import Mesh
from FreeCAD import Placement, Rotation, Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks, parts, surfaces, things
from support import InFreeCAD, add_box


class Marking(InFreeCAD):
    def test_marks_survive_save_and_reload(self):
        room = support.build_room(self.document)
        support.mark_room(room)
        marks.mark(
            room["Wall left"],
            "wall",
            build="stud",
            stud_pitch="400 mm",
            stud_first=20,
            blocking=["1.2 m", "6 ft"],
        )
        before = {label: marks.mark_of(thing) for label, thing in room.items()}
        path = self.folder / "room.FCStd"
        self.document.saveAs(str(path))
        FreeCAD.closeDocument(self.document.Name)
        again = FreeCAD.openDocument(str(path))
        after = {thing.Label: marks.mark_of(thing) for thing in again.Objects}
        self.assertEqual(after, before)
        self.assertEqual(
            after["Wall left"],
            {
                "is": "wall",
                "build": "stud",
                "stud_pitch": 0.4,
                "stud_first": 0.02,
                "blocking": [1.2, 1.8288],
            },
        )
        self.assertEqual(
            after["Tiles"],
            {
                "is": "suspended ceiling",
                "tile": [0.6, 0.6],
                "tile_origin": [0.0, 0.1],
                "handles_air": False,
            },
        )

    def test_undo_and_redo_take_marks_off_and_put_them_back(self):
        room = support.build_room(self.document)
        wall = room["Wall left"]
        clean = list(wall.PropertiesList)
        with things.Step(self.document, "Mark parts"):
            marks.mark(wall, "wall", build="stud", stud_pitch=400)
        self.document.undo()
        self.assertEqual(list(wall.PropertiesList), clean)
        self.document.redo()
        self.assertEqual(marks.mark_of(wall), {"is": "wall", "build": "stud", "stud_pitch": 0.4})

    def test_every_role_can_be_marked_and_taken_off_again(self):
        wall = add_box(self.document, "Thing", (0, 0, 0), (10, 10, 10))
        clean = sorted(wall.PropertiesList)
        for role in roomloom.marks.ROLES:
            marks.mark(wall, role)
            self.assertEqual(marks.mark_of(wall)["is"], role)
        marks.unmark(wall)
        self.assertEqual(sorted(wall.PropertiesList), clean)

    def test_another_role_drops_what_means_nothing_for_it(self):
        thing = add_box(self.document, "Thing", (0, 0, 0), (10, 10, 10))
        marks.mark(thing, "wall", build="stud", stud_pitch=400)
        marks.mark(thing, "door", swing=90)
        self.assertEqual(marks.mark_of(thing), {"is": "door", "swing": 90.0})
        with self.assertRaises(ValueError):
            marks.mark(thing, "door", build="stud")


class Exporting(InFreeCAD):
    def names(self):
        return {part.name: part for part in roomloom.collect(self.document)[0]}

    def test_parts_are_seen_at_their_place_through_containers_and_links(self):
        box = add_box(self.document, "Wall", (0, 0, 0), (100, 10, 10))
        holder = self.document.addObject("App::Part", "House")
        holder.addObject(box)
        holder.Placement = Placement(Vector(0, 500, 0), Rotation(Vector(0, 0, 1), 90))
        link = self.document.addObject("App::Link", "Copy")
        link.LinkedObject = holder
        link.Placement.Base = Vector(2000, 0, 0)
        self.document.recompute()
        found = self.names()
        self.assertEqual(sorted(found), ["Wall", "Wall 2"])
        ends = [part.shape.BoundBox for part in found.values()]
        self.assertTrue(any(abs(b.XMin + 10) < 1e-6 and abs(b.YMin - 500) < 1e-6 for b in ends))
        # A link has a placement of its own instead of its target's.
        self.assertTrue(any(abs(b.XMin - 2000) < 1e-6 and abs(b.XMax - 2100) < 1e-6 for b in ends))

    def test_a_mesh_is_seen_at_its_place_in_a_moved_container(self):
        mesh = self.document.addObject("Mesh::Feature", "Mesh")
        mesh.Mesh = Mesh.createBox(100, 10, 10)
        mesh.Placement.Base = Vector(50, 0, 0)
        holder = self.document.addObject("App::Part", "House")
        holder.addObject(mesh)
        holder.Placement = Placement(Vector(0, 500, 0), Rotation(Vector(0, 0, 1), 90))
        self.document.recompute()
        box = self.names()["Mesh"].mesh.BoundBox
        self.assertAlmostEqual(box.Center.x, 0, 3)
        self.assertAlmostEqual(box.Center.y, 550, 3)
        self.assertAlmostEqual(box.YLength, 100, 3)
        found = roomloom.collect(self.document)[0]
        for start, direction, wanted in (
            (Vector(200, 550, 1), Vector(-1, 0, 0), 195),
            (Vector(-200, 550, 1), Vector(1, 0, 0), 195),
            (Vector(200, 550, 1), Vector(1, 0, 0), None),
        ):
            away, _ = surfaces.first_surface(found, start, direction)
            self.assertEqual(away if away is None else round(away, 3), wanted)
        again = roomloom.open_room(self.document, self.written(found))
        self.assertAlmostEqual(again.Group[0].Mesh.BoundBox.Center.y, 550, 2)

    def written(self, found):
        parts.write_model(found, self.folder)
        text = (self.folder / "room.obj").read_text(encoding="utf-8")
        # In metres, so that the program cannot take the thin mesh for anything else.
        lines = [
            f"v {' '.join(str(float(w) / 1000) for w in line.split()[1:])}"
            if line.startswith("v ")
            else line
            for line in text.splitlines()
        ]
        path = self.folder / "metres.obj"
        path.write_text("\n".join(lines), encoding="utf-8")
        return path

    def test_the_mark_of_a_container_is_that_of_its_members_unless_they_have_their_own(self):
        left = add_box(self.document, "Left", (0, 0, 0), (10, 10, 10))
        right = add_box(self.document, "Right", (0, 0, 0), (10, 10, 10))
        group = self.document.addObject("App::DocumentObjectGroup", "Walls")
        group.Group = [left, right]
        marks.mark(group, "wall", build="masonry")
        marks.mark(right, "door")
        found = self.names()
        self.assertEqual(found["Left"].mark, {"is": "wall", "build": "masonry"})
        self.assertEqual(found["Right"].mark, {"is": "door"})

    def test_groups_in_groups_and_in_containers_count_each_part_once(self):
        box = add_box(self.document, "In groups", (0, 0, 0), (10, 10, 10))
        inner = self.document.addObject("App::DocumentObjectGroup", "Inner")
        outer = self.document.addObject("App::DocumentObjectGroup", "Outer")
        inner.addObject(box)
        outer.addObject(inner)
        other = add_box(self.document, "In a part", (0, 0, 0), (10, 10, 10))
        group = self.document.addObject("App::DocumentObjectGroup", "Group")
        group.addObject(other)
        holder = self.document.addObject("App::Part", "House")
        holder.addObject(group)
        holder.Placement.Base = Vector(100, 0, 0)
        marks.mark(outer, "furniture")
        marks.mark(group, "seat")
        self.document.recompute()
        found = self.names()
        self.assertEqual(sorted(found), ["In a part", "In groups"])
        self.assertEqual(found["In groups"].mark, {"is": "furniture"})
        self.assertEqual(found["In a part"].mark, {"is": "seat"})
        self.assertAlmostEqual(found["In a part"].shape.BoundBox.XMin, 100)

    def test_what_another_object_is_made_from_is_left_out_and_listed(self):
        base = add_box(self.document, "Blank", (0, 0, 0), (100, 10, 100))
        tool = add_box(self.document, "Opening", (20, -5, 0), (40, 15, 50))
        cut = self.document.addObject("Part::Cut", "Cut")
        cut.Label, cut.Base, cut.Tool = "Wall with opening", base, tool
        self.document.recompute()
        self.assertEqual(sorted(self.names()), ["Wall with opening"])
        out = [thing.Label for thing, _ in roomloom.collect(self.document)[1]]
        self.assertEqual(sorted(out), ["Blank", "Opening"])

    def test_walls_of_the_arch_workbench_and_bodies_are_parts_once(self):
        import Arch  # pylint: disable=import-outside-toplevel
        import Draft  # pylint: disable=import-outside-toplevel

        line = Draft.make_line(Vector(0, 0, 0), Vector(3000, 0, 0))
        wall = Arch.makeWall(line, width=100, height=2500)
        wall.Label = "Arch wall"
        body = self.document.addObject("PartDesign::Body", "Body")
        body.Label = "Body of a cupboard"
        block = body.newObject("PartDesign::AdditiveBox", "Block")
        block.Length, block.Width, block.Height = 600, 400, 900
        block.Placement.Base = Vector(500, 100, 0)
        self.document.recompute()
        found = self.names()
        self.assertEqual(sorted(found), ["Arch wall", "Body of a cupboard"])
        self.assertAlmostEqual(found["Arch wall"].shape.Volume, 3000 * 100 * 2500, delta=1)
        self.assertAlmostEqual(found["Body of a cupboard"].shape.BoundBox.XMin, 500)

    def test_a_hidden_ceiling_is_still_part_of_the_room(self):
        ceiling = add_box(self.document, "Ceiling", (0, 0, 0), (100, 100, 1))
        ceiling.Visibility = False
        self.assertEqual(sorted(self.names()), ["Ceiling"])

    def test_wildcards_and_doubles_in_labels_become_plain_names_of_their_own(self):
        add_box(self.document, "Wall*?", (0, 0, 0), (1, 1, 1))
        add_box(self.document, "WALL__", (0, 0, 0), (1, 1, 1))
        self.assertEqual(sorted(self.names()), ["WALL__ 2", "Wall__"])

    def test_roomlooms_own_objects_are_no_parts(self):
        self.whole_room()
        self.assertEqual(sorted(self.names()), sorted(self.room))

    def test_exporting_leaves_documents_and_the_active_one_alone(self):
        self.whole_room()
        before = sorted(FreeCAD.listDocuments())
        parts.write_model(roomloom.collect(self.document)[0], self.folder)
        self.assertEqual(sorted(FreeCAD.listDocuments()), before)
        self.assertEqual(FreeCAD.ActiveDocument.Name, self.document.Name)
        self.assertTrue((self.folder / "room.step").is_file())


support.run(sys.modules[__name__])
