"""Roomloom inside FreeCAD without a window."""

import json
import os
import sys
import time

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
import Mesh
import Part
from FreeCAD import Placement, Rotation, Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import layout, marks, parts, results, routing, surfaces, things
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


class Routing(InFreeCAD):
    def test_lengths_here_are_those_of_the_cut_list(self):
        self.whole_room()
        top = self.route()
        rows = support.lengths_csv(top.Folder)
        self.assertEqual(sorted(rows), ["N1", "S1", "S2", "S3"])
        measured = roomloom.measured_lengths(self.document)
        for run in roomloom.result_runs(self.document):
            row = rows[run.RunId]
            self.assertAlmostEqual(float(run.Cut) / 1000, float(row["Cut (m)"]), 4)
            self.assertAlmostEqual(float(run.Drawn) / 1000, float(row["Drawn (m)"]), 4)
            self.assertAlmostEqual(measured[run.RunId] / 1000, float(row["Drawn (m)"]), 4)
            self.assertEqual(run.getTypeIdOfProperty("Cut"), "App::PropertyLength")
            adds = sum(
                float(getattr(run, name))
                for name in run.PropertiesList
                if run.getGroupOfProperty(name) == "Roomloom addends"
            )
            self.assertAlmostEqual(float(run.Drawn) + adds, float(run.Cut), 3)

    def test_runs_meet_their_ends_and_are_tubes_of_the_cables_thickness(self):
        self.whole_room()
        self.route()
        for run in roomloom.result_runs(self.document):
            end = self.ends[run.To].Placement.Base
            self.assertLess(run.Shape.distToShape(Part.Vertex(end))[0], 30)
            self.assertEqual(len(run.Shape.Solids), 1)
            area = run.Shape.Volume / float(run.Drawn)
            outside = {"speaker 2x2.5": 7.2, "cat6": 6.3}[run.Cable]
            self.assertAlmostEqual(2 * (area / 3.14159265) ** 0.5, outside, delta=0.1)

    def test_the_result_is_a_group_of_its_own_and_nothing_of_the_users_changes(self):
        self.whole_room()
        before = {label: support.facts_of(thing) for label, thing in self.room.items()}
        top = self.route()
        after = {label: support.facts_of(thing) for label, thing in self.room.items()}
        self.assertEqual(after, before)
        self.assertIn("Runs", [group.Label for group in top.Group])
        self.assertIn("Crossings", [group.Label for group in top.Group])
        labels = [thing.Label for thing in top.Group[0].Group]
        self.assertIn("Run S1", labels)

    def test_a_moved_end_routes_anew_and_replaces_the_first_result(self):
        self.whole_room()
        self.route()
        first = {
            run.RunId: (run.Name, float(run.Cut)) for run in roomloom.result_runs(self.document)
        }
        count = len(things.all_of(self.document, results.RESULT_RUN))
        self.ends["left"].Placement.Base = Vector(0, 3600, 2200)
        self.route()
        second = {
            run.RunId: (run.Name, float(run.Cut)) for run in roomloom.result_runs(self.document)
        }
        self.assertEqual(len(things.all_of(self.document, results.RESULT_RUN)), count)
        self.assertEqual(len(things.all_of(self.document, results.RESULT)), 1)
        self.assertLess(second["S1"][1], first["S1"][1] - 1000)

        def cut_of(name):
            runs = roomloom.result_runs(self.document)
            return float(next(run for run in runs if run.RunId == name).Cut)

        self.document.undo()
        self.assertEqual(cut_of("S1"), first["S1"][1])
        self.document.redo()
        self.assertEqual(cut_of("S1"), second["S1"][1])
        # The same object: what the user made of it (a drawing, a colour) stays linked.
        self.assertEqual(second["S1"][0], first["S1"][0])
        self.assertFalse([t.Label for t in self.document.Objects if t.Label.endswith("001")])

    def test_a_copy_that_the_user_made_of_a_run_is_left_alone(self):
        self.whole_room()
        self.route()
        run = roomloom.result_runs(self.document)[0]
        copy = self.document.copyObject(run, False)
        self.route()
        self.assertIn(copy.Name, [thing.Name for thing in self.document.Objects])
        self.assertEqual(len(roomloom.result_runs(self.document)), 4)

    def test_gear_keeps_its_footprint_however_it_is_turned(self):
        self.whole_room()
        foot = things.foot_of(self.gear)
        turn = Rotation(Vector(0, 0, 1), 90)
        self.gear.Placement = Placement(foot - turn.multVec(Vector(300, 225, 0)), turn)
        self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text(encoding="utf-8"))
        self.assertEqual(job["gear"][0]["box"], [0.45, 0.6, 1.0])

    def test_names_of_any_kind_come_back_as_they_were(self):
        self.whole_room()
        self.room["Wall left"].Label = "Wand \u201elinks\u201c #5; 'x' \\X2\\ =1+1"
        self.runs["S1"].Label = "S\u00fcd #7; 'a' \\\\ \u266b"
        self.ends["left"].Label = "T\u00fcr \u2192 links, <b>"
        top = self.route()
        self.assertEqual(list(top.NotRouted), [])
        found = {run.RunId: run.To for run in roomloom.result_runs(self.document)}
        self.assertEqual(found[self.runs["S1"].Label], self.ends["left"].Label)
        self.assertIn(self.runs["S1"].Label, roomloom.measured_lengths(self.document))

    def test_a_run_less_leaves_nothing_of_it_behind(self):
        self.whole_room()
        self.route()
        self.document.removeObject(self.runs["S2"].Name)
        self.route()
        left = [thing.Label for thing in self.document.Objects if "S2" in thing.Label]
        self.assertEqual(left, [])

    def test_one_run_alone_keeps_its_names(self):
        self.whole_room()
        for name in ("S2", "S3", "N1"):
            self.document.removeObject(self.runs[name].Name)
        top = self.route()
        self.assertEqual(
            [thing.Label for thing in top.Group[0].Group], ["Run S1", "Run S1 centreline"]
        )

    def test_undo_takes_the_result_out_and_redo_brings_it_back(self):
        self.whole_room()
        names = [thing.Name for thing in self.document.Objects]
        self.route()
        self.assertGreater(len(self.document.Objects), len(names))
        self.document.undo()
        self.assertEqual([thing.Name for thing in self.document.Objects], names)
        self.document.redo()
        self.assertEqual(len(roomloom.result_runs(self.document)), 4)

    def test_marks_runs_and_result_are_there_after_save_and_reload(self):
        self.whole_room()
        self.route()
        before = {run.RunId: float(run.Cut) for run in roomloom.result_runs(self.document)}
        path = self.folder / "room.FCStd"
        self.document.saveAs(str(path))
        FreeCAD.closeDocument(self.document.Name)
        self.document = FreeCAD.openDocument(str(path))
        self.assertEqual(
            {run.RunId: float(run.Cut) for run in roomloom.result_runs(self.document)}, before
        )
        self.assertEqual(len(marks.marked(self.document)), 7)
        self.assertEqual(
            [run.To.Label for run in things.all_of(self.document, "run")],
            ["left", "right", "above", "desk"],
        )
        self.route()
        self.assertEqual(
            {run.RunId: float(run.Cut) for run in roomloom.result_runs(self.document)}, before
        )

    def test_cancel_in_mid_run_leaves_the_document_and_the_older_result_as_they_were(self):
        self.whole_room()
        self.route()
        before = [(thing.Name, thing.Label) for thing in self.document.Objects]
        undo = list(self.document.UndoNames)
        cut = (self.folder / "result" / "result" / "lengths.csv").read_bytes()
        support.use_program(
            support.pretend_program(
                self.folder, "print('stage: routing', file=sys.stderr, flush=True)\ntime.sleep(60)"
            )
        )
        started = routing.DocumentRouting(self.document)
        until = time.monotonic() + 20
        while started.stage != "routing" and time.monotonic() < until:
            self.assertEqual(started.poll(), "running")
            time.sleep(0.05)
        self.assertEqual(started.stage, "routing")
        started.cancel()
        self.assertEqual(started.poll(), "cancelled")
        self.assertEqual([(t.Name, t.Label) for t in self.document.Objects], before)
        self.assertEqual(list(self.document.UndoNames), undo)
        self.assertEqual((self.folder / "result" / "result" / "lengths.csv").read_bytes(), cut)
        self.assertEqual([p.name for p in self.folder.iterdir() if p.name.startswith(".")], [])

    def test_a_room_of_meshes_gets_the_same_lengths_as_the_exact_one(self):
        self.whole_room()
        self.route()
        exact = {run.RunId: float(run.Drawn) for run in roomloom.result_runs(self.document)}
        for label in ("Wall left", "Tiles"):
            mesh = self.document.addObject("Mesh::Feature", "Mesh")
            mesh.Mesh = Mesh.Mesh(self.room[label].Shape.tessellate(1.0))
            mark = self.room[label]
            if label == "Tiles":
                marks.mark(
                    mesh,
                    "suspended ceiling",
                    tile=(600, 600),
                    tile_origin=(0, 100),
                    handles_air=False,
                )
            else:
                marks.mark(mesh, "wall", build="masonry")
            self.document.removeObject(mark.Name)
            mesh.Label = label
        self.route()
        self.assertTrue((self.folder / "result" / "room.obj").is_file())
        for run in roomloom.result_runs(self.document):
            self.assertAlmostEqual(float(run.Drawn), exact[run.RunId], delta=1.0)
            self.assertAlmostEqual(
                roomloom.measured_lengths(self.document)[run.RunId], float(run.Drawn), delta=0.1
            )

    def test_lengths_show_in_the_unit_that_freecad_shows(self):
        self.whole_room()
        FreeCAD.Units.setSchema(5)
        top = self.route()
        run = roomloom.result_runs(self.document)[0]
        self.assertIn("'", run.Cut.UserString)
        summary = (self.folder / "result" / "result" / "summary.txt").read_text(encoding="utf-8")
        self.assertIn(" ft", summary)
        self.assertGreater(float(top.TotalCut), 1000)


