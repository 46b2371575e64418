"""Rooms opened from files, marked by the program's own guesses, and routed."""

import json
import math
import os
import pathlib
import subprocess
import sys
import unittest

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
from FreeCAD import Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks, things
from roomloom_freecad.surfaces import first_surface

MODELS = pathlib.Path(os.environ["ROOMLOOM_REPOSITORY"]) / "models"


def survey_of(path):
    """What the program itself reads in a file."""
    done = subprocess.run(
        [support.PROGRAM, "survey", str(path), "--json"], stdout=subprocess.PIPE, check=True
    )
    return json.loads(done.stdout)


class Opening(support.InFreeCAD):
    def open(self, path):
        if not pathlib.Path(path).is_file():
            raise unittest.SkipTest(f"{path} is not there")
        return roomloom.open_room(self.document, path)

    def box_of_parts(self):
        """The size of all parts with faces, in metres."""
        box = FreeCAD.BoundBox()
        for part in roomloom.collect(self.document)[0]:
            box.add(part.mesh.BoundBox if part.mesh is not None else part.shape.BoundBox)
        return [round(side / 1000, 3) for side in (box.XLength, box.YLength, box.ZLength)]

    def checked_route(self, runs):
        plan = things.plan_of(self.document)
        plan.Effort, plan.ResultFolder = "quick", str(self.folder / "result")
        top = self.route()
        self.assertEqual(list(top.NotRouted), [])
        rows = support.lengths_csv(top.Folder)
        measured = roomloom.measured_lengths(self.document)
        self.assertEqual(len(measured), runs)
        for run, length in measured.items():
            self.assertAlmostEqual(length / 1000, float(rows[run]["Drawn (m)"]), 4)
        return top

    def ends_round(self, middle, count):
        """Ends on as many walls, where level rays from the middle meet them first."""
        parts, _ = roomloom.collect(self.document)
        ends, taken = [], set()
        for degrees in range(0, 360, 5):
            turn = math.radians(degrees)
            direction = Vector(math.cos(turn), math.sin(turn), 0)
            away, part = first_surface(parts, middle, direction)
            met = (part.mark or {}).get("is") if part else None
            if met == "wall" and part.name not in taken and len(ends) < count:
                taken.add(part.name)
                place = middle + direction * away
                ends.append(roomloom.make_end(self.document, f"end {len(ends) + 1}", place))
        self.assertEqual(len(ends), count)
        return ends

    def runs_from(self, first, others):
        for number, end in enumerate(others, 1):
            roomloom.make_run(self.document, f"S{number}", first, end, "speaker 2x2.5")

    def test_parts_of_each_demo_room_have_the_names_that_the_program_reads(self):
        for name in (
            "alder-hall/alder-hall.step",
            "attic-studio/attic-studio.glb",
            "classroom/classroom.obj",
        ):
            top = self.open(MODELS / name)
            read = {part["name"] for part in survey_of(MODELS / name)["parts"]}
            here = {part.name for part in roomloom.collect(self.document)[0]}
            self.assertGreater(len(here), 20)
            self.assertTrue(here <= read, (name, sorted(here - read)))
            # Lines and points are opened too, but are no parts until they are marked.
            labels = {thing.Label for thing in self.document.Objects}
            self.assertTrue(read <= labels, (name, sorted(read - labels)))
            self.assertTrue(top.Group)
            self.document.undo()
            self.assertEqual(list(self.document.Objects), [])

    def test_alder_hall_has_its_size_in_all_of_its_three_dimensions(self):
        self.open(MODELS / "alder-hall" / "alder-hall.step")
        # models/alder-hall/room.json: 4.2 m and 0.3 m + 0.2 m of walls; 5.6 m and 0.12 m + 0.2 m;
        # 2.9 m and 0.15 m of floor and 0.2 m of slab.
        self.assertEqual(self.box_of_parts(), [4.7, 5.92, 3.25])

    def test_the_attic_is_opened_with_the_marks_that_it_carries_and_routed(self):
        self.open(MODELS / "attic-studio" / "attic-studio.glb")
        read = survey_of(MODELS / "attic-studio" / "attic-studio.glb")["parts"]
        said = {part["name"]: part["is"] for part in read if part["is"] != "marker"}
        here = {thing.Label: marks.role_of(thing) for thing in marks.marked(self.document)}
        self.assertEqual(here, said)
        wall = next(t for t in self.document.Objects if t.Label == "Wall front")
        self.assertEqual(marks.mark_of(wall), {"is": "wall", "build": "masonry"})
        door = next(t for t in self.document.Objects if t.Label == "Door")
        self.assertEqual(marks.mark_of(door), {"is": "door", "swing": 90.0})
        listener = next(t for t in self.document.Objects if t.Label == "Listener")
        middle = listener.Shape.BoundBox.Center
        things.need_plan(self.document).Seed = middle
        things.plan_of(self.document).SeedGiven = True
        ends = self.ends_round(middle + Vector(0, 0, 300), 2)
        self.runs_from(ends[0], ends[1:])
        self.checked_route(1)

    def test_the_classroom_is_marked_by_guesses_that_are_undone_in_one_step(self):
        self.open(MODELS / "classroom" / "classroom.obj")
        marked = roomloom.guess_marks(self.document)
        read = {
            part["name"]: part["is"]
            for part in survey_of(MODELS / "classroom" / "classroom.obj")["parts"]
        }
        self.assertGreater(len(marked), 20)
        for label, (role, _) in marked.items():
            self.assertEqual(role, read[label], label)
        self.document.undo()
        self.assertEqual(marks.marked(self.document), [])
        self.document.redo()
        self.assertEqual(len(marks.marked(self.document)), len(marked))

    def test_a_guess_never_changes_a_mark_of_the_users(self):
        room = support.build_room(self.document)
        marks.mark(room["Wall left"], "obstacle", clearance=50)
        marked = roomloom.guess_marks(self.document)
        self.assertNotIn("Wall left", marked)
        self.assertEqual(marks.mark_of(room["Wall left"]), {"is": "obstacle", "clearance": 0.05})
        self.assertEqual(marked["Wall right"][0], "wall")

    def test_a_scanned_living_room_in_metres_with_y_up(self):
        self.open(support.DATA / "rooms" / "scan" / "living_room.semantic.obj")
        # SOURCES.md and the file's own head: metres, up +Y; the program's survey says
        # 6.169 m x 4.851 m x 3.893 m.
        self.assertEqual(self.box_of_parts(), [6.169, 4.851, 3.893])
        roomloom.guess_marks(self.document)
        ends = self.ends_round(Vector(0, 0, 2600), 4)
        self.runs_from(ends[0], ends[1:])
        self.checked_route(3)

    def test_a_modelled_room_as_glb(self):
        path = support.DATA / "rooms" / "interior" / "habitat_simple_room.glb"
        self.open(path)
        # Its cameras and its light have no faces and are no parts.
        read = [part["name"] for part in survey_of(path)["parts"]]
        solid = sorted(name for name in read if name.startswith("Cube"))
        self.assertEqual(sorted(part.name for part in roomloom.collect(self.document)[0]), solid)

    def test_what_cannot_be_opened_is_told_and_leaves_no_trace(self):
        broken = self.folder / "broken.obj"
        broken.write_text("o Wall\nv 0 0 0\nf 1 2 3\n", encoding="utf-8")
        for name, code in (
            ("broken.obj", "model.syntax"),
            ("none.step", "model.missing"),
            ("notes.txt", "model.format"),
            ("cut.glb", "glb.broken"),
            ("cut.step", "model.step"),
        ):
            path = self.folder / name
            if name.startswith(("notes", "cut")):
                path.write_bytes(b"glTF nonsense")
            told = self.told(lambda p=path: roomloom.open_room(self.document, p))
            self.assertEqual(told.code, code, name)
            self.assertEqual(list(self.document.Objects), [])
            self.assertEqual(sorted(FreeCAD.listDocuments()), [self.document.Name])


support.run(sys.modules[__name__])
