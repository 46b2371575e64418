import json
import os
import time
import unittest
from pathlib import Path
from unittest import mock

import bpy
import support
from support import InBlender, addon, build_room, drawn_length, furnish, place, select, snapshot


def named(rows, run):
    """The row of a run: results list runs by their ids, not in the order of the scene."""
    return next(row for row in rows if getattr(row, "id", getattr(row, "name", "")) == run)


class Routing(InBlender):
    def test_from_an_empty_file_to_runs_in_the_scene(self):
        build_room()
        furnish()
        before = snapshot()
        result = self.route()
        self.assertEqual([run.routed for run in result.runs], [True, True])
        top = self.ours.result.collection
        groups = [child.name for child in top.children]
        self.assertEqual((groups[0], groups[-1]), ("Runs", "Labels"))
        self.assertIn("Raceway", groups)
        run = bpy.data.objects["Run S1"]
        self.assertIn(run, list(top.children["Runs"].objects))
        self.assertEqual((run["cable"], run["service"]), ("speaker 2x2.5", "loudspeaker"))
        self.assertTrue(run.data.materials[0])
        # Each service has a colour of its own.
        other = bpy.data.objects["Run N1"].data.materials[0]
        self.assertNotEqual(tuple(run.data.materials[0].diffuse_color), tuple(other.diffuse_color))
        # What was there before is as it was.
        now = snapshot()
        self.assertEqual({name: now[0][name] for name in before[0]}, before[0])

    def test_lengths_in_the_scene_agree_with_the_list(self):
        build_room()
        furnish()
        result = self.route()
        rows = addon("roomloom_files").read_lengths(result.file("lengths.csv"))
        for item in self.ours.result.runs:
            thing = bpy.data.objects[f"Run {item.name}"]
            drawn, cut = float(rows[item.name]["Drawn (m)"]), float(rows[item.name]["Cut (m)"])
            self.assertAlmostEqual(item.drawn, drawn, 4)
            self.assertAlmostEqual(item.cut, cut, 4)
            self.assertAlmostEqual(thing["drawn"], drawn, 4)
            self.assertAlmostEqual(thing["cut"], cut, 4)
            # The centreline in the scene: arcs are chords there, so it is a little shorter.
            line = bpy.data.objects[f"Run {item.name} centreline"]
            self.assertAlmostEqual(drawn_length(line), drawn, delta=0.003 * drawn)
            self.assertEqual(item.object, thing)

    def test_a_scene_in_other_units_gives_the_same_lengths(self):
        build_room()
        furnish()
        metric = {run.id: run.drawn_m for run in self.route().runs}
        support.empty_file()
        bpy.context.scene.roomloom.result_folder = str(self.folder / "feet")
        settings = bpy.context.scene.unit_settings
        settings.system, settings.scale_length = "IMPERIAL", 0.3048
        build_room(unit=0.3048)
        furnish(unit=0.3048)
        result = self.route()
        for run in result.runs:
            self.assertAlmostEqual(run.drawn_m, metric[run.id], 3)
            row = next(row for row in self.ours.result.runs if row.name == run.id)
            self.assertAlmostEqual(row.drawn, run.drawn_m / 0.3048, 4)
            self.assertAlmostEqual(bpy.data.objects[f"Run {run.id}"]["drawn"], row.drawn, 4)
            line = bpy.data.objects[f"Run {run.id} centreline"]
            self.assertAlmostEqual(
                drawn_length(line) * 0.3048, run.drawn_m, delta=0.003 * run.drawn_m
            )
        self.assertEqual(
            json.loads((self.folder / "feet" / "job.json").read_text())["units"], "feet and inches"
        )
        self.assertIn("ft", self.ours.result.summary)

    def test_a_moved_end_is_routed_anew_and_the_first_result_is_gone(self):
        build_room()
        furnish()
        self.route()
        first = {row.name: row.drawn for row in self.ours.result.runs}
        count = (len(self.result_objects()), len(bpy.data.meshes), len(bpy.data.collections))
        bpy.data.objects["left"].location.y = 3.5  # two metres nearer to the rack
        bpy.context.view_layer.update()
        self.route()
        second = {row.name: row.drawn for row in self.ours.result.runs}
        self.assertGreater(first["S1"] - second["S1"], 1.9)
        tops = [c for c in bpy.data.collections if c.name.startswith("Roomloom result")]
        self.assertEqual([c.name for c in tops], ["Roomloom result"])
        self.assertEqual(len([t for t in self.result_objects() if t.name.startswith("Run S1")]), 2)
        self.assertLess(abs(len(bpy.data.meshes) - count[1]), 25)
        self.assertEqual(len(bpy.data.collections), count[2])

    def test_what_the_user_put_into_the_result_is_kept(self):
        build_room()
        furnish()
        self.route()
        mine = support.add_box("Mine", (1, 1, 0), (1.2, 1.2, 0.2))
        runs = self.ours.result.collection.children["Runs"]
        runs.objects.link(mine)
        bpy.context.scene.collection.objects.unlink(mine)
        bpy.ops.roomloom.clear_result()
        self.assertEqual(self.result_objects(), [])
        self.assertIn("Mine", bpy.context.scene.objects)
        self.assertEqual(len(self.ours.result.runs), 0)

    def test_an_older_result_is_no_part_of_the_room(self):
        build_room()
        furnish()
        first = self.route()
        second = self.route()
        names = [part.name for part in addon("export_room").export_room(bpy.context).parts]
        self.assertEqual(
            sorted(names), ["Back", "Floor", "Front", "Left", "Right", "Slab", "Tiles"]
        )
        self.assertEqual([r.drawn_m for r in first.runs], [r.drawn_m for r in second.runs])
        model = (self.folder / "result" / "room.glb").read_bytes()
        self.route()
        self.assertEqual((self.folder / "result" / "room.glb").read_bytes(), model)

    def test_the_result_survives_saving_and_reloading(self):
        build_room()
        furnish()
        self.route()
        path = str(self.folder / "room.blend")
        bpy.ops.wm.save_as_mainfile(filepath=path)
        bpy.ops.wm.read_homefile(use_empty=True)
        bpy.ops.wm.open_mainfile(filepath=path)
        self.assertEqual([row.name for row in self.ours.result.runs], ["N1", "S1"])
        row = self.ours.result.runs[1]
        self.assertEqual(row.object, bpy.data.objects["Run S1"])
        self.assertAlmostEqual(row.drawn, bpy.data.objects["Run S1"]["drawn"], 5)
        bpy.ops.roomloom.show(what="RUN", index=1)
        self.assertEqual(bpy.context.active_object.name, "Run S1")
        # And the reloaded file routes again, replacing the result.
        self.route()
        tops = [c for c in bpy.data.collections if c.name.startswith("Roomloom result")]
        self.assertEqual(len(tops), 1)

    def test_routing_is_undone_and_redone(self):
        build_room()
        furnish()
        bpy.ops.ed.undo_push(message="before")
        before = snapshot()
        self.route()
        bpy.ops.ed.undo_push(message="routed")
        bpy.ops.ed.undo()
        self.assertEqual(snapshot(), before)
        self.assertEqual(len(self.ours.result.runs), 0)
        bpy.ops.ed.redo()
        self.assertIn("Run S1", bpy.data.objects)
        self.assertEqual(self.ours.result.runs[1].name, "S1")

    def test_a_layout_is_placed_in_one_step_and_its_loudspeakers_are_wired(self):
        build_room()
        furnish()
        place("LISTENER", "Seat", (2, 2.2, 1.2))
        bpy.ops.roomloom.place_layout(system="0+5+0")
        centre = bpy.data.objects["M+000"]
        # Straight ahead of a listener who looks along +y: on the front wall, at ear height.
        for got, want in zip(centre.location, (2, 5, 1.2)):
            self.assertAlmostEqual(got, want, 4)
        # Azimuth 30 degrees to the left: x is 2.8 tan 30 to the left of the middle.
        self.assertAlmostEqual(bpy.data.objects["M+030"].location.x, 2 - 2.8 * 0.57735, 4)
        self.assertNotIn("LFE1", bpy.data.objects)
        runs = addon("runs")
        runs.add_run(bpy.context.scene, "amp.S2", "M+030", "speaker 2x2.5", "S2")
        runs.add_run(bpy.context.scene, "amp.S3", "M+000", "speaker 2x2.5", "S3")
        centre.location.x = 2.5  # moved by hand: its place counts now, not its label
        bpy.context.view_layer.update()
        result = self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text())
        ends = {end["id"]: end for end in job["ends"]}
        self.assertEqual(ends["M+030"]["label"], "M+030")
        self.assertEqual(ends["M+000"]["xyz"][0], 2.5)
        placed = {end["id"]: end["at"] for end in result.ends}
        for axis in range(3):
            self.assertAlmostEqual(
                placed["M+030"][axis], bpy.data.objects["M+030"].location[axis], 2
            )
        self.assertAlmostEqual(placed["M+000"][0], 2.5, 3)

    def test_runs_are_made_by_picking(self):
        build_room()
        furnish()
        self.ours.runs.clear()
        select(bpy.data.objects["left"], bpy.data.objects["data"], bpy.data.objects["rack"])
        bpy.ops.roomloom.run_between(cable="cat6")
        self.assertEqual(
            [(run.name, run.start, run.end, run.cable) for run in self.ours.runs],
            [("R1", "amp", "data", "cat6"), ("R2", "amp", "left", "cat6")],
        )
        select(bpy.data.objects["data"], bpy.data.objects["left"])
        bpy.ops.roomloom.run_between(cable="cat6")
        self.assertEqual((self.ours.runs[2].start, self.ours.runs[2].end), ("data", "left"))

    def test_cable_provision_slack_and_preferences_reach_the_plan(self):
        build_room()
        furnish()
        run = self.ours.runs[0]
        run.provision, run.use_slack, run.slack, run.colour = True, True, 0.75, "white"
        self.ours.prefer.preset = "LEAST_SEEN"
        self.ours.prefer.use_contingency = True
        self.assertAlmostEqual(self.ours.prefer.contingency, 0.02, 6, "starts at the default")
        self.ours.prefer.contingency = 0.1
        bpy.data.objects["left"].roomloom.may_move = 0.3
        result = self.route()
        one = named(result.runs, "S1")
        self.assertTrue(one.provision)
        self.assertAlmostEqual(one.addends_m["loop at from"], 0.75, 6)
        self.assertAlmostEqual(one.addends_m["contingency"], 0.1 * one.drawn_m, 4)
        self.assertGreater(one.addends_m["movable end"], 0.05)
        job = json.loads((self.folder / "result" / "job.json").read_text())
        self.assertEqual(job["prefer"]["preset"], "least seen")

    def test_pins_are_kept(self):
        build_room()
        furnish()
        free = self.route()
        self.ours.runs[1].via = "plenum"
        result = self.route()

        def places(of):
            return [stretch["place"]["name"] for stretch in next(run for run in of.plan["runs"] if run["id"] == "N1")["stretches"]]

        self.assertNotIn("plenum", places(free))
        self.assertIn("plenum", places(result))
        self.assertTrue(any("N1" in hole["runs"] for hole in result.holes))
        self.ours.runs[1].via = "Tiles"
        self.route()
        notes = [row.text for row in self.ours.result.notes]
        self.assertTrue(any('cannot pass "Tiles"' in text for text in notes), notes)

    def test_a_drawn_curve_is_the_path_that_a_run_takes(self):
        build_room()
        furnish()
        free = named(self.route().runs, "S1").drawn_m
        curve = bpy.data.curves.new("Way", "CURVE")
        curve.dimensions = "3D"
        spline = curve.splines.new("POLY")
        corners = [(3.98, 4.9, 0.7), (3.98, 0.02, 0.7), (0.02, 0.02, 0.7), (0.02, 1.4, 0.7)]
        spline.points.add(len(corners) - 1)
        for point, corner in zip(spline.points, corners):
            point.co = (*corner, 1)
        way = bpy.data.objects.new("Way", curve)
        bpy.context.scene.collection.objects.link(way)
        self.ours.runs[0].way = way
        result = self.route()
        planned = next(run for run in result.plan["runs"] if run["id"] == "S1")
        places = [stretch["place"]["name"] for stretch in planned["stretches"]]
        self.assertIn("Right", places)
        self.assertIn("Back", places)
        self.assertGreater(named(result.runs, "S1").drawn_m, free + 4)
        job = json.loads((self.folder / "result" / "job.json").read_text())
        self.assertEqual(len(job["runs"][0]["way"]), 4)

    def test_a_rack_that_was_modelled_becomes_gear(self):
        build_room()
        furnish()
        bpy.data.objects.remove(bpy.data.objects["rack"])
        rack = support.add_box("Cabinet", (1.5, 4.4, 0), (2.1, 4.9, 1.1))
        support.mark(rack, "RACK", devices="amp: S1..S4; switch: 1..4", pull_out=0.4)
        result = self.route()
        job = json.loads((self.folder / "result" / "job.json").read_text())
        gear = job["gear"][0]
        self.assertEqual((gear["id"], gear["pull_out"]), ("Cabinet", 0.4))
        for got, want in zip(gear["box"] + gear["xyz"], (0.6, 0.5, 1.1, 1.8, 4.65, 0)):
            self.assertAlmostEqual(got, want, 4)
        self.assertAlmostEqual(named(result.runs, "S1").addends_m["pull-out"], 0.4, 6)

    def test_a_modelled_conduit_is_a_medium(self):
        build_room()
        furnish()
        pipe = support.add_box("Pipe", (0.06, 1.6, 1.17), (0.12, 4.9, 1.23))
        support.mark(pipe, "CONDUIT", inside=0.05)
        result = self.route()
        stretches = result.plan["runs"][0]["stretches"]
        self.assertIn(
            ("conduit", "Pipe"), [(s["place"]["kind"], s["place"]["name"]) for s in stretches]
        )


