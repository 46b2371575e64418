"""For the tests that run inside FreeCAD: a small room built with its own means, and pretenders.

The room is of our own invention: 4 m by 5 m, 2.9 m to the deck, tiles at 2.5 m.
"""

import csv
import os
import pathlib
import shutil
import stat
import sys
import tempfile
import textwrap
import unittest

import FreeCAD
from FreeCAD import Vector

import roomloom_freecad as roomloom
from roomloom_freecad import marks, routing, things

PROGRAM = os.environ["ROOMLOOM_PROGRAM"]
DATA = pathlib.Path(os.environ.get("ROOMLOOM_SHARED_DATA", "/nonexistent"))
FOLDER = pathlib.Path(os.environ["ROOMLOOM_TEST_FOLDER"])
WIDTH, DEPTH, DECK, TILES = 4000, 5000, 2900, 2500


def use_program(path):
    """Says in FreeCAD's preferences where the program is."""
    FreeCAD.ParamGet(routing.PARAMETERS).SetString("Program", str(path))


def add_box(document, label, low, high):
    """A box between two corners, with FreeCAD's own object."""
    box = document.addObject("Part::Box", "Box")
    box.Label = label
    box.Length, box.Width, box.Height = (b - a for a, b in zip(low, high))
    box.Placement.Base = Vector(*low)
    return box


def build_room(document):
    """Label -> object: floor, deck, tiles and four walls."""
    w, d = WIDTH, DEPTH
    corners = {
        "Wall front": ((-100, d, 0), (w + 100, d + 100, DECK)),
        "Wall back": ((-100, -100, 0), (w + 100, 0, DECK)),
        "Wall left": ((-100, 0, 0), (0, d, DECK)),
        "Wall right": ((w, 0, 0), (w + 100, d, DECK)),
        "Floor": ((-100, -100, -150), (w + 100, d + 100, 0)),
        "Deck": ((-100, -100, DECK), (w + 100, d + 100, DECK + 150)),
        "Tiles": ((0, 0, TILES), (w, d, TILES + 15)),
    }
    made = {label: add_box(document, label, *box) for label, box in corners.items()}
    document.recompute()
    return made


def mark_room(room):
    for label, thing in room.items():
        if label.startswith("Wall"):
            marks.mark(thing, "wall", build="masonry")
    marks.mark(room["Floor"], "floor")
    marks.mark(room["Deck"], "deck")
    marks.mark(
        room["Tiles"], "suspended ceiling", tile=(600, 600), tile_origin=(0, 100), handles_air=False
    )


def place_gear_and_ends(document):
    """Gear at the front wall, four ends, a run to each."""
    gear = roomloom.make_gear(
        document,
        "rack",
        (2000, DEPTH - 325, 0),
        (600, 450, 1000),
        (0, -1),
        Devices=["amplifier: S1..S12", "switch: 1..4"],
    )
    ends = {
        "left": roomloom.make_end(document, "left", (0, 1500, 2200)),
        "right": roomloom.make_end(document, "right", (WIDTH, 1500, 2200)),
        "above": roomloom.make_end(document, "above", (1000, 2000, TILES)),
        "desk": roomloom.make_end(document, "desk", (1200, 0, 300)),
    }
    runs = {}
    for number, label in enumerate(("left", "right", "above"), 1):
        runs[f"S{number}"] = roomloom.make_run(
            document, f"S{number}", (gear, f"amplifier.S{number}"), ends[label], "speaker 2x2.5"
        )
    runs["N1"] = roomloom.make_run(document, "N1", (gear, "switch.1"), ends["desk"], "cat6")
    return gear, ends, runs


def facts_of(thing):
    """What must not change about an object of the user's."""
    view = getattr(thing, "ViewObject", None)
    return (
        thing.Label,
        thing.TypeId,
        str(getattr(thing, "Placement", "")),
        thing.Visibility,
        tuple(thing.PropertiesList),
        # Groups make their shape anew each time they are asked.
        thing.Shape.hashCode() if thing.isDerivedFrom("Part::Feature") else 0,
        round(thing.Shape.Volume, 3) if hasattr(thing, "Shape") else 0,
        tuple(view.ShapeColor) if view and hasattr(view, "ShapeColor") else (),
        repr(marks.mark_of(thing)),
    )


def lengths_csv(folder):
    """Run -> row of the written cut list."""
    path = pathlib.Path(folder) / "result" / "lengths.csv"
    with open(path, newline="", encoding="utf-8-sig") as file:
        return {row["Run"]: row for row in csv.DictReader(file)}


def pretend_program(folder, body, version="0.1.0"):
    """A program that says it is roomloom of some version, and does `body` when asked to route.

    In `body`, `out` is the folder of the result and `arguments` the program's own arguments.
    """
    path = pathlib.Path(folder) / "roomloom"
    text = (
        textwrap.dedent(
            """\
        #!/usr/bin/env python3
        import os, pathlib, subprocess, sys, time
        arguments = sys.argv[1:]
        if arguments == ["--version"]:
            print("roomloom %s")
            sys.exit(0)
        if arguments[0] != "route":
            os.execv(%r, [%r, *arguments])
        out = pathlib.Path(arguments[arguments.index("-o") + 1])
        real = %r
        """
        )
        % (version, PROGRAM, PROGRAM, PROGRAM)
    )
    path.write_text(text + textwrap.dedent(body), encoding="utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


class InFreeCAD(unittest.TestCase):
    """Each test has an empty document with undo, an empty folder, and the true program."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="test-", dir=FOLDER))
        use_program(PROGRAM)
        FreeCAD.Units.setSchema(0)
        self.document = FreeCAD.newDocument("Room")
        self.document.UndoMode = 1

    def tearDown(self):
        for name in list(FreeCAD.listDocuments()):
            FreeCAD.closeDocument(name)
        shutil.rmtree(self.folder, ignore_errors=True)

    def whole_room(self):
        """The room, marked, with gear, ends and runs; results go into the test's folder."""
        self.room = build_room(self.document)
        with things.Step(self.document, "Mark parts"):
            mark_room(self.room)
        with things.Step(self.document, "Place"):
            self.gear, self.ends, self.runs = place_gear_and_ends(self.document)
            plan = things.plan_of(self.document)
            plan.Effort = "quick"
            plan.ResultFolder = str(self.folder / "result")

    def route(self):
        return roomloom.route_and_wait(self.document, 300, drawings=False)

    def told(self, function):
        """The Told that a call must raise."""
        with self.assertRaises(roomloom.Told) as caught:
            function()
        return caught.exception


def run(module):
    """Runs a module's tests and leaves the status where run_in_freecad.py looks for it."""
    result = None
    try:
        suite = unittest.defaultTestLoader.loadTestsFromModule(module)
        # FreeCAD swallows what goes through Python's own standard error.
        with open(FOLDER / "report.txt", "w", encoding="utf-8") as report:
            result = unittest.TextTestRunner(report, verbosity=2).run(suite)
        os.write(2, (FOLDER / "report.txt").read_bytes())
        if result.testsRun and result.testsRun == len(result.skipped):
            status = 77
        else:
            status = 0 if result.wasSuccessful() and result.testsRun else 1
    except BaseException as problem:  # pylint: disable=broad-except
        os.write(2, f"{type(problem).__name__}: {problem}\n".encode())
        status = 1
    pathlib.Path(os.environ["ROOMLOOM_TEST_STATUS"]).write_text(str(status), encoding="utf-8")
    sys.stdout.flush()
    os._exit(status)
