"""Marks, ends and runs in FreeCAD's window, by mouse events and the panels' own widgets."""

import os
import pathlib
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCADGui as Gui
from FreeCAD import Vector
from PySide import QtGui

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks, routing, things
from roomloom_freecad.gui import commands
from roomloom_freecad.gui.layout_panel import LayoutPanel
from roomloom_freecad.gui.mark_panel import MarkPanel
from roomloom_freecad.gui.place_panel import EndPanel, GearPanel
from roomloom_freecad.gui.plan_panel import PlanPanel
from roomloom_freecad.gui.preferences_page import PreferencesPage
from roomloom_freecad.gui.runs_panel import RunsPanel
from window_support import InWindow, click, colours_in, run_when_ready, turn


class Workbench(InWindow):
    def test_it_has_a_toolbar_and_a_menu_with_every_command(self):
        self.assertEqual(Gui.activeWorkbench().name(), "RoomloomWorkbench")
        self.assertEqual(Gui.activeWorkbench().listToolbars().count("Roomloom"), 1)
        self.assertIn("Roomloom", Gui.activeWorkbench().listMenus())
        known = Gui.listCommands()
        for name, command in commands.COMMANDS.items():
            self.assertIn(name, known)
            icon = QtGui.QIcon(command.GetResources()["Pixmap"]).pixmap(32, 32).toImage()
            self.assertGreater(colours_in(icon, (0, 0, 32, 32)), 3, name)

    def test_commands_open_their_panels(self):
        self.seen_room()
        for name in (
            "Roomloom_Mark",
            "Roomloom_Gear",
            "Roomloom_End",
            "Roomloom_Layout",
            "Roomloom_Runs",
            "Roomloom_Plan",
        ):
            self.assertFalse(Gui.Control.activeDialog())
            Gui.runCommand(name)
            turn(0.2)
            self.assertTrue(Gui.Control.activeDialog(), name)
            Gui.Control.closeDialog()
            turn(0.1)

    def test_the_preferences_find_and_try_the_program(self):
        page = PreferencesPage()
        page.loadSettings()
        self.assertEqual(page.path.text(), support.PROGRAM)
        page.try_it()
        self.assertIn("answers: version", page.answer.text())
        page.path.setText("/nowhere")
        page.try_it()
        self.assertIn("not where the preferences say", page.answer.text())
        page.saveSettings()
        self.assertEqual(routing.preferred_program(), "/nowhere")


class Marking(InWindow):
    def test_the_selected_parts_are_marked_as_the_panel_says(self):
        self.seen_room(whole=False)
        panel = self.open(MarkPanel(self.document))
        for label in ("Wall left", "Wall right"):
            Gui.Selection.addSelection(self.room[label])
        turn()
        self.assertIn("Wall left, Wall right", panel.chosen.text())
        panel.role.setCurrentIndex(panel.role.findText("wall"))
        build = next(e for e in panel.editors if e.field.key == "build")
        build.widget.setCurrentIndex(build.widget.findText("stud"))
        pitch = next(e for e in panel.editors if e.field.key == "stud_pitch")
        pitch.widget.setProperty("rawValue", 400.0)
        self.shown(panel.form)
        panel.apply()
        for label in ("Wall left", "Wall right"):
            self.assertEqual(
                marks.mark_of(self.room[label]), {"is": "wall", "build": "stud", "stud_pitch": 0.4}
            )
        self.document.undo()
        self.assertIsNone(marks.mark_of(self.room["Wall left"]))
        self.document.redo()
        Gui.Selection.clearSelection()
        Gui.Selection.addSelection(self.room["Wall right"])
        turn()
        self.assertEqual(panel.role.currentText(), "wall")
        panel.take_off()
        self.assertIsNone(marks.mark_of(self.room["Wall right"]))

    def test_a_click_in_the_list_selects_the_part(self):
        self.seen_room(whole=False)
        panel = self.open(MarkPanel(self.document))
        panel.list.selectRow([part.thing.Label for part in panel.listed].index("Deck"))
        turn()
        self.assertEqual([t.Label for t in Gui.Selection.getSelection()], ["Deck"])

    def test_a_part_inside_a_moved_container_is_selected_and_marked_itself(self):
        self.seen_room(whole=False)
        holder = self.document.addObject("App::Part", "House")
        for thing in self.room.values():
            holder.addObject(thing)
        self.document.recompute()
        panel = self.open(MarkPanel(self.document))
        panel.list.selectRow([part.thing.Label for part in panel.listed].index("Deck"))
        turn()
        self.assertEqual(panel.chosen.text(), "Deck")
        panel.role.setCurrentIndex(panel.role.findText("deck"))
        panel.apply()
        self.assertEqual(marks.mark_of(self.room["Deck"]), {"is": "deck"})
        self.assertIsNone(marks.mark_of(holder))

    def test_the_rest_is_guessed_at_a_press_and_undone_in_one_step(self):
        self.seen_room(whole=False)
        panel = self.open(MarkPanel(self.document))
        panel.guess()
        self.assertIn("parts were marked", panel.message.text())
        self.assertEqual(marks.role_of(self.room["Wall left"]), "wall")
        self.document.undo()
        self.assertEqual(marks.marked(self.document), [])


