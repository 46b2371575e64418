"""The program's runs as objects of the scene, in a collection of their own."""

import bpy

from .roomloom_files import read_glb
from .units import length_text, metres_per_unit, to_world

TAG = "roomloom_result"


def is_ours(thing):
    return thing.roomloom.kind == "RESULT"


def clear_result(scene):
    """Removes what the last routing drew, and nothing else: what a user put there is kept."""
    result = scene.roomloom.result
    tops = [c for c in bpy.data.collections if c.get(TAG) == scene.name]
    if result.collection is not None and result.collection not in tops:
        tops.append(result.collection)
    for top in tops:
        _clear_collection(scene, top)
    result.collection = None


def _clear_collection(scene, top):
    for collection in [*top.children_recursive, top]:
        for thing in list(collection.objects):
            if is_ours(thing):
                _remove(thing)
            else:
                collection.objects.unlink(thing)
                if not thing.users_collection:
                    scene.collection.objects.link(thing)
        for child in list(collection.children):
            if TAG not in child and child not in scene.collection.children_recursive:
                scene.collection.children.link(child)
        if TAG in collection:
            bpy.data.collections.remove(collection)


def _remove(thing):
    mesh = thing.data
    materials = [slot.material for slot in thing.material_slots if slot.material]
    bpy.data.objects.remove(thing)
    if mesh is not None and mesh.users == 0:
        bpy.data.meshes.remove(mesh)
    for material in materials:
        if material.users == 0 and TAG in material:
            bpy.data.materials.remove(material)


def _collection(name, whose, parent):
    collection = bpy.data.collections.new(name)
    collection[TAG] = whose
    parent.children.link(collection)
    return collection


def material_of(colour, name, made):
    if colour not in made:
        material = bpy.data.materials.new(name)
        material.diffuse_color = colour
        material.use_nodes = True
        shader = material.node_tree.nodes.get("Principled BSDF")
        if shader:
            shader.inputs["Base Color"].default_value = colour
            shader.inputs["Roughness"].default_value = 0.6
        made[colour] = material
    return made[colour]


def mesh_of(node, scale):
    mesh = bpy.data.meshes.new(node.name)
    x, y, z = (node.points[axis::3] for axis in range(3))
    points = [(a / scale, b / scale, c / scale) for a, b, c in zip(x, y, z)]
    corners = node.triangles
    faces = list(zip(corners[0::3], corners[1::3], corners[2::3]))
    edges = list(zip(node.lines[0::2], node.lines[1::2])) if not faces else []
    mesh.from_pydata(points, edges, faces)
    mesh.update()
    return mesh


def set_length(thing, key, value):
    """A custom property that Blender shows as a length in the scene's unit."""
    thing[key] = float(value)
    thing.id_properties_ui(key).update(subtype="DISTANCE", precision=3)


def _set_extras(thing, extras, scale):
    """What the program says of an object; lengths ("cut_m") in units of the scene ("cut")."""
    for key, value in extras.items():
        number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if key.endswith("_m") and number:
            set_length(thing, key[:-2], value / scale)
        elif isinstance(value, (str, int, float, bool)):
            thing[key] = value


def runs_file(result):
    return result.folder / "result" / "runs.glb"


def bring_in(scene, result):
    """Draws a result; returns the new collection. The older result is replaced.

    The file is read whole before anything is removed. Raises Told.
    """
    scale = metres_per_unit(scene)
    nodes = read_glb(runs_file(result))
    clear_result(scene)
    top = _collection("Roomloom result", scene.name, scene.collection)
    groups, things, materials = {}, {}, {}
    for index, node in enumerate(nodes):
        if node.parent < 0:
            continue
        if nodes[node.parent].parent < 0 and not node.triangles and not node.lines:
            groups[index] = _collection(node.name, "a group of it", top)
            continue
        group = groups.get(node.parent) or things.get(node.parent, (None, top))[1]
        thing = _object(node, scale, materials)
        group.objects.link(thing)
        things[index] = (thing, group)
        if node.parent in things:
            thing.parent = things[node.parent][0]
            thing.hide_viewport = thing.hide_render = True  # a line inside the tube
    scene.roomloom.result.collection = top
    return top


def _object(node, scale, materials):
    data = mesh_of(node, scale) if node.triangles or node.lines else None
    thing = bpy.data.objects.new(node.name, data)
    thing.roomloom.kind = "RESULT"
    if data is None:
        thing.location = [value / scale for value in node.points]
        thing.empty_display_size = 0.02 / scale
    elif node.colour is not None and node.triangles:
        name = "Roomloom " + str(node.extras.get("service", "parts"))
        data.materials.append(material_of(node.colour, name, materials))
        materials[node.colour][TAG] = True
        thing.color = node.colour
    _set_extras(thing, node.extras, scale)
    return thing


def fill_lists(scene, result):
    """The lists of runs and findings that the panels show."""
    ours = scene.roomloom.result
    ours.folder = str(result.folder)
    for rows in (ours.runs, ours.findings, ours.notes):
        rows.clear()
    objects = {}
    if ours.collection is not None:
        objects = {t["run"]: t for t in ours.collection.all_objects if "run" in t.keys()}
    for run in result.runs:
        row = ours.runs.add()
        row.name, row.cable, row.routed = run.id, run.cable, run.routed
        row["drawn_m"], row["cut_m"] = run.drawn_m, run.cut_m
        row.told = "Blocked by " + ", ".join(run.blockers) if run.blockers else ""
        row.object = objects.get(run.id)
    for finding in result.findings:
        row = ours.findings.add()
        row.name, row.check, row.level = finding.subject, finding.id, finding.level
        row.text, row.remedy = finding.text, finding.remedy
        row.has_place = finding.where is not None
        row.at_m = finding.where or (0, 0, 0)
    for guess in result.guesses:
        row = ours.notes.add()
        row.text = f"{guess.get('what', '')}: {guess.get('value', '')}"
        row.remedy = str(guess.get("overrule", ""))
    for warning in result.warnings:
        ours.notes.add().text = warning
    ours.summary = _summary(scene, result)


def _summary(scene, result):
    routed = [run for run in result.runs if run.routed]
    total = length_text(scene, sum(run.cut_m for run in routed))
    text = f"{len(routed)} of {len(result.runs)} runs, {total} of cable"
    if result.gap is not None:
        text += f", at most {100 * result.gap:.1f} % above the least possible"
    return text


def place_of(scene, row):
    """Where a finding is, in the world."""
    return to_world(scene, row.at_m)
