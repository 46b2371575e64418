"""blender -b --python-exit-code 1 --python blender_reads.py -- FOLDER

Imports the written samples into Blender and looks for what must be there: names, custom
properties, groups, and the length of each centreline.
"""

import json
import pathlib
import sys

import bpy
import numpy

if not hasattr(numpy, "bool"):  # Blender 3.4 with a newer numpy: its importer asks for numpy.bool
    numpy.bool = bool

# Blender holds coordinates in 32 bits: a metre has steps of 0.1 micrometres, a run some hundred.
LENGTH_TOLERANCE_M = 5e-5


def empty_scene():
    bpy.ops.wm.read_factory_settings(use_empty=True)


def edge_length(thing):
    points = [thing.matrix_world @ vertex.co for vertex in thing.data.vertices]
    return sum((points[a] - points[b]).length for a, b in (edge.vertices for edge in thing.data.edges))


def check(condition, message):
    if not condition:
        raise AssertionError(message)


def check_length(item, thing, file):
    if "length_m" in item:
        measured = edge_length(thing)
        check(abs(measured - item["length_m"]) < LENGTH_TOLERANCE_M,
              f"{file}: {thing.name} measures {measured}, not {item['length_m']}")


def check_glb(file, items):
    empty_scene()
    bpy.ops.import_scene.gltf(filepath=str(file))
    things = bpy.data.objects
    check("Roomloom" in things, f"{file}: no root Roomloom")
    for item in items:
        check(item["name"] in things, f"{file}: {item['name']} is missing")
        thing = things[item["name"]]
        check(thing.parent.name == item["group"], f"{file}: {thing.name} is in {thing.parent.name}")
        check(thing.parent.parent.name == "Roomloom", f"{file}: {thing.parent.name} has no root")
        for key, value in item["extras"].items():
            check(thing.get(key) == value, f"{file}: {thing.name}[{key}] is {thing.get(key)!r}")
        if "length_m" in item:
            check_length(item, things[item["name"] + " centreline"], file)


def check_obj(file, items):
    empty_scene()
    bpy.ops.wm.obj_import(filepath=str(file))
    things = bpy.data.objects
    for item in items:
        check(item["obj_name"] in things, f"{file}: {item['obj_name']} is missing")
        if "length_m" in item:
            check_length(item, things[item["obj_name"] + "_centreline"], file)


def main():
    folder = pathlib.Path(sys.argv[sys.argv.index("--") + 1])
    results = sorted(file.parent for file in folder.glob("*/routed.glb"))
    check(results, f"{folder} holds no results")
    for result in results:
        own = result / "expected.json"
        expected = own if own.exists() else folder / "expected.json"
        items = json.loads(expected.read_text(encoding="utf-8"))
        check_glb(result / "routed.glb", items)
        check_glb(result / "runs.glb", items)
        check_obj(result / "routed.obj", items)
    print("everything found")


main()
