"""What goes wrong is told inside FreeCAD, and the document stays as it was."""

import json
import os
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks
from support import InFreeCAD


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