class Errors(InBlender):
    def setUp(self):
        super().setUp()
        build_room()
        furnish()

    def test_a_missing_program_is_told(self):
        support.use_program("/nowhere/roomloom")
        self.assertIn("not where the preferences say", self.refused())
        support.use_program("")
        with mock.patch.dict(os.environ, {"PATH": "/nowhere", "ROOMLOOM_PROGRAM": ""}):
            text = self.refused()
        self.assertIn("was not found", text)
        self.assertIn("preferences", text)
        self.assertTrue(bpy.context.window_manager.roomloom.is_error)

    def test_an_old_program_is_told(self):
        support.use_program(self.pretend_program("", version="0.0.3"))
        self.assertIn("version 0.0.3; this plug-in needs 0.1.0", self.refused())

    def test_broken_output_is_told_and_the_older_result_stays(self):
        self.route()
        before = snapshot()
        support.use_program(self.pretend_program("print('{}')"))
        self.assertIn("plan.json is missing", self.refused())
        self.assertEqual(snapshot(), before)
        plan = """
            folder = pathlib.Path(sys.argv[sys.argv.index("-o") + 1])
            folder.mkdir(parents=True)
            (folder / "plan.json").write_text(json.dumps({"format": "roomloom-plan", "version": 1,
                "runs": [], "model": {"to_room": []}}))
            (folder / "runs.glb").write_bytes(b"glTF and nothing more")
        """
        support.use_program(self.pretend_program(plan))
        self.assertIn("no whole GLB", self.refused())
        self.assertEqual(snapshot(), before)
        files = addon("roomloom_files")
        self.assertEqual(len(files.read_result(self.ours.result.folder).runs), 2)

    def test_an_error_of_the_program_selects_what_it_is_about(self):
        self.ours.runs[0].cable = "speeker 2x2.5"
        self.assertIn("speeker", self.refused())
        self.assertIn("speaker 2x2.5", self.message())
        self.assertEqual(bpy.context.active_object.name, "left")
        self.ours.runs[0].cable = "speaker 2x2.5"
        bpy.data.objects["left"].location = (40, 1, 1)  # outside the room
        bpy.context.view_layer.update()
        bpy.ops.object.select_all(action="DESELECT")
        self.refused()
        self.assertEqual(bpy.context.active_object.name, "left")
        self.assertTrue(bpy.data.objects["left"].select_get())

    def test_a_job_without_runs_is_told_before_anything_starts(self):
        self.ours.runs.clear()
        self.assertIn("no runs", self.refused())
        self.assertFalse((self.folder / "result").exists())

    def test_names_that_match_nothing_any_more_are_listed(self):
        rule = self.ours.rules.add()
        rule.match, rule.mark.role = "Column *", "OBSTACLE"
        bpy.ops.roomloom.list_lost()
        self.assertIn('"Column *"', self.message())
        self.route()
        self.assertIn('"Column *"', self.message())
        rule.match = "Slab*"
        bpy.ops.roomloom.list_lost()
        self.assertIn("fits the room", self.message())

    def test_a_run_without_a_way_is_shown_at_its_end(self):
        self.ours.runs[1].avoid = "Back"
        self.route()
        row = self.ours.result.runs[0]
        self.assertEqual(row.name, "N1")
        self.assertFalse(row.routed)
        self.assertIn("Back", row.told)
        bpy.ops.roomloom.show(what="RUN", index=0)
        self.assertEqual(bpy.context.active_object.name, "data")

    def test_cancelling_in_mid_run_leaves_the_document_as_it_was(self):
        self.route()
        before = snapshot()
        plan = (self.folder / "result" / "result" / "plan.json").read_bytes()
        started = self.folder / "started"
        support.use_program(
            self.pretend_program(
                f"""
                pathlib.Path({str(started)!r}).touch()
                print("stage: routing", file=sys.stderr, flush=True)
                time.sleep(60)
                """
            )
        )
        route = addon("route")
        session = route.current = route.Session(bpy.context)
        while not (
            started.exists() and session.poll() == "running" and session.routing.stage == "routing"
        ):
            time.sleep(0.02)
        bpy.ops.roomloom.cancel()
        self.assertIsNone(route.current)
        self.assertEqual(session.poll(), "cancelled")
        self.assertEqual(snapshot(), before)
        self.assertEqual((self.folder / "result" / "result" / "plan.json").read_bytes(), plan)
        left = sorted(path.name for path in self.folder.iterdir())
        self.assertEqual(left, ["result", "roomloom", "started"])
        self.assertIn("cancelled", self.message())

    def test_opening_another_file_ends_a_running_routing(self):
        support.use_program(self.pretend_program("time.sleep(60)"))
        route = addon("route")
        session = route.current = route.Session(bpy.context)
        bpy.ops.wm.read_homefile(use_empty=True)
        self.assertEqual(session.routing.state, "cancelled")


