import os
import sys
import time
import unittest
from pathlib import Path
from unittest import mock

import support
from roomloom_files import (
    CANCELLED,
    DONE,
    FAILED,
    RUNNING,
    GlbPart,
    Program,
    Routing,
    Told,
    WorkFolder,
    check_program,
    end_at,
    find_program,
    gear_at,
    make_job,
    part_rule,
    read_catalogue,
    read_glb,
    read_lengths,
    read_result,
    run_between,
    unmatched_patterns,
    write_glb,
)

from roomloom_files.program import ask_program
from roomloom_files.routing import STAGES

PLAN = """
    folder = pathlib.Path(sys.argv[sys.argv.index("-o") + 1])
    folder.mkdir(parents=True)
    plan = {"format": "roomloom-plan", "version": 1, "name": "Pretended", "runs": [
        {"id": "S1", "routed": True, "drawn_m": 2.5, "cut_m": 3.0, "addends_m": {"sag": 0.5}}],
        "model": {"to_room": [1,0,0,0, 0,0,-1,0, 0,1,0,0]},
        "findings": [{"id": "x", "level": "must", "subject": "S1", "text": "T", "where": [1, 2, 3]}]}
    (folder / "plan.json").write_text(json.dumps(plan))
"""


class Finding(support.InTemporaryFolder):
    def setUp(self):
        super().setUp()
        self.program = self.pretend_program("")
        self.nowhere = mock.patch.dict(os.environ, {"PATH": str(self.folder / "empty")})

    def code_of(self, *arguments):
        with self.assertRaises(Told) as raised:
            find_program(*arguments)
        return raised.exception

    def test_a_preference_comes_first_as_file_or_folder(self):
        with self.nowhere:
            self.assertEqual(find_program(self.program), self.program)
            self.assertEqual(find_program(str(self.folder)), self.program)

    def test_beside_the_plug_in_comes_before_the_path(self):
        with mock.patch.dict(os.environ, {"PATH": str(self.folder)}):
            self.assertEqual(find_program("", []), self.program)
        with self.nowhere:
            self.assertEqual(find_program("", [self.folder]), self.program)

    def test_a_missing_program_is_told_with_what_to_do(self):
        with self.nowhere:
            told = self.code_of("", [])
        self.assertEqual(told.code, "program.missing")
        self.assertIn("preferences", told.remedy)

    def test_a_wrong_preference_is_told_and_nothing_else_taken(self):
        self.assertEqual(
            self.code_of("/nowhere/roomloom", [self.folder]).code, "program.preference"
        )
        plain = self.folder / "plain"
        plain.write_text("x")
        self.assertEqual(self.code_of(str(plain)).code, "program.not-executable")


class Versions(support.InTemporaryFolder):
    def code_for(self, answer, status=0):
        path = self.folder / "roomloom"
        path.write_text(f"#!/bin/sh\necho '{answer}'\nexit {status}\n")
        path.chmod(0o755)
        with self.assertRaises(Told) as raised:
            check_program(str(path))
        return raised.exception.code

    def test_a_version_that_fits_is_taken(self):
        self.assertEqual(check_program(self.pretend_program("")).version, (0, 1, 0))

    def test_others_are_told_apart(self):
        self.assertEqual(self.code_for("roomloom 0.0.9"), "program.old")
        self.assertEqual(self.code_for("roomloom 2.0"), "program.new")
        self.assertEqual(self.code_for("weaver 0.1.0"), "program.foreign")
        self.assertEqual(self.code_for("roomloom 0.1.0", 1), "program.foreign")

    def test_what_is_no_program_is_told(self):
        with self.assertRaises(Told) as raised:
            check_program(str(self.folder / "none"))
        self.assertEqual(raised.exception.code, "program.start")


