"""Roomloom's own objects in a document: ends, gear, the listener, runs, and the plan's settings.

All are plain FreeCAD objects with dynamic properties in the group "Roomloom": spheres, boxes and
groups that can be moved, copied, edited and undone like any other, and that open without this
workbench. `RoomloomKind` tells what each is.
"""

import FreeCAD
from FreeCAD import Placement, Rotation, Vector

from roomloom_files import EFFORTS, MOUNTS, PRESETS, STATES, SYSTEMS

from . import marks
from .parts import KIND

END_RADIUS_MM = 40
AS_PLANNED = "as planned"  # an end whose state the run decides

# kind -> [(property, FreeCAD type, tip, choices or start value)]
_END = [
    ("Mount", "Enumeration", "How the end is held", list(MOUNTS)),
    (
        "EndState",
        "Enumeration",
        "With a connector, bare, or coiled for later",
        [AS_PLANNED] + list(STATES),
    ),
    ("MayMove", "Length", "How far it may be moved later on its surface; the cable reaches", None),
    ("Slack", "String", "Service loop left here, such as 300 mm; empty: as preferred", None),
    ("Connector", "String", "What the cable is fitted with here", None),
    (
        "SpeakerLabel",
        "String",
        "Label of ITU-R BS.2051, if it is a loudspeaker of the layout",
        None,
    ),
    (
        "LayoutPlace",
        "Vector",
        "Where the layout put it; moved from there, it stays where it is",
        None,
    ),
]
_GEAR = [
    ("Ports", "String", "Ports of the gear itself, such as S1..S9, net", None),
    ("Devices", "StringList", "Devices in it from the bottom up: amplifier: S1..S9, net", None),
    ("PullOut", "Length", "How far it can be pulled out with everything connected", None),
]
_LISTENER = [
    ("System", "Enumeration", "Loudspeaker layout of ITU-R BS.2051", list(SYSTEMS)),
    (
        "Facing",
        "Angle",
        "Where the listener looks: 0 is along Y, counter-clockwise from above",
        None,
    ),
    ("Distance", "Length", "Of all loudspeakers; 0: the surfaces decide", None),
]
_RUN = [
    ("From", "LinkGlobal", "Where the cable comes from: gear or an end", None),
    ("FromPort", "String", "Port of that gear: S1, or amplifier.S1", None),
    ("To", "LinkGlobal", "Where it goes", None),
    ("ToPort", "String", "Port, if it goes to gear", None),
    ("Cable", "String", "As the catalogue calls it", None),
    ("Provision", "Bool", "Pulled now for gear that comes later", None),
    ("EndState", "Enumeration", "How this run ends", [AS_PLANNED] + list(STATES)),
    ("MayMove", "Length", "How far this run's end may be moved later", None),
    ("Slack", "String", "Service loop at each end, such as 300 mm; empty: as preferred", None),
    ("Impedance", "String", "Of the loudspeaker: 8 ohm", None),
    ("Colour", "String", "Of the jacket", None),
    ("Via", "LinkListGlobal", "Parts to pass, in this order", None),
    (
        "ViaNames",
        "StringList",
        "Tiles, crossings, voids or patterns to pass, after the parts",
        None,
    ),
    ("Avoid", "LinkListGlobal", "Parts to keep out of", None),
    ("AvoidNames", "StringList", "Tiles, crossings, voids or patterns to keep out of", None),
    ("WantedPath", "LinkGlobal", "A line drawn where the run should go", None),
    ("SameWayAs", "LinkListGlobal", "Runs to go along with", None),
    ("NotWith", "LinkListGlobal", "Runs to keep apart from", None),
    ("Installed", "Bool", "Lies there already and stays", None),
    ("Measured", "Length", "Its measured length, if it is installed", None),
]
_PLAN = [
    ("Prefer", "Enumeration", "What the plan saves", list(PRESETS)),
    ("Weights", "Map", "Weights and margins that differ from what is preferred", None),
    ("Effort", "Enumeration", "How hard the program searches", list(EFFORTS)),
    ("Seed", "VectorDistance", "A point in the room's air", None),
    ("SeedGiven", "Bool", "Off: the listener's place, or what the program finds", None),
    ("Spools", "StringList", "Cable at hand: speaker 2x2.5; 100 m; black", None),
    (
        "Rules",
        "StringList",
        'Rules by name pattern, after the marks: {"match": "Duct *", "is": ' '"obstacle"}',
        None,
    ),
    ("MoreOfJob", "String", "More of the job as JSON: own cables and raceway sizes", None),
    ("ResultFolder", "String", "Where results are written; empty: beside the document", None),
]
_PROPERTIES = {"end": _END, "gear": _GEAR, "listener": _LISTENER, "run": _RUN, "plan": _PLAN}

COLOURS = {"end": (0.90, 0.62, 0.0), "gear": (0.35, 0.35, 0.40), "listener": (0.0, 0.62, 0.45)}


def add_properties(thing, kind, table):
    """Adds dynamic properties in the group "Roomloom", and what the object is."""
    if not hasattr(thing, KIND):
        thing.addProperty("App::PropertyString", KIND, marks.GROUP, "What it is for Roomloom", 1)
        setattr(thing, KIND, kind)
    for name, sort, tip, start in table:
        if hasattr(thing, name):
            continue
        thing.addProperty("App::Property" + sort, name, marks.GROUP, tip)
        if start is not None:
            setattr(thing, name, start)


