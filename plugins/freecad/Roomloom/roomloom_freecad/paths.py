"""A line that the user draws for a run: its corners for the job, and how far the run strays from it.

The program lays tracks along the line and keeps the run as near to it as the room allows; it takes
the line from either end.
"""

import Part

from roomloom_files import Told, corners_of

from .parts import line_points

STEP_MM = 50.0


def _told(what, line, remedy):
    return Told("job.path", what, line.Label, remedy)


def _shape(line):
    """The line where it is seen: also moved by the containers that it is in; by no link to those."""
    seen = [place for place in line.Parents if not place[0].isDerivedFrom("App::Link")]
    return Part.getShape(*seen[0]) if seen else Part.getShape(line)


def corners_m(line):
    """The corners of a drawn line from end to end, in metres.

    Raises Told: job.path, if it is no line or not in one piece.
    """
    shape = _shape(line)
    if not shape.Edges:
        raise _told("The wanted path is no line.", line, "Draw a wire, a spline or a sketch.")
    if shape.Faces or len(Part.sortEdges(shape.Edges)) > 1:
        raise _told(
            "The wanted path is no single line from one end to another.",
            line,
            "Draw it in one piece, without branches or faces.",
        )
    return corners_of([tuple(point / 1000.0) for point in line_points(shape)])


def _between(start, end):
    """The straight line between two points, or the point where they are one."""
    apart = start.distanceToPoint(end) > 1e-6
    return Part.makeLine(start, end) if apart else Part.Vertex(start)


def _as_wanted(line, start, end):
    """The line, led straight on to a run's ends as the program does; from either of its own ends."""
    drawn = _shape(line)
    points = line_points(drawn)
    first, last = points[0], points[-1]
    as_drawn = first.distanceToPoint(start) + last.distanceToPoint(end)
    if last.distanceToPoint(start) + first.distanceToPoint(end) < as_drawn:
        first, last = last, first
    return Part.makeCompound([drawn, _between(start, first), _between(last, end)])


def farthest_from_line(shape, line):
    """How far a routed run's centreline strays from the wanted path, in mm.

    Before and after the line, the wanted path is straight to the run's ends.
    """
    points = []
    for edge in shape.Edges:
        points += edge.discretize(max(2, int(edge.Length / STEP_MM) + 1))
    ends = line_points(shape)
    wanted = _as_wanted(line, ends[0], ends[-1])
    return max(wanted.distToShape(Part.Vertex(point))[0] for point in points)
