"""Where rays meet the room, what wall is behind a point, and what floor is below it. Lengths mm."""

import Part
from FreeCAD import Vector

FAR_MM = 100000.0
ABOVE_FLOOR_MM = 10.0
# What nothing is fixed to or stands on, though a ray meets it.
_PASSED_THROUGH = ("seat", "furniture", "curtain", "marker", "ignore", "rack", "power")


def _hits(part, start, direction):
    """Distances in mm at which a ray meets a part."""
    if part.mesh is not None:
        # All facets on the line, also behind the start.
        found = part.mesh.foraminate(tuple(start), tuple(direction))
        return [(Vector(p) - start).dot(direction) for p in found.values()]
    box = part.shape.BoundBox
    if not box.intersect(start, direction) and not box.isInside(start):
        return []
    ray = Part.makeLine(start, start + direction * FAR_MM)
    away = []
    for face in part.shape.Faces:
        if face.BoundBox.intersect(start, direction):
            away += [(v.Point - start).dot(direction) for v in face.section(ray).Vertexes]
    return away


def first_surface(parts, start, direction):
    """(distance in mm, part) where a ray first meets the room; (None, None) where it meets none."""
    best, met = None, None
    for part in parts:
        if part.mark and part.mark["is"] in _PASSED_THROUGH:
            continue
        for away in _hits(part, start, direction):
            if away > 1.0 and (best is None or away < best):
                best, met = away, part
    return best, met


def floor_below(parts, point):
    """The height of the first face under a point; the point's own if there is none."""
    start = Vector(point.x, point.y, point.z + ABOVE_FLOOR_MM)
    away, _ = first_surface(parts, start, Vector(0, 0, -1))
    return point.z if away is None else start.z - away


def _wall_faces(parts):
    """(face, its level normal) of every upright plane face of a marked wall."""
    for part in parts:
        if part.mark and part.mark["is"] == "wall" and part.surface() is not None:
            for face in part.surface().Faces:
                normal = face.normalAt(*face.Surface.parameter(face.CenterOfMass))
                if abs(normal.z) < 0.1 and isinstance(face.Surface, Part.Plane):
                    yield face, Vector(normal.x, normal.y, 0).normalize()


def wall_behind(parts, point):
    """(level direction away from the nearest marked wall, distance to it), or (None, None)."""
    best = (None, None)
    for face, normal in _wall_faces(parts):
        away = (point - face.CenterOfMass).dot(normal)
        if away < -0.01 or (best[1] is not None and away >= best[1]):
            continue
        box = face.BoundBox
        box.enlarge(1.0)
        foot = point - normal * away
        if box.isInside(Vector(foot.x, foot.y, box.Center.z)):
            best = (normal, away)
    return best
