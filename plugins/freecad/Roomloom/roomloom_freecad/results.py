"""Brings a result into the document as a group of its own, and replaces the one before."""

import json

import FreeCAD
from FreeCAD import Vector

from roomloom_files import read_result

from . import paths, result_shapes, things
from .marks import GROUP
from .parts import KIND

RESULT = "result"
RESULT_GROUP = "result group"
RESULT_RUN = "result run"
RESULT_PART = "result part"
_HIDDEN = (" centreline",)
_GROUP_TIPS = {
    "Runs": "Every cable at its true thickness",
    "Raceway": "Surface raceway to fix",
    "Crossings": "Holes",
    "Supports": "Supports in voids",
    "Labels": "What to write",
}


def result_of(document):
    """The result's group, or None."""
    found = things.all_of(document, RESULT)
    return found[0] if found else None


def _of_result(document):
    """All objects of the result: its group and what is in it. A user's copies are elsewhere."""
    found = []
    waiting = [result_of(document)] if result_of(document) else []
    while waiting:
        thing = waiting.pop(0)
        if (things.kind_of(thing) or "").startswith(RESULT):
            found.append(thing)
            waiting += getattr(thing, "Group", [])
    return found


def result_runs(document):
    """The routed runs in the document, in the plan's order."""
    return [thing for thing in _of_result(document) if things.kind_of(thing) == RESULT_RUN]


# --- from the room frame


def to_document(result):
    """A function from a point of the room frame (metres) to the document (Vector, mm)."""
    rows = result.to_room
    matrix = FreeCAD.Matrix(*rows, 0, 0, 0, 1).inverse()
    return lambda point: matrix.multVec(Vector(*point))


# --- properties


def _put(thing, name, sort, value, tip, group=GROUP):
    if not hasattr(thing, name):
        # Read-only in the editor: these are facts of the plan, not wishes.
        thing.addProperty("App::Property" + sort, name, group, tip, 1)
    setattr(thing, name, value)


def _kind(thing, kind):
    _put(thing, KIND, "String", kind, "What it is for Roomloom")


def _camel(words):
    return "".join(word.capitalize() for word in words.replace("-", " ").split())


def _describe_run(thing, run, findings):
    _kind(thing, RESULT_RUN)
    for name, value, tip in (
        ("RunId", run.id, "The run"),
        ("From", run.start, "Where the cable comes from"),
        ("To", run.end, "Where it goes"),
        ("Cable", run.cable, "As the catalogue calls it"),
        ("Service", run.service, "What it carries"),
    ):
        _put(thing, name, "String", value, tip)
    _put(thing, "Provision", "Bool", run.provision, "Pulled now for gear that comes later")
    _put(thing, "Drawn", "Length", round(run.drawn_m * 1000, 6), "Along its centreline")
    _put(thing, "Cut", "Length", round(run.cut_m * 1000, 6), "How long to cut it")
    _put(thing, "Bends", "Integer", run.bends, "How many")
    for name, value in run.addends_m.items():
        _put(
            thing,
            "Add" + _camel(name),
            "Length" if value >= 0 else "Distance",
            round(value * 1000, 6),
            f"Cut beside the drawn length: {name}",
            GROUP + " addends",
        )
    texts = [f"{f.level}: {f.text}" for f in findings if f.subject == run.id]
    _put(thing, "Findings", "StringList", texts, "What the checks found")


# --- objects


class _Old:
    """Objects of the result before, to be used again by name: links to them stay."""

    def __init__(self, document):
        self.document = document
        self.things, self.fresh = {}, set()
        for thing in _of_result(document):
            self.things[(thing.TypeId, getattr(thing, "PlanName", ""))] = thing

    def take(self, sort, name):
        """An object of the result: the one before, or a new one (then it is in `fresh`)."""
        thing = self.things.pop((sort, name), None)
        if thing is None:
            thing = self.document.addObject(sort, "Result" if sort.startswith("App") else "Routed")
            thing.Label = name
            self.fresh.add(thing.Name)
        _put(thing, "PlanName", "String", name, "In the plan")
        return thing

    def remove_rest(self):
        """Groups last, so that nothing else goes with them."""
        rest = sorted(self.things.values(), key=lambda thing: hasattr(thing, "Group"))
        for thing in rest:
            self.document.removeObject(thing.Name)


def _colour(thing, named):
    view = getattr(thing, "ViewObject", None)
    if view is None or named.colour is None:
        return
    view.ShapeColor = named.colour
    view.LineColor = named.colour
    if named.shape.Faces:
        # Cables are smooth; their seams would draw them black.
        view.DisplayMode = "Shaded"


