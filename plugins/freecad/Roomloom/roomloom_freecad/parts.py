"""Finds what of a document is the room, and writes it for the program without changing anything.

A part is an object with faces (or a mesh), seen through groups, `App::Part` containers and links at
its place in the document. Left out, and listed: what another object is made from (the base of a cut,
the features of a body), sketches and lines that are not marked, and all of Roomloom's own.
"""

from dataclasses import dataclass

import FreeCAD
import Part

from roomloom_files import PartNames

from . import marks

KIND = "RoomloomKind"  # on each object that Roomloom makes

# Objects that show what their inputs no longer do.
_SWALLOWS = (
    "Part::Cut",
    "Part::Fuse",
    "Part::Common",
    "Part::MultiFuse",
    "Part::MultiCommon",
    "Part::Section",
    "Part::Extrusion",
    "Part::Revolution",
    "Part::Fillet",
    "Part::Chamfer",
    "Part::Thickness",
    "Part::Offset",
    "Part::Offset2D",
    "Part::Mirroring",
    "Part::Compound",
    "Part::Compound2",
    "Part::Sweep",
    "Part::Loft",
    "Part::Refine",
    "Part::Reverse",
    "Part::FilletBase",
    "PartDesign::Body",
    "PartDesign::Feature",
)
_NEVER = (
    "App::Origin",
    "App::OriginFeature",
    "Sketcher::SketchObject",
    "PartDesign::Feature",
    "TechDraw::DrawView",
    "TechDraw::DrawPage",
    "Part::Datum",
    "App::Annotation",
)
CHORD_ERROR_MM = 1.0
FACETS_AS_SHAPE = 2000  # more would take seconds
MESH_TOLERANCE_MM = 0.05


@dataclass
class RoomPart:
    """One part of the room, at its place in the document."""

    name: str  # in the exported file: unique, without wildcards
    thing: object  # the document's object; of a link to a container, the container's member
    root: object  # the outermost object that it is seen through; often the thing itself
    path: str  # sub-element path from root to thing, as FreeCAD's selection wants it
    shape: object  # Part.Shape in global coordinates, or None
    mesh: object  # Mesh.Mesh in global coordinates, or None
    mark: dict  # see marks.mark_of; None if unmarked
    _faces: object = None

    def surface(self):
        """The part as a Part.Shape; of a mesh with few facets one made of them, else None."""
        if self.shape is None and self._faces is None and self.mesh.CountFacets <= FACETS_AS_SHAPE:
            self._faces = Part.Shape()
            self._faces.makeShapeFromMesh(self.mesh.Topology, MESH_TOLERANCE_MM)
        return self.shape if self.shape is not None else self._faces

    def box(self):
        """The bounding box in global coordinates."""
        return self.mesh.BoundBox if self.mesh is not None else self.shape.BoundBox


def is_ours(thing):
    """Made by Roomloom: markers, runs, results."""
    return hasattr(thing, KIND)


def _is_container(thing):
    """Seen through: its members are the parts."""
    linked = thing.getLinkedObject(True) or thing
    if linked.isDerivedFrom("PartDesign::Body"):
        return False
    return (
        linked.hasExtension("App::GroupExtension")
        or linked.isDerivedFrom("App::LinkGroup")
        or (thing.isDerivedFrom("App::Link") and getattr(thing, "ElementCount", 0) > 0)
    )


def is_only_input(thing):
    """What another object is made from, and shows no more by itself."""
    for user in thing.InList:
        if (
            is_ours(user)
            or user.hasExtension("App::GroupExtension")
            and not user.isDerivedFrom("PartDesign::Body")
        ):
            continue
        if any(user.isDerivedFrom(kind) for kind in _SWALLOWS) and not _only_supports(user, thing):
            return True
        hidden = not thing.Visibility
        if hidden and user.isDerivedFrom("App::Link"):
            return True
        if hidden and user.isDerivedFrom("Part::FeaturePython") and not _only_supports(user, thing):
            return True
    return False


def _only_supports(user, thing):
    """Refers to it only to be attached to it."""
    for name in user.PropertiesList:
        if name in ("Support", "AttachmentSupport", "Hosts") or name.startswith(marks.PREFIX):
            continue
        value = getattr(user, name, None)
        found = value if isinstance(value, (list, tuple)) else [value]
        if any(
            part is thing or (isinstance(part, tuple) and part and part[0] is thing)
            for part in found
        ):
            return False
    return True


def _in_container(thing):
    return any(
        user.hasExtension("App::GroupExtension") or user.isDerivedFrom("App::LinkGroup")
        for user in thing.InList
        if not is_ours(user) and not user.isDerivedFrom("PartDesign::Body")
    )


def _mark_of(thing):
    """The mark of an object or, of a link, else of what it links to."""
    return marks.mark_of(thing) or marks.mark_of(thing.getLinkedObject(True) or thing)


def _is_plain_group(thing):
    return thing.isDerivedFrom("App::DocumentObjectGroup")


def _mark_of_groups(thing):
    """The mark of the nearest plain group that holds an object; groups have no place of their own."""
    for user in thing.InList:
        if _is_plain_group(user) and not is_ours(user):
            mark = _mark_of(user) or _mark_of_groups(user)
            if mark:
                return mark
    return None