class Folders(support.InTemporaryFolder):
    def test_a_kept_folder_takes_the_place_of_the_older_one_whole(self):
        final = self.folder / "out"
        for text in ("first", "second"):
            work = WorkFolder(final)
            (work.path / "x.txt").write_text(text)
            self.assertEqual(work.keep(), final)
        self.assertEqual((final / "x.txt").read_text(), "second")
        self.assertEqual(os.listdir(self.folder), ["out"])

    def test_a_dropped_folder_leaves_the_older_one(self):
        final = self.folder / "out"
        WorkFolder(final).keep()
        with self.assertRaises(RuntimeError):
            with WorkFolder(final) as work:
                (work.path / "x.txt").write_text("half")
                raise RuntimeError
        self.assertEqual(os.listdir(self.folder), ["out"])
        self.assertFalse((final / "x.txt").exists())

    def test_what_no_plug_in_wrote_is_never_replaced(self):
        (self.folder / "mine").mkdir()
        (self.folder / "mine" / "thesis.txt").write_text("years of work")
        with self.assertRaises(Told) as raised:
            WorkFolder(self.folder / "mine")
        self.assertEqual(raised.exception.code, "folder.foreign")
        self.assertEqual(os.listdir(self.folder), ["mine"])

    def test_a_place_where_none_may_write_is_told(self):
        (self.folder / "file").write_text("x")
        with self.assertRaises(Told) as raised:
            WorkFolder(self.folder / "file" / "out")
        self.assertEqual(raised.exception.code, "folder.write")

    def test_a_job_with_no_finite_number_is_told(self):
        with WorkFolder(self.folder / "out") as work, self.assertRaises(Told) as raised:
            work.write_job({"x": float("nan")})
        self.assertEqual(raised.exception.code, "job.number")


