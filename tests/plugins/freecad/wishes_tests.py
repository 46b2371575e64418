"""Layouts, conduits and settings inside FreeCAD without a window."""

import json
import os
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import Part
from FreeCAD import Placement, Rotation, Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import layout, marks, things
from support import InFreeCAD, add_box


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


support.run(sys.modules[__name__])
