"""Rooms that others modelled, opened in FreeCAD and routed through the workbench."""

import os
import sys
import unittest

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
import Import
from FreeCAD import Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks, things


class RealRooms(support.InFreeCAD):
    def open(self, name):
        path = support.DATA / "rooms" / name
        if not path.is_file():
            raise unittest.SkipTest(f"{path} is not there")
        # In its window FreeCAD opens STEP as whole objects; without one, only this way.
        Import.insert(name=str(path), docName=self.document.Name, merge=False)
        return self.document

    def checked_route(self, runs):
        plan = things.plan_of(self.document)
        plan.Effort = "quick"
        plan.ResultFolder = str(self.folder / "result")
        users = [t for t in self.document.Objects if things.kind_of(t) is None]
        before = [support.facts_of(t) for t in users]
        top = self.route()
        self.assertEqual([support.facts_of(t) for t in users], before)
        self.assertEqual(list(top.NotRouted), [])
        rows = support.lengths_csv(top.Folder)
        measured = roomloom.measured_lengths(self.document)
        self.assertEqual(sorted(measured), sorted(runs))
        for run in roomloom.result_runs(self.document):
            self.assertAlmostEqual(
                measured[run.RunId] / 1000, float(rows[run.RunId]["Drawn (m)"]), 4
            )
        return top

    def test_a_house_under_two_roof_slopes(self):
        document = self.open("building/openhouse_ap214_mm.step")
        for thing in document.Objects:
            if " wall|" in thing.Label:
                marks.mark(thing, "wall", build="masonry")
        gear = roomloom.make_gear(
            document,
            "rack",
            (5000, 1995, -5750),
            (600, 450, 1100),
            (0, -1),
            Devices=["amplifier: 1..5", "switch: 1..2"],
        )
        places = {
            "left": (4100, 2320, -4200),
            "right": (2200, 2320, -4200),
            "rear left": (3800, -2320, -3500),
            "rear right": (1000, -2320, -3500),
            "desk": (8400, 2320, -5400),
        }
        ends = [
            roomloom.make_end(document, label, Vector(*at), Mount="on sheet")
            for label, at in places.items()
        ]
        for number, end in enumerate(ends, 1):
            roomloom.make_run(
                document, f"S{number}", (gear, f"amplifier.{number}"), end, "speaker 2x2.5"
            )
        plan = things.need_plan(document)
        plan.Seed, plan.SeedGiven = (5000, 0, -3000), True
        self.checked_route(["S1", "S2", "S3", "S4", "S5"])

    def test_a_kitchen_whose_walls_are_shells_in_one_compound(self):
        document = self.open("interior/occt_kitchen_ap214_mm.step")
        room = [t for t in document.Objects if t.Label == "Room"][0]
        self.assertIn("Room", [part.name for part in roomloom.collect(document)[0]])
        self.assertTrue(
            all(part.name.startswith(("Room", "MODERN")) for part in roomloom.collect(document)[0])
        )
        marks.mark(room, "wall", build="masonry")
        # Two walls are free of furniture: the one at x = 4 m and the one at y = 4 m, or others;
        # the ends are put on the first two bare walls that a ray from the middle meets.
        from roomloom_freecad.surfaces import (
            first_surface,
        )  # pylint: disable=import-outside-toplevel

        parts, _ = roomloom.collect(document)
        middle = Vector(2000, 2000, 2200)
        ends = []
        for number, direction in enumerate(
            (Vector(1, 0, 0), Vector(0, 1, 0), Vector(-1, 0, 0), Vector(0, -1, 0)), 1
        ):
            away, part = first_surface(parts, middle, direction)
            if part.name == "Room":
                ends.append(roomloom.make_end(document, f"end {number}", middle + direction * away))
        self.assertGreaterEqual(len(ends), 3)
        first = ends.pop(0)
        for number, end in enumerate(ends, 1):
            roomloom.make_run(document, f"S{number}", first, end, "speaker 2x2.5")
        self.checked_route([f"S{number}" for number in range(1, len(ends) + 1)])


support.run(sys.modules[__name__])