def _bring_shapes(old, top, shapes, result):
    runs = {f"Run {run.id}": run for run in result.runs}
    groups = {}
    for named in shapes:
        if named.group not in groups:
            group = old.take("App::DocumentObjectGroup", named.group)
            _kind(group, RESULT_GROUP)
            groups[named.group] = (group, [])
        thing = old.take("Part::Feature", named.name)
        thing.Shape = named.shape
        thing.purgeTouched()
        if named.name in runs:
            _describe_run(thing, runs[named.name], result.findings)
        else:
            _kind(thing, RESULT_PART)
        if thing.Name in old.fresh:
            # Later the user's own choice stands.
            _colour(thing, named)
            thing.Visibility = not named.name.endswith(_HIDDEN)
        groups[named.group][1].append(thing)
    for group, members in groups.values():
        group.Group = members
    top.Group = [group for group, _ in groups.values()]


def _measure_wishes(document):
    """Tells of each run with a wanted path how far it stays from it."""
    wanted = {run.Label: run.WantedPath for run in things.all_of(document, "run")}
    lines = _centrelines(document)
    for run in result_runs(document):
        path = wanted.get(run.RunId)
        if path is not None and run.RunId in lines:
            away = paths.farthest_from_line(lines[run.RunId].Shape, path)
            _put(run, "OffWantedPath", "Length", away, "How far it strays from the wanted path")
        elif hasattr(run, "OffWantedPath"):
            run.removeProperty("OffWantedPath")


def _follow_layout(document, result):
    """Loudspeakers that follow the layout move to where the program placed them."""
    from .layout import follows_layout  # pylint: disable=import-outside-toplevel

    place = to_document(result)
    at = {str(end.get("id")): end.get("at") for end in result.ends}
    for end in things.all_of(document, "end"):
        if end.Label in at and end.SpeakerLabel and follows_layout(end):
            end.Placement.Base = place(at[end.Label])
            end.LayoutPlace = end.Placement.Base
            end.purgeTouched()


def bring_in(document, result, shapes, lists):
    """Puts a result into the document; the caller opens the undoable step.

    result   roomloom_files.Result
    shapes   of result_shapes.read_shapes, already checked
    lists    {"unmatched": [text], "left_out": [text]}: what the plug-in itself has to tell
    Returns the result's group. Nothing of the user's own is touched.
    """
    plan = things.need_plan(document)
    old = _Old(document)
    top = old.take("App::DocumentObjectGroup", "Result")
    _kind(top, RESULT)
    _bring_shapes(old, top, shapes, result)
    place = to_document(result)
    findings = [
        {
            "level": f.level,
            "id": f.id,
            "subject": f.subject,
            "text": f.text,
            "remedy": f.remedy,
            "source": f.source,
            "where_mm": list(place(f.where)) if f.where else None,
        }
        for f in result.findings
    ]
    _put(top, "Folder", "String", str(result.folder), "Where all files of the result are")
    _put(top, "Program", "String", result.program, "That planned it")
    _put(
        top,
        "TotalCut",
        "Length",
        round(sum(run.cut_m for run in result.runs) * 1000, 6),
        "Of all runs",
    )
    _put(top, "Holes", "Integer", len(result.holes), "Of the plan")
    _put(
        top,
        "Gap",
        "Float",
        result.gap if result.gap is not None else -1.0,
        "How far the plan can be from the best, as a share; -1: not known",
    )
    _put(top, "FindingLines", "StringList", [json.dumps(f) for f in findings], "From the checks")
    _put(
        top,
        "NotRouted",
        "StringList",
        [
            f"{run.id}: " + ("; ".join(run.blockers) or "no way was found")
            for run in result.runs
            if not run.routed
        ],
        "Runs that found no way",
    )
    _put(
        top,
        "Guesses",
        "StringList",
        [
            f"{g.get('what')}: {g.get('value')} ({g.get('why')}); overrule: {g.get('overrule')}"
            for g in result.guesses
        ]
        + result.warnings,
        "What the program took for granted",
    )
    _put(
        top,
        "Unmatched",
        "StringList",
        lists.get("unmatched", []),
        "Patterns that match no part any more",
    )
    _put(top, "LeftOut", "StringList", lists.get("left_out", []), "Objects that were not exported")
    plan.addObject(top)
    old.remove_rest()
    _follow_layout(document, result)
    _measure_wishes(document)
    return top


def remove(document):
    """Takes the result out of the document; the caller opens the undoable step."""
    _Old(document).remove_rest()


def findings_of(document):
    """The findings kept with the result, as dicts."""
    top = result_of(document)
    return [json.loads(line) for line in top.FindingLines] if top else []


def folder_of(document):
    """The result's folder as roomloom_files.Result; raises Told if it is gone or broken."""
    top = result_of(document)
    return read_result(top.Folder) if top else None


def _centrelines(document):
    """Run id -> the object that holds its centreline."""
    lines = {thing.PlanName: thing for thing in _of_result(document)}
    named = {run.RunId: f"Run {run.RunId} centreline" for run in result_runs(document)}
    return {run: lines[name] for run, name in named.items() if name in lines}


def measured_lengths(document):
    """Run id -> length in mm, measured here on the centreline."""
    return {
        run: result_shapes.length_mm(line.Shape) for run, line in _centrelines(document).items()
    }
