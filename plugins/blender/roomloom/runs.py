"""The table of runs, and the smaller tables beside it."""

import bpy
from bpy.props import EnumProperty, IntProperty, StringProperty

from .objects import is_gear
from .roomloom_files import parse_devices

TABLES = [
    ("runs", "Runs", ""),
    ("rules", "Rules by name", ""),
    ("spools", "Stock", ""),
]
_INDEX = {"runs": "run_index", "rules": "rule_index", "spools": "spool_index"}


def free_run_name(scene, stem="R"):
    taken = {run.name for run in scene.roomloom.runs}
    number = 1
    while f"{stem}{number}" in taken:
        number += 1
    return f"{stem}{number}"


def add_run(scene, start="", end="", cable="", name=""):
    """A new row of the table; what is not said is taken over from the row before."""
    runs = scene.roomloom.runs
    before = runs[-1] if runs else None
    # What is taken over is copied first: adding moves the rows in memory.
    old_start, old_cable = (before.start, before.cable) if before else ("", "")
    run = runs.add()
    run.name = name or free_run_name(scene)
    run.start, run.end = start or old_start, end
    run.cable = cable or old_cable or "speaker 2x2.5"
    scene.roomloom.run_index = len(runs) - 1
    return run


class ROOMLOOM_OT_row_add(bpy.types.Operator):
    """Add a row"""

    bl_idname = "roomloom.row_add"
    bl_label = "Add"
    bl_options = {"REGISTER", "UNDO"}

    table: EnumProperty(items=TABLES)

    def execute(self, context):
        ours = context.scene.roomloom
        if self.table == "runs":
            add_run(context.scene)
        else:
            getattr(ours, self.table).add()
            setattr(ours, _INDEX[self.table], len(getattr(ours, self.table)) - 1)
        return {"FINISHED"}


class ROOMLOOM_OT_row_remove(bpy.types.Operator):
    """Remove the chosen row"""

    bl_idname = "roomloom.row_remove"
    bl_label = "Remove"
    bl_options = {"REGISTER", "UNDO"}

    table: EnumProperty(items=TABLES)

    def execute(self, context):
        ours, index_name = context.scene.roomloom, _INDEX[self.table]
        rows, index = getattr(ours, self.table), getattr(ours, index_name)
        if not 0 <= index < len(rows):
            return {"CANCELLED"}
        rows.remove(index)
        setattr(ours, index_name, max(0, min(index, len(rows) - 1)))
        return {"FINISHED"}


class ROOMLOOM_OT_row_move(bpy.types.Operator):
    """Move the chosen row up or down; of rules by name the first that fits a part wins"""

    bl_idname = "roomloom.row_move"
    bl_label = "Move"
    bl_options = {"REGISTER", "UNDO"}

    table: EnumProperty(items=TABLES)
    step: IntProperty(default=1)

    def execute(self, context):
        ours, index_name = context.scene.roomloom, _INDEX[self.table]
        rows, index = getattr(ours, self.table), getattr(ours, index_name)
        target = index + self.step
        if not (0 <= index < len(rows) and 0 <= target < len(rows)):
            return {"CANCELLED"}
        rows.move(index, target)
        setattr(ours, index_name, target)
        return {"FINISHED"}


class ROOMLOOM_OT_run_between(bpy.types.Operator):
    """Make runs between the selected: from the gear to each end, or from one end to the other"""

    bl_idname = "roomloom.run_between"
    bl_label = "Run between selected"
    bl_options = {"REGISTER", "UNDO"}

    cable: StringProperty(name="Cable")

    def execute(self, context):
        chosen = [t for t in context.selected_objects if t.roomloom.kind == "END" or is_gear(t)]
        chosen.sort(key=lambda thing: thing.name)
        gear = [thing for thing in chosen if is_gear(thing)]
        ends = [thing for thing in chosen if not is_gear(thing)]
        if len(gear) == 1 and ends:
            pairs = [(gear[0], end) for end in ends]
        elif len(chosen) == 2:
            active_last = context.active_object == chosen[0]
            pairs = [tuple(reversed(chosen)) if active_last else tuple(chosen)]
        else:
            self.report({"ERROR"}, "Select one gear and its ends, or two ends.")
            return {"CANCELLED"}
        for start, end in pairs:
            add_run(context.scene, self._first_device(start), end.name, self.cable)
        self.report({"INFO"}, f"{len(pairs)} run(s) made.")
        return {"FINISHED"}

    @staticmethod
    def _first_device(thing):
        """Gear that holds devices is no end by itself: its first device is taken, any port."""
        devices = parse_devices(thing.roomloom.mark.devices) if is_gear(thing) else []
        return devices[0]["id"] if devices else thing.name


_CLASSES = (
    ROOMLOOM_OT_row_add,
    ROOMLOOM_OT_row_remove,
    ROOMLOOM_OT_row_move,
    ROOMLOOM_OT_run_between,
)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