def _leaves(root, path="", around=None):
    """(root, object, path below root, its mark or its container's) of all that is inside.

    Members of a plain group are roots themselves.
    """
    thing = root.getSubObject(path, 1) if path else root
    if thing is None or is_ours(thing):
        return
    mark = _mark_of(thing) or _mark_of_groups(thing) or around
    if not path and _is_plain_group(thing):
        for member in thing.Group:
            yield from _leaves(member, "", mark)
    elif _is_container(thing):
        # An App::Part lists the members of the plain groups in it beside those groups.
        lists_all = (thing.getLinkedObject(True) or thing).hasExtension(
            "App::GeoFeatureGroupExtension"
        )
        for name in thing.getSubObjects():
            child = root.getSubObject(path + name, 1)
            if not (lists_all and child is not None and _is_plain_group(child)):
                yield from _leaves(root, path + name, mark)
    else:
        yield root, thing, path, mark


def _shape(root, path):
    shape = Part.getShape(root, path)
    return None if shape.isNull() else shape


def _mesh(root, path, thing):
    target = thing.getLinkedObject(True)
    if not target.isDerivedFrom("Mesh::Feature"):
        return None
    placement = root.getSubObject(path, 3) if path else thing.Placement
    mesh = target.Mesh.copy()
    # Into the points themselves: rays are cast in a mesh's own coordinates.
    mesh.Placement = FreeCAD.Placement()
    mesh.transform(placement.toMatrix())
    return mesh


def walk(document):
    """(outermost object, object, sub-element path, mark) of all that is no container and not ours.

    Also what `collect` leaves out: lines, points, what another object is made from.
    """
    for root in document.Objects:
        if is_ours(root) or _in_container(root) or root.isDerivedFrom("App::LinkElement"):
            continue
        yield from _leaves(root)


def collect(document):
    """The room's parts, and [(object, why)] of what was left out."""
    parts, left_out, names = [], [], PartNames()
    for root, thing, path, mark in walk(document):
        part, why = _take(root, thing, path, mark)
        if why:
            left_out.append((thing, why))
        if part:
            part.name = names.give(f"{root.Name}.{path}", thing.Label)
            parts.append(part)
    return parts, left_out


def _take(root, thing, path, mark):
    """(part or None, why it was left out or "")."""
    target = thing.getLinkedObject(True) or thing
    if _mark_of(thing) is None:
        if any(target.isDerivedFrom(kind) for kind in _NEVER):
            return None, ""
        if is_only_input(thing):
            return None, "another object is made from it"
    mesh = _mesh(root, path, thing)
    shape = None if mesh is not None else _shape(root, path)
    if mesh is None and shape is None:
        return None, "it has no shape" if mark else ""
    if shape is not None and not shape.Faces and mark is None:
        return None, "it is a line or a point and is not marked"
    if mesh is not None and mesh.CountFacets == 0:
        return None, "its mesh is empty"
    return RoomPart("", thing, root, path, shape, mesh, mark), ""


# --- writing


def write_model(parts, folder):
    """Writes the parts into `folder`; gives what a job's "model" says of the file.

    Exact surfaces go as STEP; as soon as one part is a mesh, all go as OBJ in millimetres, Z up,
    curved faces within CHORD_ERROR_MM.
    """
    if any(part.mesh is not None for part in parts):
        path = folder / "room.obj"
        path.write_text(_obj_text(parts), encoding="utf-8")
        return {"file": path.name, "unit": "mm", "up": "z"}
    path = folder / "room.step"
    _write_step(parts, path)
    return {"file": path.name}


def _write_step(parts, path):
    import Import  # pylint: disable=import-outside-toplevel

    active = FreeCAD.ActiveDocument
    scratch = FreeCAD.newDocument("RoomloomExport", "RoomloomExport", True, True)
    try:
        copies = []
        for part in parts:
            copy = scratch.addObject("Part::Feature", "Part")
            copy.Shape = part.shape
            copy.Label = part.name
            copies.append((copy, part))
        renamed = [part.name for copy, part in copies if copy.Label != part.name]
        if renamed:
            raise RuntimeError("FreeCAD renamed parts on export: " + ", ".join(renamed))
        Import.export([copy for copy, _ in copies], str(path))
    finally:
        FreeCAD.closeDocument(scratch.Name)
        if active is not None:
            FreeCAD.setActiveDocument(active.Name)


def _obj_text(parts):
    lines = ["# The room, in millimetres, Z up"]
    first = 1
    for part in parts:
        lines.append("o " + part.name)
        if part.mesh is not None:
            points, facets = part.mesh.Topology
        elif part.shape.Faces:
            points, facets = part.shape.tessellate(CHORD_ERROR_MM)
        else:
            points, facets = line_points(part.shape), []
        lines.extend(f"v {p.x:.9g} {p.y:.9g} {p.z:.9g}" for p in points)
        lines.extend("f " + " ".join(str(first + i) for i in facet) for facet in facets)
        if not facets:
            word = "p" if len(points) == 1 else "l"
            lines.append(word + " " + " ".join(str(first + i) for i in range(len(points))))
        first += len(points)
    return "\n".join(lines) + "\n"


def line_points(shape):
    """A wire as a polyline."""
    if not shape.Edges:
        return [vertex.Point for vertex in shape.Vertexes][:1]
    edges = Part.sortEdges(shape.Edges)[0]
    points = []
    for edge in edges:
        straight = "Line" in type(edge.Curve).__name__
        found = edge.discretize(2) if straight else edge.discretize(Deflection=CHORD_ERROR_MM)
        if edge.Orientation == "Reversed":
            found = found[::-1]
        points.extend(found if not points else found[1:])
    return points