class OpeningRooms(InWindow):
    def test_a_step_room_is_opened_in_parts_with_their_colours(self):
        path = pathlib.Path(os.environ["ROOMLOOM_REPOSITORY"]) / "models/alder-hall/alder-hall.step"
        commands.COMMANDS["Roomloom_Open"].open(str(path))
        turn(0.5)
        found = {part.name: part.thing for part in roomloom.collect(self.document)[0]}
        self.assertIn("Wall front", found)
        floor = tuple(round(c, 2) for c in found["Floor"].ViewObject.ShapeColor[:3])
        wall = tuple(round(c, 2) for c in found["Wall front"].ViewObject.ShapeColor[:3])
        self.assertNotEqual(floor, wall)
        self.document.undo()
        self.assertEqual(list(self.document.Objects), [])

    def test_a_file_that_cannot_be_opened_is_told_in_a_window_of_its_own(self):
        path = self.folder / "notes.txt"
        path.write_text("notes", encoding="utf-8")
        commands.COMMANDS["Roomloom_Open"].open(str(path))
        turn(0.2)
        boxes = [w for w in Gui.getMainWindow().findChildren(QtGui.QMessageBox) if w.isVisible()]
        self.assertEqual(len(boxes), 1)
        self.assertIn("Only STEP, OBJ and GLB", boxes[0].text())
        boxes[0].close()


class Placing(InWindow):
    def test_ends_snap_to_the_face_under_the_cursor_and_undo_takes_them_back(self):
        self.seen_room(whole=False)
        panel = self.open(EndPanel(self.document))
        panel.label.setText("lamp")
        click((0, 1500, 2000))
        click((2500, 5000, 1500))
        ends = things.all_of(self.document, "end")
        self.assertEqual([end.Label for end in ends], ["lamp", "End 1"])
        self.assertAlmostEqual(ends[0].Placement.Base.x, 0, 3)  # on the left wall's face
        self.assertLess((ends[0].Placement.Base - Vector(0, 1500, 2000)).Length, 30)
        self.assertAlmostEqual(ends[1].Placement.Base.y, 5000, 3)
        self.assertIn("On Wall front", panel.under.text())
        panel.take_back()
        self.assertEqual(len(things.all_of(self.document, "end")), 1)

    def test_gear_stands_on_the_floor_with_its_back_to_the_clicked_wall(self):
        self.seen_room(whole=False)
        panel = self.open(GearPanel(self.document))
        panel.devices.setPlainText("amplifier: S1..S4\nswitch: 1..4")
        click((0, 2500, 800))
        gear = things.all_of(self.document, "gear")[0]
        foot = things.foot_of(gear)
        self.assertAlmostEqual(foot.x, 100 + 225, 2)
        self.assertAlmostEqual(foot.z, 0, 3)
        self.assertEqual(list(gear.Devices), ["amplifier: S1..S4", "switch: 1..4"])
        # Its depth is across the wall: along X here.
        self.assertAlmostEqual(gear.Shape.BoundBox.XLength, 450, 3)
        self.assertAlmostEqual(gear.Shape.BoundBox.YLength, 600, 3)

    def test_closing_a_panel_lets_go_of_the_view(self):
        self.seen_room(whole=False)
        panel = self.open(EndPanel(self.document))
        panel.reject()
        turn()
        click((0, 1500, 2000))
        self.assertEqual(things.all_of(self.document, "end"), [])

    def test_a_layout_from_a_clicked_seat_and_wall(self):
        self.seen_room(whole=False)
        panel = self.open(LayoutPanel(self.document))
        panel.pick_seat()
        click((2000, 2500, 0))
        at = [float(box.property("rawValue")) for box in panel.place]
        self.assertLess((Vector(*at) - Vector(2000, 2500, 1200)).Length, 40)
        panel.pick_ahead()
        click((0, 3000, 1700))
        self.assertAlmostEqual(panel.facing.value(), 90, 3)
        panel.apply()
        self.assertEqual(panel.labels.count(), 9)
        centre = next(e for e in things.all_of(self.document, "end") if e.Label == "M+000")
        self.assertAlmostEqual(centre.Placement.Base.x, 0, 3)
        self.document.undo()
        self.assertEqual(things.all_of(self.document, "end"), [])


class Runs(InWindow):
    def test_runs_are_made_from_gear_to_each_selected_end(self):
        self.seen_room()
        panel = self.open(RunsPanel(self.document))
        self.assertIn("cat6", panel.cables)
        Gui.Selection.clearSelection()
        for thing in (self.gear, self.ends["left"], self.ends["right"]):
            Gui.Selection.addSelection(thing)
        panel.add_between()
        made = panel.runs[-2:]
        self.assertEqual(
            [(r.From, r.FromPort, r.To.Label) for r in made],
            [(self.gear, "amplifier.S4", "left"), (self.gear, "amplifier.S5", "right")],
        )
        self.shown(panel.form)
        self.document.undo()
        self.assertEqual(len(things.all_of(self.document, "run")), 4)

    def test_settings_are_kept_and_nonsense_is_told(self):
        self.seen_room()
        panel = self.open(PlanPanel(self.document))
        panel.prefer.setCurrentIndex(panel.prefer.findText("least cable"))
        panel.weights.item(0, 1).setText("abc")
        panel.accept()
        self.assertIn('"abc" is no number', panel.message.text())
        self.assertTrue(Gui.Control.activeDialog())
        panel.weights.item(0, 1).setText("1.5")
        panel.spools.setPlainText("speaker 2x2.5; 100 m; black")
        self.shown(panel.form)
        panel.accept()
        plan = things.plan_of(self.document)
        self.assertEqual(
            (plan.Prefer, plan.Weights, list(plan.Spools)),
            ("least cable", {"cable_weight": "1.5"}, ["speaker 2x2.5; 100 m; black"]),
        )
        self.document.undo()
        self.assertEqual(plan.Prefer, "balanced")


run_when_ready(sys.modules[__name__])