class Layouts(InFreeCAD):
    def test_a_layout_is_placed_in_one_step_and_undone_in_one(self):
        self.whole_room()
        labels = roomloom.read_catalogue(roomloom.program().path).labels("4+5+0")
        names = [thing.Name for thing in self.document.Objects]
        with things.Step(self.document, "Place loudspeaker layout"):
            listener = roomloom.make_listener(self.document, (2000, 2500, 1200))
            ends = roomloom.place_layout(self.document, listener, labels)
        self.assertEqual(
            [end.Label for end in ends],
            ["M+000", "M+030", "M-030", "M+110", "M-110", "U+030", "U-030", "U+110", "U-110"],
        )
        ahead = ends[0].Placement.Base
        self.assertLess((ahead - Vector(2000, 5000, 1200)).Length, 1e-6)
        # Positive azimuth is to the left (ITU-R BS.2051-3, clause 3): here toward smaller X.
        self.assertLess(ends[1].Placement.Base.x, 2000)
        self.document.undo()
        self.assertEqual([thing.Name for thing in self.document.Objects], names)

    def test_a_loudspeaker_follows_the_layout_until_it_is_moved_by_hand(self):
        self.whole_room()
        labels = roomloom.read_catalogue(roomloom.program().path).labels("0+5+0")
        listener = roomloom.make_listener(self.document, (2000, 2500, 1200), "0+5+0")
        ends = {end.Label: end for end in roomloom.place_layout(self.document, listener, labels)}
        for number, label in enumerate(ends, 4):
            roomloom.make_run(
                self.document,
                f"S{number}",
                (self.gear, f"amplifier.S{number}"),
                ends[label],
                "speaker 2x2.5",
            )
        ends["M+030"].Placement.Base = Vector(300, 5000, 1500)
        self.assertFalse(layout.follows_layout(ends["M+030"]))
        self.assertTrue(layout.follows_layout(ends["M-030"]))
        top = self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text(encoding="utf-8"))
        by_id = {end["id"]: end for end in job["ends"]}
        self.assertEqual(by_id["M+030"]["xyz"], [0.3, 5.0, 1.5])
        self.assertEqual(by_id["M-030"]["label"], "M-030")
        plan = json.loads((self.folder / "result" / "result" / "plan.json").read_text("utf-8"))
        at = {end["id"]: end["at"] for end in plan["ends"]}
        for label, end in ends.items():
            there = Vector(*at[label]) * 1000
            self.assertLess((end.Placement.Base - there).Length, 1.0, label)
        self.assertEqual(list(top.NotRouted), [])


