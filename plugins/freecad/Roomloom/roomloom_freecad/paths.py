"""A line that the user draws for a run, and what of it the program can be asked for.

A job can name the parts that a run passes and those that it keeps out of, not points. So a run with a
wanted path passes the surfaces that the line follows, in the line's order, and no others: it takes
the drawn way over the room's faces, though the program still chooses the height on each face, where
runs share raceway and holes. How far the routed run stays from the line is measured and told.
"""

import FreeCAD
import Part
from FreeCAD import Vector

from roomloom_files import Told, via_along

STEP_MM = 50.0
REACH_MM = 150.0  # the line lies at a part that is no farther away than this
_SHEETS = (
    "wall",
    "floor",
    "ceiling",
    "suspended ceiling",
    "deck",
    "conduit",
    "cupboard",
    "furniture",
)
_KEPT_OUT_OF = ("wall", "ceiling", "suspended ceiling", "floor")
_PLENUM = "plenum*"  # what the program calls the voids above suspended ceilings


def line_points(line, step_mm=STEP_MM):
    """Points along a drawn line, in mm, from its start to its end."""
    shape = Part.getShape(line)
    if not shape.Edges:
        raise Told(
            "job.path",
            "The wanted path is no line.",
            line.Label,
            "Draw a wire, a spline or a sketch.",
        )
    points = []
    for edge in Part.sortEdges(shape.Edges)[0]:
        count = max(2, int(edge.Length / step_mm) + 1)
        found = edge.discretize(count)
        if edge.Orientation == "Reversed":
            found = found[::-1]
        points += found if not points else found[1:]
    return points


def _sheets(parts):
    return [
        part
        for part in parts
        if part.mark and part.mark["is"] in _SHEETS and part.surface() is not None
    ]


def nearest_part(parts, at, reach_mm=REACH_MM):
    """The sheet part at a point (Vector, mm), or None where there is none within reach."""
    vertex = Part.Vertex(at)
    best, found = reach_mm, None
    for part in _sheets(parts):
        box = FreeCAD.BoundBox(part.box())
        box.enlarge(reach_mm)
        if box.isInside(at):
            away = part.surface().distToShape(vertex)[0]
            if away < best:
                best, found = away, part
    return found


def _from_start(points, run):
    """The line in the run's direction."""
    start = run.From.getGlobalPlacement().Base if run.From else None
    if start is None or (points[0] - start).Length <= (points[-1] - start).Length:
        return points
    return points[::-1]


def _at_ends(run, parts):
    """Names of the parts that the run's ends are at: those are never kept out of."""
    found = set()
    for thing in (run.From, run.To):
        if thing is not None:
            part = nearest_part(parts, thing.getGlobalPlacement().Base, 2 * REACH_MM)
            found |= {part.name} if part else set()
    return found


def _goes_above_tiles(points, parts):
    """Whether part of the line lies higher than a suspended ceiling."""
    tops = [part.box().ZMax for part in _sheets(parts) if part.mark["is"] == "suspended ceiling"]
    return bool(tops) and max(point.z for point in points) > min(tops)


def ways_along(run, parts):
    """(names to pass in order, names to keep out of) for a run with a wanted path."""
    points = _from_start(line_points(run.WantedPath), run)

    def name_at(point):
        part = nearest_part(parts, Vector(*point))
        return part.name if part else None

    passed = via_along([tuple(point) for point in points], name_at)
    if not passed:
        raise Told(
            "job.path",
            "The wanted path lies at no marked part of the room.",
            run.WantedPath.Label,
            "Draw it along walls, ceilings or conduits.",
        )
    allowed = set(passed) | _at_ends(run, parts)
    out = [
        part.name
        for part in _sheets(parts)
        if part.mark["is"] in _KEPT_OUT_OF and part.name not in allowed
    ]
    roles = {part.mark["is"] for part in _sheets(parts)}
    if "suspended ceiling" in roles and not _goes_above_tiles(points, parts):
        out.append(_PLENUM)
    return passed, out


def farthest_from_line(shape, line):
    """How far a routed run's centreline strays from the wanted path, in mm."""
    wanted = Part.getShape(line)
    points = []
    for edge in shape.Edges:
        points += edge.discretize(max(2, int(edge.Length / STEP_MM) + 1))
    return max(wanted.distToShape(Part.Vertex(point))[0] for point in points)
