"""Rooms routed inside FreeCAD without a window, and what comes back."""

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
from roomloom_freecad import marks, results, routing, things
from support import InFreeCAD


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


support.run(sys.modules[__name__])