class Wishes(InFreeCAD):
    def stretches(self, run):
        plan = json.loads((self.folder / "result" / "result" / "plan.json").read_text("utf-8"))
        found = next(item for item in plan["runs"] if item["id"] == run)
        return {stretch["place"].get("name") for stretch in found["stretches"]}

    def test_a_modelled_conduit_carries_the_run_that_is_sent_through_it(self):
        self.whole_room()
        pipe = self.document.addObject("Part::Cylinder", "Pipe")
        pipe.Label, pipe.Radius, pipe.Height = "Conduit", 20, 3000
        pipe.Placement = Placement(Vector(60, 1700, 1000), Rotation(Vector(1, 0, 0), -90))
        pipe.recompute()
        marks.mark(pipe, "conduit", inside=36)
        self.runs["S1"].Via = [pipe]
        top = self.route()
        self.assertEqual(list(top.NotRouted), [])
        self.assertIn("Conduit", self.stretches("S1"))

    def test_a_modelled_tray_is_a_medium_too(self):
        self.whole_room()
        tray = add_box(self.document, "Cable tray", (20, 1600, 2300), (120, 4700, 2360))
        tray.recompute()
        marks.mark(tray, "conduit", inside=55)
        self.runs["S1"].Via = [tray]
        top = self.route()
        self.assertEqual(list(top.NotRouted), [])
        self.assertIn("Cable tray", self.stretches("S1"))

    def test_a_line_marked_as_a_conduit_is_a_medium_too(self):
        self.whole_room()
        line = self.document.addObject("Part::Feature", "Line")
        line.Label = "Tray"
        line.Shape = Part.makePolygon([Vector(60, 4700, 2000), Vector(60, 1700, 2000)])
        marks.mark(line, "conduit", inside=36)
        self.runs["S1"].Via = [line]
        self.route()
        self.assertIn("Tray", self.stretches("S1"))

    def test_a_marked_rack_of_the_users_own_is_gear(self):
        self.whole_room()
        rack = add_box(self.document, "Cabinet", (3000, 4700, 0), (3600, 4900, 800))
        marks.mark(rack, "rack", devices="player: out; streamer: out", pull_out=300)
        roomloom.make_run(self.document, "N2", (rack, "player.out"), self.ends["desk"], "cat6")
        self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text(encoding="utf-8"))
        gear = {item["id"]: item for item in job["gear"]}
        self.assertEqual(gear["Cabinet"]["box"], [0.6, 0.2, 0.8])
        self.assertEqual(gear["Cabinet"]["pull_out"], 0.3)
        self.assertIn("N2", [run.RunId for run in roomloom.result_runs(self.document)])

    def test_settings_of_run_and_plan_reach_the_job(self):
        self.whole_room()
        run = self.runs["S1"]
        run.Provision, run.Slack, run.MayMove, run.Impedance = True, "2 ft", 300, "8 ohm"
        run.EndState, run.Colour = "coiled", "white"
        run.Avoid = [self.room["Wall right"]]
        self.runs["S2"].NotWith = [self.runs["S3"]]
        plan = things.plan_of(self.document)
        plan.Prefer = "least seen"
        plan.Weights = {"contingency": "5 %", "coil": "1.5 m", "symmetric": "no"}
        plan.Spools = ["speaker 2x2.5; 100 m; black"]
        self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text(encoding="utf-8"))
        wanted = next(item for item in job["runs"] if item["id"] == "S1")
        self.assertEqual(wanted["provision"], True)
        self.assertAlmostEqual(wanted["slack"], 0.6096)
        self.assertEqual(wanted["avoid"], ["Wall right"])
        self.assertEqual(wanted["end"], {"state": "coiled", "may_move": {"radius": 0.3}})
        self.assertEqual(job["runs"][1]["not_with"], ["S3"])
        self.assertEqual(job["prefer"]["preset"], "least seen")
        self.assertEqual(job["prefer"]["contingency"], 0.05)
        self.assertEqual(job["prefer"]["coil"], 1.5)
        self.assertEqual(
            job["stock"]["spools"], [{"cable": "speaker 2x2.5", "length": 100.0, "colour": "black"}]
        )

    def test_patterns_that_match_nothing_any_more_are_listed(self):
        self.whole_room()
        plan = things.plan_of(self.document)
        plan.Rules = ['{"match": "Duct *", "is": "obstacle"}']
        top = self.route()
        self.assertEqual(len(top.Unmatched), 1)
        self.assertIn("Duct *", top.Unmatched[0])
        plan.Rules = []
        self.room["Tiles"].Label = "Acoustic tiles"
        top = self.route()
        self.assertTrue(any('"Tiles"' in line for line in top.Unmatched), top.Unmatched)