class Running(support.InTemporaryFolder):
    def start(self, body):
        work = WorkFolder(self.folder / "out")
        work.write_job({})
        return Routing(Program(self.pretend_program(body), (0, 1, 0)), work, effort="quick")

    def fails(self, body):
        routing = self.start(body)
        routing.wait(20)
        with self.assertRaises(Told) as raised:
            routing.finish()
        self.assertEqual(os.listdir(self.folder), ["roomloom"], "nothing is left behind")
        return raised.exception

    def test_a_result_is_read_and_put_in_place(self):
        routing = self.start(PLAN)
        self.assertEqual(routing.wait(20), DONE)
        result = routing.finish()
        self.assertEqual(result.folder, self.folder / "out")
        run = result.runs[0]
        self.assertEqual(
            (run.id, run.drawn_m, run.cut_m, run.addends_m), ("S1", 2.5, 3.0, {"sag": 0.5})
        )
        self.assertEqual(result.findings[0].where, (1.0, 2.0, 3.0))
        self.assertEqual(
            sorted(os.listdir(self.folder / "out")),
            ["job.json", "result", "written-by-roomloom.txt"],
        )

    def test_a_failed_check_is_a_result_all_the_same(self):
        routing = self.start(PLAN + "    sys.exit(1)\n")
        routing.wait(20)
        self.assertEqual(routing.finish().findings[0].level, "must")

    def test_stages_are_shown_as_they_come(self):
        go = self.folder / "go"
        routing = self.start(
            f"""
            print("stage: placing the ends", file=sys.stderr, flush=True)
            while not pathlib.Path({str(go)!r}).exists(): time.sleep(0.01)
            """
            + PLAN.replace("\n    ", "\n            ")
        )
        for _ in range(1000):
            self.assertEqual(routing.poll(), RUNNING)
            if routing.stage != "starting":
                break
            time.sleep(0.01)
        self.assertEqual(routing.stage, "placing the ends")
        self.assertAlmostEqual(routing.share, 4 / 14)
        go.touch()
        self.assertEqual(routing.wait(20), DONE)
        routing.finish()

    def test_cancelling_ends_the_program_and_what_it_started(self):
        note = self.folder / "child"
        routing = self.start(
            f"""
            import subprocess
            child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
            pathlib.Path({str(note)!r}).write_text(str(child.pid) + "\\n")
            time.sleep(60)
            """
        )
        while not note.exists() or not note.read_text().endswith("\n"):
            time.sleep(0.01)
        routing.cancel()
        self.assertEqual(routing.poll(), CANCELLED)
        self.assertEqual(sorted(os.listdir(self.folder)), ["child", "roomloom"])
        child = int(note.read_text())
        for _ in range(500):  # until init has taken it in and reaped it
            stat = Path(f"/proc/{child}/stat")
            if not stat.exists() or stat.read_text().rsplit(")", 1)[1].split()[0] == "Z":
                break
            time.sleep(0.01)
        else:
            self.fail("the child lives on")
        with self.assertRaises(Told) as raised:
            routing.finish()
        self.assertEqual(raised.exception.code, "routing.cancelled")

    def test_the_programs_own_error_comes_through(self):
        told = self.fails(
            """
            print(json.dumps({"error": {"code": "job.cable", "what": "No.", "where": "/runs/0", "remedy": "Do."}}))
            sys.exit(2)
            """
        )
        self.assertEqual(
            (told.code, told.what, told.where, told.remedy), ("job.cable", "No.", "/runs/0", "Do.")
        )

    def test_a_fault_and_a_signal_are_told_with_the_stage(self):
        told = self.fails(
            """
            print("stage: routing", file=sys.stderr)
            print("roomloom: internal fault", file=sys.stderr)
            sys.exit(3)
            """
        )
        self.assertEqual(told.code, "program.fault")
        self.assertIn("status 3 while routing. roomloom: internal fault", told.what)
        self.assertIn(
            "signal 9", self.fails("import os, signal; os.kill(os.getpid(), signal.SIGKILL)").what
        )

    def test_a_failed_routing_leaves_the_older_result(self):
        first = self.start(PLAN)
        first.wait(20)
        first.finish()
        second = self.start("")
        second.wait(20)
        with self.assertRaises(Told):
            second.finish()
        self.assertEqual(read_result(self.folder / "out").runs[0].id, "S1")
        self.assertEqual(sorted(os.listdir(self.folder)), ["out", "roomloom"])

    def test_a_host_may_refuse_a_result_before_the_older_one_is_given_up(self):
        def refuse(result):
            raise Told("host.cannot", f"{len(result.runs)} run is too many.")

        routing = self.start(PLAN)
        routing.wait(20)
        with self.assertRaises(Told) as raised:
            routing.finish(refuse)
        self.assertEqual(raised.exception.what, "1 run is too many.")
        self.assertEqual(os.listdir(self.folder), ["roomloom"])

    def test_broken_output_is_told(self):
        for body in [
            "",
            PLAN.replace("json.dumps(plan)", "'{'"),
            PLAN.replace("roomloom-plan", "loom"),
            PLAN.replace('"version": 1', '"version": 9'),
            PLAN.replace('"drawn_m": 2.5', '"drawn_m": "far"'),
            PLAN.replace('"model"', '"modell"'),
            PLAN.replace("json.dumps(plan)", "'[]'"),
        ]:
            with self.subTest(body=body[-60:]):
                self.assertEqual(self.fails(body).code, "result.broken")

    def test_a_program_that_cannot_start_leaves_no_folder(self):
        with self.assertRaises(Told) as raised, WorkFolder(self.folder / "out") as work:
            Routing(Program(str(self.folder / "none"), (0, 1, 0)), work)
        self.assertEqual(raised.exception.code, "program.start")
        self.assertEqual(os.listdir(self.folder), [])