def kind_of(thing):
    """ "end", "gear", "listener", "run", "plan" ..., or None for the user's own objects."""
    return getattr(thing, KIND, None)


def all_of(document, kind):
    """Roomloom's objects of a kind, in the document's order."""
    return [thing for thing in document.Objects if kind_of(thing) == kind]


def plan_of(document):
    """The group that holds the settings and everything else; None if there is none yet."""
    found = all_of(document, "plan")
    return found[0] if found else None


def _group(document, parent, label, kind, table=()):
    group = document.addObject("App::DocumentObjectGroup", label.replace(" ", ""))
    group.Label = label
    add_properties(group, kind, table)
    if parent is not None:
        parent.addObject(group)
    return group


def need_plan(document):
    """The plan group, made if it is not there."""
    plan = plan_of(document)
    return plan if plan else _group(document, None, "Roomloom", "plan", _PLAN)


def subgroup(document, label):
    """A group of the plan by its first label: "Ends and gear", "Runs wanted"."""
    plan = need_plan(document)
    kind = "group " + label
    for thing in all_of(document, kind):
        return thing
    return _group(document, plan, label, kind)


def _show(thing, kind):
    view = getattr(thing, "ViewObject", None)
    if view is None:
        return
    view.ShapeColor = COLOURS[kind]
    if kind == "gear":
        view.Transparency = 40


def make_end(document, label, position, **values):
    """An end: a small sphere whose middle is the place. position in mm; values by property."""
    end = document.addObject("Part::Sphere", "End")
    end.Label = label
    end.Radius = END_RADIUS_MM
    end.Placement.Base = Vector(position)
    add_properties(end, "end", _END)
    for name, value in values.items():
        setattr(end, name, value)
    subgroup(document, "Ends and gear").addObject(end)
    end.recompute()
    _show(end, "end")
    return end


def make_gear(document, label, position, size, toward=(0, 1, 0), **values):
    """Gear: a box. position: middle of its footprint; size: width, depth, height; mm.

    toward: level direction from its back to its front.
    """
    gear = document.addObject("Part::Box", "Gear")
    gear.Label = label
    gear.Length, gear.Width, gear.Height = size
    turn = Rotation(Vector(0, 1, 0), Vector(toward[0], toward[1], 0))
    corner = Vector(position) - turn.multVec(Vector(size[0] / 2, size[1] / 2, 0))
    gear.Placement = Placement(corner, turn)
    add_properties(gear, "gear", _GEAR)
    for name, value in values.items():
        setattr(gear, name, value)
    subgroup(document, "Ends and gear").addObject(gear)
    gear.recompute()
    _show(gear, "gear")
    return gear


def foot_of(gear):
    """The middle of a gear box's footprint, in global coordinates, mm."""
    size = Vector(float(gear.Length) / 2, float(gear.Width) / 2, 0)
    return gear.getGlobalPlacement().multVec(size)


def make_listener(document, position, system="4+5+0", facing_deg=0.0, distance=0):
    """The listener at ear height; there is one, and a second call moves it."""
    found = all_of(document, "listener")
    listener = found[0] if found else document.addObject("Part::Sphere", "Listener")
    if not found:
        listener.Label = "Listener"
        listener.Radius = 2 * END_RADIUS_MM
        add_properties(listener, "listener", _LISTENER)
        subgroup(document, "Ends and gear").addObject(listener)
    listener.Placement.Base = Vector(position)
    listener.System = system
    listener.Facing = facing_deg
    listener.Distance = distance
    listener.recompute()
    _show(listener, "listener")
    return listener


def make_run(document, label, from_, to, cable, **values):
    """A run between two ends or gear: each the object, or (object, port)."""
    run = document.addObject("App::FeaturePython", "Run")
    run.Label = label
    add_properties(run, "run", _RUN)
    for name, end in (("From", from_), ("To", to)):
        thing, port = end if isinstance(end, tuple) else (end, "")
        setattr(run, name, thing)
        setattr(run, name + "Port", port)
    run.Cable = cable
    for name, value in values.items():
        setattr(run, name, value)
    subgroup(document, "Runs wanted").addObject(run)
    run.purgeTouched()
    view = getattr(run, "ViewObject", None)
    if view is not None:
        view.Proxy = 0  # FreeCAD's marker for "has no Python of its own"
    return run


class Step:
    """One undoable step: all of it or nothing.

    with Step(document, "Mark parts"):
        ...
    """

    def __init__(self, document, title):
        self.document, self.title = document, title

    def __enter__(self):
        self.document.openTransaction(self.title)
        return self.document

    def __exit__(self, kind, value, trace):
        if kind is None:
            self.document.commitTransaction()
        else:
            self.document.abortTransaction()
        return False


def unused_label(document, start):
    """start + the first number that no object's label has: S1, S2 ..."""
    taken = {thing.Label for thing in document.Objects}
    number = 1
    while f"{start}{number}" in taken:
        number += 1
    return f"{start}{number}"


def active_document():
    """The document in front, or a new one."""
    return FreeCAD.ActiveDocument or FreeCAD.newDocument()
