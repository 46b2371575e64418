"""The example script does what it says; run in a FreeCAD of its own, since it ends its host."""

import csv
import os
import pathlib
import shutil
import subprocess
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD

import roomloom_freecad
import support

EXAMPLE = pathlib.Path(roomloom_freecad.__file__).parents[1] / "examples" / "route_document.py"
HOST = shutil.which("freecadcmd") or shutil.which("FreeCADCmd")


class Example(support.InFreeCAD):
    def run_example(self, document=""):
        environment = {**os.environ, "ROOMLOOM_DOCUMENT": document}
        environment["PATH"] = f"{pathlib.Path(support.PROGRAM).parent}:{os.environ['PATH']}"
        support.use_program("")
        FreeCAD.saveParameter()
        return subprocess.run(
            [HOST, str(EXAMPLE)],
            env=environment,
            cwd=str(self.folder),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            timeout=200,
            check=False,
        )

    def test_it_builds_routes_saves_and_prints_a_cut_list(self):
        done = self.run_example()
        self.assertEqual(done.returncode, 0, done.stderr)
        saved = self.folder / "reading-room-routed.FCStd"
        document = FreeCAD.openDocument(str(saved))
        runs = roomloom_freecad.result_runs(document)
        self.assertEqual(len(runs), 7)
        lists = self.folder / "reading-room-routed-roomloom" / "result" / "lengths.csv"
        with open(lists, newline="", encoding="utf-8") as file:
            rows = {row["Run"]: row for row in csv.DictReader(file)}
        text = done.stdout.decode("utf-8", "replace")
        for run in runs:
            self.assertAlmostEqual(float(run.Cut) / 1000, float(rows[run.RunId]["Cut (m)"]), 4)
            self.assertIn(f"{run.Cut.UserString}", text)

    def test_a_document_that_cannot_be_routed_is_told_with_status_2(self):
        support.build_room(self.document)
        path = self.folder / "bare.FCStd"
        self.document.saveAs(str(path))
        done = self.run_example(str(path))
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"There are no runs to route", done.stderr)


support.run(sys.modules[__name__])