@support.needs_program
class WithTheProgram(support.InTemporaryFolder):
    def test_its_lists_are_offered(self):
        catalogue = read_catalogue(support.PROGRAM)
        self.assertIn("speaker 2x2.5", catalogue.cable_ids())
        labels = {label["label"]: label for label in catalogue.labels("4+5+0")}
        # ITU-R BS.2051, system D: the upper front pair stands at 30 degrees, left is positive.
        self.assertEqual(
            (labels["U+030"]["azimuth_deg"], labels["U-030"]["azimuth_deg"]), (30, -30)
        )
        self.assertEqual(catalogue.labels("1+1+1"), [])

    def job(self):
        rules = [
            part_rule("Wall *", {"is": "wall", "build": "masonry"}),
            part_rule("Duct", {"is": "obstacle"}),
        ]
        return make_job(
            "Box",
            "room.glb",
            rules=rules,
            gear=[gear_at("rack", (0.6, 0.5, 1.0), (2.0, 4.7, 0.0), devices="amp: S1..S2")],
            ends=[end_at("left", (0.0, 1.0, 1.2))],
            runs=[run_between("S1", "amp.S1", "left", "speaker 2x2.5")],
        )

    def route(self, job):
        work = WorkFolder(self.folder / "out")
        parts = [
            GlbPart(name, [c for corner in corners for c in corner], [0, 1, 2, 0, 2, 3])
            for name, corners in support.box_room()
        ]
        write_glb(work.path / "room.glb", parts)
        work.write_job(job)
        routing = Routing(check_program(support.PROGRAM), work, effort="quick", drawings=False)
        routing.wait(120)
        return routing.finish()

    def test_a_room_is_routed_and_lengths_agree_with_the_list(self):
        result = self.route(self.job())
        rows = read_lengths(result.file("lengths.csv"))
        self.assertEqual([run.id for run in result.runs], ["S1"])
        run = result.runs[0]
        # Straight along the walls: 4.45 m forward to back and 2 m sideways, less the gear's own box.
        self.assertTrue(4.0 < run.drawn_m < 8.0, run.drawn_m)
        self.assertAlmostEqual(run.drawn_m, float(rows["S1"]["Drawn (m)"]), 4)
        self.assertAlmostEqual(run.cut_m, float(rows["S1"]["Cut (m)"]), 4)
        self.assertAlmostEqual(run.cut_m, run.drawn_m + sum(run.addends_m.values()), 9)
        self.assertEqual(read_result(self.folder / "out").runs, result.runs)
        self.assertIsNotNone(result.report())

    def test_a_run_follows_the_path_it_is_wanted_on(self):
        # Along the right wall at 0.7 m, then the back wall: by itself it goes the other way.
        way = [(4, 4.8, 0.7), (4, 0, 0.7), (0, 0, 0.7), (0, 1, 0.7)]
        job = self.job()
        job["runs"][0] = run_between("S1", "amp.S1", "left", "speaker 2x2.5", way=way)
        free, wanted = self.route(self.job()), self.route(job)

        def places(result):
            return [stretch["place"]["name"] for stretch in result.plan["runs"][0]["stretches"]]

        self.assertNotIn("Wall right", places(free))
        self.assertIn("Wall right", places(wanted))
        self.assertIn("Wall back", places(wanted))
        self.assertGreater(wanted.runs[0].drawn_m, 10)
        lines = [n for n in read_glb(wanted.file("runs.glb")) if n.name == "Run S1 centreline"]
        corners = list(zip(*(lines[0].points[axis::3] for axis in range(3))))
        heights = [z for x, y, z in corners if x > 3.9 and y < 4.96]
        self.assertTrue(heights, corners)
        for height in heights:
            self.assertAlmostEqual(height, 0.7, delta=0.01)
        self.assertTrue(any("wanted path" in text for text in wanted.warnings), wanted.warnings)

    def test_a_pattern_for_nothing_is_found_as_the_program_finds_it(self):
        job = self.job()
        here = unmatched_patterns(job, [name for name, _ in support.box_room()])
        self.assertEqual([entry["pattern"] for entry in here], ["Duct"])
        warned = [text for text in self.route(job).warnings if '"Duct"' in text]
        self.assertEqual(len(warned), 1)

    def test_its_stages_are_those_that_the_progress_bar_counts(self):
        work = WorkFolder(self.folder / "out")
        write_glb(
            work.path / "room.glb",
            [
                GlbPart(name, [c for corner in corners for c in corner], [0, 1, 2, 0, 2, 3])
                for name, corners in support.box_room()
            ],
        )
        work.write_job(self.job())
        arguments = ["route", str(work.job_path), "-o", str(work.result_path), "--progress"]
        _, _, told = ask_program(support.PROGRAM, arguments + ["--json"], 120)
        work.drop()
        self.assertEqual(told.splitlines(), [f"stage: {stage}" for stage in STAGES])

    def test_a_mistake_in_the_job_is_told_in_the_programs_words(self):
        job = self.job()
        job["runs"][0]["cable"] = "speeker 2x2.5"
        with self.assertRaises(Told) as raised:
            self.route(job)
        self.assertEqual(raised.exception.code, "job.cable")
        self.assertIn("speaker 2x2.5", raised.exception.remedy)


if __name__ == "__main__":
    unittest.main()
