"""Opens a room's model with every part an object of its own, named and coloured.

FreeCAD itself joins all of a STEP file into one grey object (with its usual settings), all of an OBJ
file into one mesh taken for millimetres, and does not read GLB: nothing of that could be marked.
"""

import pathlib

import FreeCAD
import Mesh
import Part
from FreeCAD import Vector

from roomloom_files import FIELDS_OF, Told, read_glb

from . import marks, obj_text, parts, survey, things

FORMATS = {".step": "STEP", ".stp": "STEP", ".obj": "OBJ", ".glb": "GLB"}


class _Groups:
    """Groups of the document, made as parts ask for them by the labels above them."""

    def __init__(self, document, label):
        self.document = document
        self.top = document.addObject("App::DocumentObjectGroup", "Room")
        self.top.Label = label
        self.made = {(): self.top}

    def under(self, labels):
        labels = tuple(labels)
        if labels not in self.made:
            group = self.document.addObject("App::DocumentObjectGroup", "Group")
            group.Label = labels[-1]
            self.under(labels[:-1]).addObject(group)
            self.made[labels] = group
        return self.made[labels]


def _add(document, groups, labels, name, shape, colour):
    """A part: a Part.Shape or a Mesh.Mesh, under the groups of those labels."""
    kind = "Mesh::Feature" if isinstance(shape, Mesh.Mesh) else "Part::Feature"
    thing = document.addObject(kind, "Part")
    thing.Label = name or "Part"
    setattr(thing, "Mesh" if kind == "Mesh::Feature" else "Shape", shape)
    thing.purgeTouched()
    if colour is not None and getattr(thing, "ViewObject", None) is not None:
        thing.ViewObject.ShapeColor = tuple(colour[:3])
    groups.under(labels).addObject(thing)
    return thing


def open_room(document, path):
    """Brings the model at `path` into the document, as one undoable step.

    Returns the group that holds it. Raises Told: model.format, model.missing, glb.broken, obj.broken
    or what the program says of an OBJ file's unit and up axis.
    """
    path = pathlib.Path(path)
    kind = FORMATS.get(path.suffix.lower())
    if kind is None:
        raise Told(
            "model.format",
            "Only STEP, OBJ and GLB can be opened.",
            str(path),
            "FreeCAD's own File > Open reads other formats.",
        )
    if not path.is_file():
        raise Told("model.missing", "There is no such file.", str(path))
    opener = {"STEP": _step, "OBJ": _obj, "GLB": _glb}[kind]
    found = list(opener(path))
    if not found:
        raise Told("model.empty", "The model holds no parts.", str(path))
    # Only now: FreeCAD ends a step when another document opens or closes, and reading does both.
    with things.Step(document, "Open a room"):
        groups = _Groups(document, path.stem)
        for labels, name, shape, colour, extras in found:
            thing = _add(document, groups, labels, name, shape, colour)
            _mark_from(thing, extras)
    return groups.top


# A GLB's extras, as the program's `sketch` writes them -> our field, and how its text is split.
_SAID = {
    "build": ("build", None),
    "swing": ("swing", None),
    "clearance": ("clearance", None),
    "inside_diameter": ("inside", None),
    "tile": ("tile", " x "),
    "grid_from": ("tile_origin", ", "),
}


def _mark_from(thing, extras):
    """Marks a part as the model itself says; texts that FreeCAD cannot read are left out."""
    role = extras.get("is")
    if role not in FIELDS_OF or role == "marker":
        return
    marks.mark(thing, role)
    for key, (field, split) in _SAID.items():
        if key not in extras or field not in FIELDS_OF[role]:
            continue
        value = extras[key].split(split) if split else extras[key]
        try:
            marks.mark(thing, role, **{field: value})
        except (ValueError, TypeError, IndexError):
            FreeCAD.Console.PrintWarning(f"Roomloom: {thing.Label}: {key} {value} is not known\n")


# --- each yields (labels of the groups above, name, shape or mesh, colour or None, extras)


def _step(path):
    if FreeCAD.GuiUp:
        import ImportGui as reader  # pylint: disable=import-outside-toplevel
    else:
        import Import as reader  # pylint: disable=import-outside-toplevel
    active = FreeCAD.ActiveDocument
    scratch = FreeCAD.newDocument("RoomloomImport", "RoomloomImport", True, True)
    found = []
    try:
        reader.insert(name=str(path), docName=scratch.Name, merge=False)
        for root, thing, below, _ in parts.walk(scratch):
            if parts.is_only_input(thing):
                continue
            shape = Part.getShape(root, below)
            if not shape.isNull():
                view = getattr(thing, "ViewObject", None)
                colour = getattr(view, "ShapeColor", None) if view is not None else None
                found.append((_labels_above(root, below), thing.Label, shape.copy(), colour, {}))
    except Exception as problem:  # FreeCAD raises several kinds, with no common base
        raise Told("model.step", "FreeCAD cannot read this STEP file.", str(path)) from problem
    finally:
        FreeCAD.closeDocument(scratch.Name)
        if active is not None:
            FreeCAD.setActiveDocument(active.Name)
    return found


def _labels_above(root, path):
    steps = path.split(".")[:-2] if path else []
    labels = [root.Label] if path else []
    for i in range(len(steps)):
        labels.append(root.getSubObject(".".join(steps[: i + 1]) + ".", 1).Label)
    return labels


def _vectors(numbers):
    """x, y, z one after the other in metres, as points in mm."""
    return [
        Vector(*(1000.0 * value for value in numbers[i : i + 3])) for i in range(0, len(numbers), 3)
    ]


def _solid_or_line(points, triangles, lines):
    if triangles:
        return Mesh.Mesh((points, triangles))
    if lines:
        return (
            Part.makePolygon(points)
            if len(lines) == len(points) - 1
            else Part.Compound(
                [Part.makeLine(points[a], points[b]) for a, b in lines if points[a] != points[b]]
            )
        )
    return Part.Vertex(points[0])


def _glb(path):
    nodes = read_glb(path)
    parents = {node.parent for node in nodes}
    for index, node in enumerate(nodes):
        if index in parents and not node.triangles and not node.lines:
            continue
        labels, above = [], node.parent
        while above >= 0:
            labels.insert(0, nodes[above].name or "Group")
            above = nodes[above].parent
        triangles = [tuple(node.triangles[i : i + 3]) for i in range(0, len(node.triangles), 3)]
        lines = [tuple(node.lines[i : i + 2]) for i in range(0, len(node.lines), 2)]
        shape = _solid_or_line(_vectors(node.points), triangles, lines)
        yield labels, node.name, shape, node.colour, node.extras


def _obj(path):
    said = survey.ask(path)["model"]
    unit_m, y_up = float(said["unit_m"]), said["up"] == "y"
    for part in obj_text.read(path):
        points = [(x, -z, y) if y_up else (x, y, z) for x, y, z in part.points]
        flat = [unit_m * value for point in points for value in point]
        yield [], part.name, _solid_or_line(
            _vectors(flat), part.triangles, part.lines
        ), part.colour, {}
