"""ROOMLOOM_SAMPLES=FOLDER freecadcmd freecad_reads.py

Imports the written STEP samples into FreeCAD and measures there: names, valid solids, volumes,
lengths of the centrelines. FreeCAD ends with status 0 after an uncaught exception, hence the exits.
"""

import json
import os
import pathlib
import sys
import traceback

import FreeCAD
import Import

MM = 1000.0


def check(condition, message):
    if not condition:
        raise AssertionError(message)


def imported(file):
    document = FreeCAD.newDocument()
    # Without merge=False FreeCAD 0.20 crashes here when it has no window.
    Import.insert(name=str(file), docName=document.Name, merge=False)
    return document


def with_shape(document, name, file):
    found = [thing for thing in document.Objects
             if thing.Label == name and hasattr(thing, "Shape") and not thing.Shape.isNull()]
    check(found, f"{file}: {name} is missing")
    return found[0].Shape


def label_of(item, items):
    """FreeCAD 0.20 joins a group and its only member into one object, named like the group."""
    alone = sum(other["group"] == item["group"] for other in items) == 1
    return item["group"] if alone and "length_m" not in item else item["name"]


def check_step(file, items):
    document = imported(file)
    for item in items:
        shape = with_shape(document, label_of(item, items), file)
        check(shape.isValid(), f"{file}: {item['name']} is not valid")
        if "length_m" not in item:
            continue
        solids = item.get("solids", 1)
        check(len(shape.Solids) == solids, f"{file}: {item['name']} has {len(shape.Solids)} solids")
        volume = shape.Volume / MM ** 3
        check(abs(volume / item["volume_m3"] - 1) < (1e-6 if solids == 1 else 1e-3),
              f"{file}: {item['name']} holds {volume}, not {item['volume_m3']}")
        line = with_shape(document, item["name"] + " centreline", file)
        length = sum(edge.Length for edge in line.Edges) / MM
        check(abs(length - item["length_m"]) < 1e-6,
              f"{file}: {item['name']} measures {length}, not {item['length_m']}")
    FreeCAD.closeDocument(document.Name)


def main():
    folder = pathlib.Path(os.environ["ROOMLOOM_SAMPLES"])
    results = sorted(file.parent for file in folder.glob("*/routed.step"))
    check(results, f"{folder} holds no results")
    for result in results:
        own = result / "expected.json"
        expected = own if own.exists() else folder / "expected.json"
        items = json.loads(expected.read_text(encoding="utf-8"))
        check_step(result / "routed.step", items)
        check_step(result / "runs.step", items)
    print("everything found", flush=True)


try:
    main()
except BaseException:  # pylint: disable=broad-except
    traceback.print_exc()
    sys.stderr.flush()
    os._exit(1)
os._exit(0)
