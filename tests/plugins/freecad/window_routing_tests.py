"""Rooms routed in FreeCAD's window, under Xvfb."""

import os
import sys
import time

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
import FreeCADGui as Gui
from FreeCAD import Vector
from PySide import QtCore

import roomloom_freecad as roomloom
import support
from roomloom_freecad import results, things
from roomloom_freecad.gui import view
from roomloom_freecad.gui.result_panel import ResultPanel
from roomloom_freecad.gui.route_panel import RoutePanel
from window_support import InWindow, grab, run_when_ready, turn, wait_for


class RoutingHere(InWindow):
    def test_the_window_works_on_while_the_program_runs_and_cancel_changes_nothing(self):
        self.seen_room()
        before = [thing.Name for thing in self.document.Objects]
        support.use_program(
            support.pretend_program(
                self.folder, "print('stage: routing', file=sys.stderr, flush=True)\ntime.sleep(60)"
            )
        )
        started = time.monotonic()
        panel = self.open(RoutePanel(self.document))
        self.assertTrue(wait_for(lambda: panel.stage.text() == "routing", 20))
        ticks = []
        timer = QtCore.QTimer()
        timer.timeout.connect(lambda: ticks.append(time.monotonic()))
        timer.start(20)
        turn(1.0)
        timer.stop()
        self.assertGreater(len(ticks), 4)  # nothing held the window up
        self.shown(panel.bar)
        self.assertGreater(panel.bar.value(), 0)
        panel.cancel()
        self.assertLess(time.monotonic() - started, 40)
        self.assertEqual([thing.Name for thing in self.document.Objects], before)
        self.assertFalse((self.folder / "result").exists())

    def test_an_error_is_told_in_the_panel_with_its_part_selected(self):
        self.seen_room()
        self.runs["S2"].Cable = "speaker 2x25"
        panel = self.open(RoutePanel(self.document))
        self.assertTrue(wait_for(lambda: "speaker 2x25" in panel.message.text(), 30))
        self.assertEqual(Gui.Selection.getSelection(), [self.runs["S2"]])
        self.assertIn("Nothing was changed", panel.stage.text())

    def test_a_missing_program_is_told_in_the_panel(self):
        self.seen_room()
        support.use_program("/nowhere/roomloom")
        panel = self.open(RoutePanel(self.document))
        self.assertIn("not where the preferences say", panel.message.text())

    def test_route_shows_the_runs_in_the_scene_and_in_the_list(self):
        self.seen_room()
        plan = things.plan_of(self.document)
        plan.Weights = {"contingency": "5 %"}
        untouched = {label: support.facts_of(thing) for label, thing in self.room.items()}
        empty = grab("before")
        Gui.runCommand("Roomloom_Route")
        self.assertTrue(wait_for(lambda: results.result_of(self.document) is not None))
        turn(0.5)
        self.assertTrue(Gui.Control.activeDialog())
        self.assertEqual({label: support.facts_of(t) for label, t in self.room.items()}, untouched)
        Gui.Control.closeDialog()
        panel = self.open(ResultPanel(self.document))
        picture = grab("window")
        # The runs' own blue and orange (Okabe and Ito) were drawn where there was none before.
        runs = results.result_runs(self.document)
        colour = next(run for run in runs if run.RunId == "S1").ViewObject.ShapeColor
        self.assertEqual(tuple(round(c, 2) for c in colour[:3]), (0.0, 0.45, 0.7))
        self.assertNotEqual(picture, empty)
        rows = support.lengths_csv(results.result_of(self.document).Folder)
        for r, run in enumerate(panel.runs):
            self.assertEqual(panel.runs_table.item(r, 0).text(), run.RunId)
            cut = FreeCAD.Units.Quantity(panel.runs_table.item(r, 1).text()).Value / 1000
            self.assertAlmostEqual(cut, float(rows[run.RunId]["Cut (m)"]), 3)
        self.shown(panel.form)

    def test_undo_takes_the_routed_runs_out_of_the_scene(self):
        self.seen_room()
        before = [thing.Name for thing in self.document.Objects]
        self.route()
        self.assertGreater(len(self.document.Objects), len(before))
        self.document.undo()
        self.assertEqual([thing.Name for thing in self.document.Objects], before)

    def test_clicking_a_run_selects_it_and_brings_it_near(self):
        self.seen_room()
        self.route()
        turn(0.3)
        panel = self.open(ResultPanel(self.document))
        before = view.active_view().getCameraNode().height.getValue()
        panel.runs_table.selectRow(2)
        turn(0.5)
        self.assertEqual(Gui.Selection.getSelection(), [panel.runs[2]])
        self.assertNotEqual(view.active_view().getCameraNode().height.getValue(), before)

    def test_clicking_a_finding_looks_at_its_place(self):
        self.seen_room()
        self.route()
        top = results.result_of(self.document)
        top.FindingLines = [
            '{"level": "should", "id": "made-up", "subject": "S1", "text": "t", '
            '"remedy": "Mend it.", "source": "", "where_mm": [1000, 2000, 2500]}'
        ]
        panel = self.open(ResultPanel(self.document))
        panel.findings_table.selectRow(0)
        turn(0.3)
        self.assertIn("Mend it.", panel.remedy.text())
        self.assertEqual([t.RunId for t in Gui.Selection.getSelection()], ["S1"])
        front = view.active_view()
        x, y = front.getPointOnScreen(Vector(1000, 2000, 2500))
        width, height = front.getSize()
        self.assertLess(abs(x - width / 2) + abs(y - height / 2), 8)

    def test_colours_and_hidden_centrelines_are_there_after_a_second_routing(self):
        self.seen_room()
        self.route()
        run = next(r for r in roomloom.result_runs(self.document) if r.RunId == "S1")
        line = next(
            t for t in self.document.Objects if getattr(t, "PlanName", "") == "Run S1 centreline"
        )
        self.assertFalse(line.Visibility)
        line.Visibility = True
        self.ends["left"].Placement.Base = Vector(0, 3600, 2200)
        self.route()
        self.assertTrue(line.Visibility)  # what the user chose to see stays
        self.assertIn(run, roomloom.result_runs(self.document))

    def test_report_and_drawings_are_opened_or_told(self):
        self.seen_room()
        self.route()
        opened = []
        panel = self.open(ResultPanel(self.document))
        from roomloom_freecad.gui import result_panel  # pylint: disable=import-outside-toplevel

        original = result_panel.open_outside
        result_panel.open_outside = lambda path: opened.append(path) or True
        try:
            panel.open_drawings()
            self.assertIn("no drawings", panel.message.text())
            roomloom.route_and_wait(self.document, drawings=True)
            panel.open_report()
            panel.open_drawings()
            panel.open_folder()
        finally:
            result_panel.open_outside = original
        self.assertTrue(opened[0].is_file())
        self.assertEqual(opened[1].name, "drawings.pdf")
        self.assertTrue(opened[2].is_dir())
        self.assertEqual(len(opened), 3)


run_when_ready(sys.modules[__name__])
