"""Makes the picture of the workbench for the README: Alder Hall, marked and routed in FreeCAD.

    python3 run_in_freecad.py FOLDER make_picture.py xvfb-run freecad

leaves FOLDER/picture.png. Not a test; it is kept so that the picture can be made again.
"""

import json
import os
import pathlib
import sys
import time

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import FreeCAD
import FreeCADGui as Gui
from PySide import QtCore, QtGui

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks, results, things
from roomloom_freecad.gui import view
from roomloom_freecad.gui.result_panel import ResultPanel

HALL = pathlib.Path(os.environ["ROOMLOOM_REPOSITORY"]) / "models" / "alder-hall"
HIDDEN = ("Wall right", "Wall back", "Slab above", "Ceiling tiles", "Curtain front", "Door")


def turn(seconds):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        QtGui.QApplication.processEvents()
        time.sleep(0.01)


def mark_as_in_the_job(document):
    """The demo job's own rules, by its patterns."""
    job = json.loads((HALL / "job.json").read_text(encoding="utf-8"))
    from roomloom_files import matches_pattern  # pylint: disable=import-outside-toplevel

    for thing in document.Objects:
        for rule in job["parts"]:
            if matches_pattern(rule["match"], thing.Label):
                said = {k: v for k, v in rule.items() if k in ("build", "hides", "handles_air")}
                if rule["is"] == "suspended ceiling":
                    said.update(tile=(600, 600), tile_origin=(0, 400))
                said.pop("hides", None) if rule["is"] not in ("curtain", "cupboard") else None
                marks.mark(thing, rule["is"], **said)
                break


def wire(document):
    """A rack at the front, 4+5+0 round the middle seat, two subwoofers, a network outlet."""
    rack = roomloom.make_gear(
        document,
        "rack",
        (2100, 5275, 0),
        (1600, 450, 600),
        (0, -1),
        Devices=["amplifier: S1..S9, LFE1, LFE2", "switch: 1..8"],
    )
    listener = roomloom.make_listener(document, (2100, 2500, 1200))
    labels = roomloom.read_catalogue(roomloom.program().path).labels("4+5+0")
    for number, end in enumerate(roomloom.place_layout(document, listener, labels), 1):
        roomloom.make_run(
            document, f"S{number}", (rack, f"amplifier.S{number}"), end, "speaker 2x2.5"
        )
    for number, (label, at) in enumerate(
        {"sub left": (450, 5300, 200), "sub right": (3750, 5300, 200)}.items(), 1
    ):
        end = roomloom.make_end(document, label, at, Mount="on floor")
        roomloom.make_run(
            document, f"W{number}", (rack, f"amplifier.LFE{number}"), end, "line coax"
        )
    desk = roomloom.make_end(document, "desk", (1600, 0, 300))
    roomloom.make_run(document, "N1", (rack, "switch.1"), desk, "cat6")


def picture():
    """Everything from the empty document to the saved screen."""
    support.use_program(support.PROGRAM)
    Gui.activateWorkbench("RoomloomWorkbench")
    Gui.getMainWindow().showMaximized()
    document = FreeCAD.newDocument("Alder Hall")
    roomloom.open_room(document, HALL / "alder-hall.step")
    mark_as_in_the_job(document)
    wire(document)
    plan = things.plan_of(document)
    plan.ResultFolder = str(support.FOLDER / "picture-result")
    roomloom.route_and_wait(document)
    for thing in document.Objects:
        if thing.Label in HIDDEN:
            thing.Visibility = False
        elif marks.role_of(thing) in ("wall", "floor"):
            thing.ViewObject.ShapeColor = (0.93, 0.92, 0.89)
        elif marks.role_of(thing):
            thing.ViewObject.ShapeColor = (0.80, 0.79, 0.76)
    Gui.Control.showDialog(ResultPanel(document))
    turn(1)
    front = view.active_view()
    front.viewIsometric()
    front.fitAll()
    camera = front.getCameraNode()
    camera.height.setValue(0.72 * camera.height.getValue())
    turn(1)
    Gui.Selection.clearSelection()
    turn(1)
    picture_file = support.FOLDER / "picture.png"
    QtGui.QApplication.primaryScreen().grabWindow(0).save(str(picture_file))
    print(len(results.result_runs(document)), "runs", list(results.result_of(document).NotRouted))


def main():
    try:
        picture()
        status = 0
    except BaseException:  # pylint: disable=broad-except
        import traceback  # pylint: disable=import-outside-toplevel

        os.write(2, traceback.format_exc().encode())
        status = 1
    pathlib.Path(os.environ["ROOMLOOM_TEST_STATUS"]).write_text(str(status), encoding="utf-8")
    sys.stdout.flush()
    os._exit(status)


QtCore.QTimer.singleShot(2500, main)