class Telling(InFreeCAD):
    def before_and_after(self):
        return [(thing.Name, thing.Label) for thing in self.document.Objects]

    def test_a_missing_program_is_told(self):
        self.whole_room()
        before = self.before_and_after()
        support.use_program(self.folder / "nowhere")
        told = self.told(self.route)
        self.assertEqual(told.code, "program.preference")
        self.assertIn("preferences", told.text())
        self.assertEqual(self.before_and_after(), before)

    def test_no_program_anywhere_is_told(self):
        self.whole_room()
        support.use_program("")
        path, os.environ["PATH"] = os.environ["PATH"], str(self.folder)
        try:
            self.assertEqual(self.told(self.route).code, "program.missing")
        finally:
            os.environ["PATH"] = path

    def test_an_old_program_is_told_with_both_versions(self):
        self.whole_room()
        support.use_program(support.pretend_program(self.folder, "", version="0.0.9"))
        told = self.told(self.route)
        self.assertEqual(told.code, "program.old")
        self.assertIn("0.0.9", told.text())

    def test_output_that_is_no_plan_is_told_and_the_older_result_stays(self):
        self.whole_room()
        self.route()
        before = self.before_and_after()
        support.use_program(
            support.pretend_program(self.folder, "out.mkdir()\n(out / 'plan.json').write_text('{')")
        )
        self.assertEqual(self.told(self.route).code, "result.broken")
        self.assertEqual(self.before_and_after(), before)
        self.assertTrue((self.folder / "result" / "result" / "lengths.csv").is_file())

    def test_cut_off_geometry_is_told_and_the_older_result_stays(self):
        self.whole_room()
        self.route()
        before = self.before_and_after()
        support.use_program(
            support.pretend_program(
                self.folder,
                """
            subprocess.run([real, *arguments])
            path = out / "runs.step"
            text = path.read_text()
            path.write_text(text[: len(text) // 2])
            """,
            )
        )
        told = self.told(self.route)
        self.assertEqual(told.code, "result.broken")
        self.assertIn("ends too early", told.text())
        self.assertEqual(self.before_and_after(), before)

    def test_geometry_of_another_plan_is_told(self):
        self.whole_room()
        support.use_program(
            support.pretend_program(
                self.folder,
                """
            subprocess.run([real, *arguments])
            path = out / "plan.json"
            text = path.read_text()
            import json, re
            plan = json.loads(text)
            plan["runs"][0]["drawn_m"] += 0.5
            path.write_text(json.dumps(plan))
            """,
            )
        )
        told = self.told(self.route)
        self.assertEqual(told.code, "result.broken")
        self.assertIn("should be", told.text())
        self.assertIsNone(roomloom.result_of(self.document))

    def test_a_program_that_crashes_is_told(self):
        self.whole_room()
        support.use_program(
            support.pretend_program(
                self.folder, "import signal; os.kill(os.getpid(), signal.SIGSEGV)"
            )
        )
        told = self.told(self.route)
        self.assertEqual(told.code, "program.fault")
        self.assertIn("signal 11", told.text())

    def test_an_unknown_cable_is_told_with_its_run(self):
        self.whole_room()
        self.runs["S2"].Cable = "speaker 2x25"
        told = self.told(self.route)
        self.assertIn("speaker 2x25", told.text())
        self.assertEqual(told.thing, self.runs["S2"])

    def test_gear_out_of_the_room_is_told_with_its_box(self):
        self.whole_room()
        self.gear.Placement.Base.z = 2000
        told = self.told(self.route)
        self.assertEqual(told.thing, self.gear)

    def test_studs_without_a_pitch_are_told_with_the_wall(self):
        self.whole_room()
        marks.mark(self.room["Wall left"], "wall", build="stud", stud_depth=70)
        told = self.told(self.route)
        self.assertEqual(told.code, "mark.studs")
        self.assertEqual(told.thing, self.room["Wall left"])

    def test_a_run_that_lost_its_end_is_told_with_the_run(self):
        self.whole_room()
        self.document.removeObject(self.ends["left"].Name)
        told = self.told(self.route)
        self.assertIn("S1", told.text())
        self.assertEqual(told.thing, self.runs["S1"])

    def test_an_empty_document_is_told_and_stays_empty(self):
        self.assertEqual(self.told(self.route).code, "model.empty")
        self.assertEqual(list(self.document.Objects), [])

    def test_a_room_without_runs_is_told_and_unchanged(self):
        support.build_room(self.document)
        before = self.before_and_after()
        self.assertEqual(self.told(self.route).code, "job.runs")
        self.assertEqual(self.before_and_after(), before)

    def test_a_folder_that_is_not_ours_is_never_replaced(self):
        self.whole_room()
        (self.folder / "result").mkdir()
        (self.folder / "result" / "letters.txt").write_text("mine")
        self.assertEqual(self.told(self.route).code, "folder.foreign")
        self.assertEqual((self.folder / "result" / "letters.txt").read_text(), "mine")


support.run(sys.modules[__name__])
