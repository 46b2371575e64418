"""Reads the written runs as named, coloured shapes, each checked against what the plan says."""

from dataclasses import dataclass

import Part

from . import step_structure

LENGTH_TOLERANCE_MM = 0.1


@dataclass
class NamedShape:
    """One shape of the result, in the document's own coordinates."""

    group: str  # "Runs", "Raceway", "Crossings", "Supports", "Labels"
    name: str  # "Run S1", "Run S1 centreline", "Hole H1" ...
    colour: tuple  # red, green, blue from 0 to 1, or None
    shape: object  # Part.Shape


def _pair(item, shape, found, group=""):
    """Walks names and shapes together; they must agree all the way down."""
    if not item.members:
        found.append(NamedShape(group, item.name, item.colour, shape))
        return
    members = shape.SubShapes
    if shape.ShapeType != "Compound" or len(members) != len(item.members):
        raise step_structure.StructureError(
            f'"{item.name}" should hold {len(item.members)} shapes and holds {len(members)}'
        )
    for below, member in zip(item.members, members):
        _pair(below, member, found, item.name)


def _check_kind(named):
    line = named.name.endswith(" centreline")
    if named.group == "Runs" and line and (named.shape.Faces or not named.shape.Edges):
        raise step_structure.StructureError(f'"{named.name}" is no line')
    if named.group in ("Runs", "Raceway") and not line and not named.shape.Solids:
        raise step_structure.StructureError(f'"{named.name}" is no solid')


def length_mm(shape):
    """Of all edges together."""
    return sum(edge.Length for edge in shape.Edges)


def read_shapes(path):
    """All shapes of a written STEP file. Raises StructureError with words for the user."""
    text = path.read_text(encoding="utf-8", errors="replace")
    roots = step_structure.read_structure(text)
    if len(roots) != 1:
        raise step_structure.StructureError(f"it has {len(roots)} roots, not one")
    shape = Part.Shape()
    try:
        shape.read(str(path))
    except Exception as problem:  # FreeCAD raises several kinds, with no common base
        raise step_structure.StructureError("FreeCAD cannot read its shapes") from problem
    found = []
    _pair(roots[0], shape, found)
    for named in found:
        _check_kind(named)
    return found


def check_lengths(shapes, drawn_mm):
    """Each run's centreline must be as long as the plan says. drawn_mm: run id -> length."""
    lines = {named.name: named for named in shapes if named.name.endswith(" centreline")}
    for run, length in drawn_mm.items():
        line = lines.get(f"Run {run} centreline")
        if line is None:
            raise step_structure.StructureError(f"run {run} is missing")
        if abs(length_mm(line.shape) - length) > LENGTH_TOLERANCE_MM:
            raise step_structure.StructureError(
                f"run {run} measures {length_mm(line.shape):.1f} mm and should be {length:.1f} mm"
            )
