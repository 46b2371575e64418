"""Looking at a result: click to select, zoom, and open its files."""

import bpy
from bpy.props import EnumProperty, IntProperty
from mathutils import Vector

from .objects import select_only
from .result_scene import place_of
from .roomloom_files import Told, read_result
from .units import metres_per_unit


def _views(context):
    """The 3D views of the window, as (space, region_3d)."""
    screen = context.screen
    for area in screen.areas if screen else ():
        if area.type == "VIEW_3D":
            yield area, area.spaces.active.region_3d


def look_at(context, point, distance):
    """Turns no view, but moves each so that it looks at a point from so far."""
    for area, region in _views(context):
        region.view_location = Vector(point)
        region.view_distance = distance
        area.tag_redraw()


def _bounds(thing):
    corners = [thing.matrix_world @ Vector(corner) for corner in thing.bound_box]
    low = Vector([min(c[i] for c in corners) for i in range(3)])
    high = Vector([max(c[i] for c in corners) for i in range(3)])
    return low, high


def show_run(context):
    """Selects the run that is chosen in the list, and looks at it."""
    result = context.scene.roomloom.result
    if not 0 <= result.run_index < len(result.runs):
        return
    row = result.runs[result.run_index]
    thing = row.object
    if thing is None:  # no way was found: its end is what there is to see
        run = next((r for r in context.scene.roomloom.runs if r.name == row.name), None)
        thing = bpy.data.objects.get(run.end) if run else None
    for shown in select_only(context, [thing]):
        low, high = _bounds(shown)
        look_at(context, (low + high) / 2, max(1.3 * (high - low).length, 0.5))


def show_finding(context):
    """Puts the 3D cursor at the chosen finding, looks there, and selects what it is about."""
    scene = context.scene
    result = scene.roomloom.result
    if not 0 <= result.finding_index < len(result.findings):
        return
    row = result.findings[result.finding_index]
    rows = {run.name: run.object for run in result.runs}
    select_only(context, [rows.get(row.name) or bpy.data.objects.get(row.name)])
    if row.has_place:
        at = place_of(scene, row)
        scene.cursor.location = at
        look_at(context, at, 1.5 / metres_per_unit(scene))


class ROOMLOOM_OT_show(bpy.types.Operator):
    """Select it and look at it"""

    bl_idname = "roomloom.show"
    bl_label = "Show"
    bl_options = {"REGISTER", "UNDO"}

    what: EnumProperty(items=[("RUN", "Run", ""), ("FINDING", "Finding", "")])
    index: IntProperty(default=-1)

    def execute(self, context):
        result = context.scene.roomloom.result
        name = "run_index" if self.what == "RUN" else "finding_index"
        if self.index >= 0:
            setattr(result, name, self.index)  # shows it by itself
        else:
            (show_run if self.what == "RUN" else show_finding)(context)
        return {"FINISHED"}


class ROOMLOOM_OT_open_file(bpy.types.Operator):
    """Open it with the program that this computer uses for such files"""

    bl_idname = "roomloom.open_file"
    bl_label = "Open"

    what: EnumProperty(
        items=[
            ("REPORT", "Report", "What to read first"),
            ("DRAWINGS", "Drawings", "Sheets to work from"),
            ("LENGTHS", "Cut list", "How long to cut each cable"),
            ("FOLDER", "Folder", "All files of the result"),
        ]
    )

    @classmethod
    def poll(cls, context):
        return bool(context.scene.roomloom.result.folder)

    def execute(self, context):
        try:
            result = read_result(context.scene.roomloom.result.folder)
        except Told as told:
            self.report({"ERROR"}, told.text())
            return {"CANCELLED"}
        path = {
            "REPORT": result.report(),
            "DRAWINGS": result.drawings(),
            "LENGTHS": result.file("lengths.csv"),
            "FOLDER": result.folder / "result",
        }[self.what]
        if path is None:
            self.report({"ERROR"}, "The program did not write it: switch Drawings on and route.")
            return {"CANCELLED"}
        if not bpy.app.background:
            bpy.ops.wm.path_open(filepath=str(path))
        return {"FINISHED"}


_CLASSES = (ROOMLOOM_OT_show, ROOMLOOM_OT_open_file)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