class Findings(InBlender):
    def test_findings_are_listed_and_lead_to_their_place(self):
        build_room()
        furnish()
        result = self.route()
        row = self.ours.result.findings.add()
        row.name, row.text, row.level, row.has_place = "S1", "A finding.", "should", True
        row.at_m = (1.5, 2.5, 1.25)
        bpy.ops.roomloom.show(what="FINDING", index=len(self.ours.result.findings) - 1)
        self.assertEqual(tuple(bpy.context.scene.cursor.location), (1.5, 2.5, 1.25))
        self.assertEqual(bpy.context.active_object.name, "Run S1")
        self.assertEqual(len(self.ours.result.findings) - 1, len(result.findings))
        self.assertEqual(len(self.ours.result.notes), len(result.guesses) + len(result.warnings))

    def test_files_are_there_to_be_opened(self):
        build_room()
        furnish()
        self.ours.drawings = True
        self.route()
        for what in ("REPORT", "DRAWINGS", "LENGTHS", "FOLDER"):
            self.assertEqual(bpy.ops.roomloom.open_file(what=what), {"FINISHED"})
        self.ours.drawings = False
        self.route()
        with self.assertRaises(RuntimeError):
            bpy.ops.roomloom.open_file(what="DRAWINGS")


class WrittenJobs(InBlender):
    def test_room_and_job_are_written_for_the_command_line(self):
        import subprocess

        build_room()
        furnish()
        folder = self.folder / "for the command line"
        bpy.ops.roomloom.write_job(filepath=str(folder))
        command = [
            support.PROGRAM,
            "route",
            str(folder / "job.json"),
            "-o",
            str(self.folder / "out"),
        ]
        done = subprocess.run(
            command + ["--effort", "quick", "--no-drawings", "--quiet"], timeout=120
        )
        self.assertIn(done.returncode, (0, 1))
        self.assertTrue((self.folder / "out" / "plan.json").is_file())

    def test_a_base_job_is_kept_behind(self):
        build_room()
        furnish()
        base = {"cables": [{"id": "my cable", "like": "cat6"}], "parts": [{"match": "Nothing *"}]}
        (self.folder / "base.json").write_text(json.dumps(base))
        self.ours.base_job = str(self.folder / "base.json")
        self.ours.runs[1].cable = "my cable"
        self.assertEqual(named(self.route().runs, "N1").cable, "my cable")
        self.assertIn("Nothing *", self.message())


if __name__ == "__main__":
    unittest.main()
