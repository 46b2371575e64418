"""Routes a saved document without a window, and prints the cut list.

    ROOMLOOM_DOCUMENT=room.FCStd freecadcmd route_document.py

Writes room-routed.FCStd beside it, and room-routed-roomloom/ with all lists. Without a document, it
builds a small room of our own invention first, so that the script also shows how to mark and place.
FreeCAD takes every further word of its command line for a file to open, hence the variable; and it
ends with status 0 even after an error, hence the last line.
"""

import os
import sys
import traceback

import FreeCAD
from FreeCAD import Vector

import roomloom_freecad as roomloom

WIDTH, DEPTH, TILES, DECK = 3600, 4800, 2400, 2800  # mm


def box(document, label, low, high):
    """A box between two corners."""
    made = document.addObject("Part::Box", "Box")
    made.Label = label
    made.Length, made.Width, made.Height = (b - a for a, b in zip(low, high))
    made.Placement.Base = Vector(*low)
    return made


def build():
    """A room with tiles, marked, with a rack, a 2+5+0 layout and a run to each loudspeaker."""
    document = FreeCAD.newDocument("Reading room")
    w, d = WIDTH, DEPTH
    walls = [
        box(document, "Wall front", (-100, d, 0), (w + 100, d + 100, DECK)),
        box(document, "Wall back", (-100, -100, 0), (w + 100, 0, DECK)),
        box(document, "Wall left", (-100, 0, 0), (0, d, DECK)),
        box(document, "Wall right", (w, 0, 0), (w + 100, d, DECK)),
    ]
    floor = box(document, "Floor", (-100, -100, -150), (w + 100, d + 100, 0))
    deck = box(document, "Deck", (-100, -100, DECK), (w + 100, d + 100, DECK + 150))
    tiles = box(document, "Tiles", (0, 0, TILES), (w, d, TILES + 15))
    document.recompute()
    for wall in walls:
        roomloom.mark(wall, "wall", build="masonry")
    roomloom.mark(floor, "floor")
    roomloom.mark(deck, "deck")
    roomloom.mark(tiles, "suspended ceiling", tile=(600, 600), handles_air=False)
    rack = roomloom.make_gear(
        document, "rack", (w / 2, d - 325, 0), (600, 450, 900), (0, -1), Devices=["amp: S1..S9"]
    )
    listener = roomloom.make_listener(document, (w / 2, 2200, 1150), "2+5+0")
    labels = roomloom.read_catalogue(roomloom.program().path).labels("2+5+0")
    for number, end in enumerate(roomloom.place_layout(document, listener, labels), 1):
        roomloom.make_run(document, f"S{number}", (rack, f"amp.S{number}"), end, "speaker 2x1.5")
    roomloom.need_plan(document).Effort = "quick"
    return document


def main():
    """Opens or builds, routes, saves under another name."""
    path = os.environ.get("ROOMLOOM_DOCUMENT", "")
    document = FreeCAD.openDocument(path) if path else build()
    path = path or os.path.join(os.getcwd(), "reading-room.FCStd")
    document.saveAs(os.path.splitext(path)[0] + "-routed.FCStd")
    try:
        result = roomloom.route_and_wait(document)
    except roomloom.Told as told:
        print(told.text(), file=sys.stderr)
        return 2
    document.save()
    print("")
    for run in roomloom.result_runs(document):
        print(f"{run.RunId:6} {run.From:14} {run.To:10} {run.Cut.UserString}")
    for line in [*result.NotRouted, *result.Unmatched]:
        print(line)
    print("Everything is in", result.Folder)
    return 1 if result.NotRouted else 0


try:
    STATUS = main()
except Exception:  # pylint: disable=broad-except
    traceback.print_exc()
    STATUS = 3
sys.stdout.flush()
os._exit(STATUS)
