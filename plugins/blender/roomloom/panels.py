"""The sidebar of the 3D view."""

import textwrap

import bpy

from .marking import draw_mark
from .objects import is_gear
from .roomloom_files import PREFERENCES


class _InSidebar:
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Roomloom"


def wrapped(layout, context, text, icon="NONE"):
    """A text on as many lines as the sidebar is narrow."""
    scale = context.preferences.system.ui_scale or 1
    letters = max(20, int((context.region.width / scale - 60) / 6.6))
    column = layout.column(align=True)
    column.scale_y = 0.8
    lines = [line for part in text.splitlines() for line in textwrap.wrap(part, letters)]
    for number, line in enumerate(lines):
        column.label(
            text=line, icon=icon if number == 0 else "BLANK1" if icon != "NONE" else "NONE"
        )


def switched(layout, holder, key, label):
    """A figure with the switch that says whether it is given."""
    row = layout.row(align=True, heading=label)
    row.prop(holder, f"use_{key}", text="")
    value = row.row(align=True)
    value.active = getattr(holder, f"use_{key}")
    value.prop(holder, key, text="")


def split(layout):
    """A column of labelled properties."""
    column = layout.column()
    column.use_property_split, column.use_property_decorate = True, False
    return column


def table(layout, ours, rows, index, kind, name, draw_rows=3):
    row = layout.row()
    row.template_list(kind, "", ours, rows, ours, index, rows=draw_rows)
    column = row.column(align=True)
    column.operator("roomloom.row_add", text="", icon="ADD").table = name
    column.operator("roomloom.row_remove", text="", icon="REMOVE").table = name
    for step, icon in ((-1, "TRIA_UP"), (1, "TRIA_DOWN")):
        move = column.operator("roomloom.row_move", text="", icon=icon)
        move.table, move.step = name, step


class ROOMLOOM_PT_route(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_route"
    bl_label = "Roomloom"
    bl_order = 0

    def draw(self, context):
        layout, ours = self.layout, context.scene.roomloom
        state = context.window_manager.roomloom
        if state.running:
            layout.prop(state, "share", text=state.stage, slider=True)
            layout.operator("roomloom.cancel", icon="X")
        else:
            row = layout.row(align=True)
            row.scale_y = 1.4
            row.operator("roomloom.route", icon="PLAY")
            row = layout.row(align=True)
            row.prop(ours, "effort", text="")
            row.prop(ours, "drawings", toggle=True)
        if state.message:
            box = layout.box()
            wrapped(box, context, state.message, "ERROR" if state.is_error else "INFO")


class ROOMLOOM_PT_marks(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_marks"
    bl_label = "What it is"
    bl_order = 1

    def draw(self, context):
        layout, thing = self.layout, context.active_object
        layout.operator_menu_enum(
            "roomloom.mark", "role", text="Mark selected as", icon="OBJECT_DATA"
        )
        if thing is None:
            layout.label(text="Select a part of the room.")
            return
        ours = thing.roomloom
        layout.label(text=thing.name, icon="DOT")
        if ours.kind == "PART":
            draw_mark(split(layout), ours.mark, switched)
            if ours.mark.role == "SUSPENDED_CEILING":
                layout.operator("roomloom.grid_corner", icon="PIVOT_CURSOR")
            row = layout.row(align=True)
            row.operator("roomloom.copy_mark")
            row.operator("roomloom.select_marked", text="Select alike").role = ours.mark.role
            row.operator("roomloom.unmark")
        elif ours.kind == "NONE":
            layout.label(text="Not marked: the program decides.")


class ROOMLOOM_PT_rules(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_rules"
    bl_label = "Rules by name"
    bl_parent_id = "ROOMLOOM_PT_marks"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context):
        layout, ours = self.layout, context.scene.roomloom
        table(layout, ours, "rules", "rule_index", "ROOMLOOM_UL_rules", "rules", 2)
        if 0 <= ours.rule_index < len(ours.rules):
            draw_mark(split(layout), ours.rules[ours.rule_index].mark, switched)
        layout.prop(ours, "base_job")
        layout.operator("roomloom.list_lost", icon="VIEWZOOM")


class ROOMLOOM_PT_ends(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_ends"
    bl_label = "Ends and gear"
    bl_order = 2

    def draw(self, context):
        layout, ours = self.layout, context.scene.roomloom
        row = layout.row(align=True)
        for kind, text in (("END", "End"), ("GEAR", "Gear"), ("LISTENER", "Listener")):
            place = row.operator("roomloom.place", text=text, icon="ADD")
            place.kind, place.move = kind, False
        row = layout.row(align=True)
        row.prop(ours, "system", text="")
        layout_operator = row.operator("roomloom.place_layout", text="Place layout")
        layout_operator.system = ours.system
        thing = context.active_object
        if thing is None or thing.roomloom.kind not in ("END", "GEAR", "LISTENER"):
            if thing is not None and is_gear(thing):
                layout.label(text=f"{thing.name} is gear: see its devices above.")
            return
        self._draw_marker(layout, thing)

    def _draw_marker(self, layout, thing):
        ours = thing.roomloom
        column = split(layout)
        column.prop(thing, "name", text="Name")
        move = column.operator("roomloom.place", text="Move it on the surfaces", icon="SNAP_FACE")
        move.kind, move.move = ours.kind, True
        if ours.kind == "END":
            for key in ("label", "mount", "state", "may_move", "connector"):
                column.prop(ours, key)
            switched(column, ours, "slack", "Slack")
            column.operator("roomloom.to_surface", icon="SNAP_ON")
        elif ours.kind == "GEAR":
            column.prop(thing, "scale", text="Size")
            column.prop(ours.mark, "devices")
            switched(column, ours.mark, "pull_out", "Pull out")


class ROOMLOOM_PT_runs(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_runs"
    bl_label = "Runs"
    bl_order = 3

    def draw(self, context):
        layout, ours = self.layout, context.scene.roomloom
        table(layout, ours, "runs", "run_index", "ROOMLOOM_UL_runs", "runs", 4)
        layout.operator("roomloom.run_between", icon="TRACKING_FORWARDS_SINGLE")
        if not 0 <= ours.run_index < len(ours.runs):
            return
        run = ours.runs[ours.run_index]
        column = split(layout)
        for key in ("start", "end", "cable", "provision", "colour", "impedance"):
            column.prop(run, key)
        switched(column, run, "slack", "Slack")
        for key in ("way", "via", "avoid", "same_way_as", "not_with"):
            column.prop(run, key)


class ROOMLOOM_PT_stock(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_stock"
    bl_label = "Stock"
    bl_order = 4
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context):
        ours = context.scene.roomloom
        table(self.layout, ours, "spools", "spool_index", "ROOMLOOM_UL_spools", "spools", 2)


class ROOMLOOM_PT_prefer(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_prefer"
    bl_label = "Preferences of the plan"
    bl_order = 5
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context):
        layout, ours = self.layout, context.scene.roomloom
        column = split(layout)
        column.prop(ours, "title")
        column.prop(ours.prefer, "preset")
        for preference in PREFERENCES:
            switched(column, ours.prefer, preference.key, preference.label)
        column.prop(ours, "result_folder")


class ROOMLOOM_PT_result(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_result"
    bl_label = "Result"
    bl_order = 6

    @classmethod
    def poll(cls, context):
        return bool(context.scene.roomloom.result.folder)

    def draw(self, context):
        layout, result = self.layout, context.scene.roomloom.result
        wrapped(layout, context, result.summary)
        heads = layout.row(align=True)
        for text in ("Run", "Drawn", "Cut"):
            heads.label(text=text)
        layout.template_list("ROOMLOOM_UL_results", "", result, "runs", result, "run_index", rows=5)
        row = layout.row(align=True)
        for what in ("REPORT", "DRAWINGS", "LENGTHS", "FOLDER"):
            text = {"LENGTHS": "Cut list"}.get(what, what.title())
            row.operator("roomloom.open_file", text=text).what = what
        layout.operator("roomloom.clear_result", icon="TRASH")


class ROOMLOOM_PT_findings(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_findings"
    bl_label = "Findings"
    bl_parent_id = "ROOMLOOM_PT_result"

    def draw(self, context):
        layout, result = self.layout, context.scene.roomloom.result
        if not result.findings:
            layout.label(text="No conflict found by the checks that were made.")
        else:
            layout.template_list(
                "ROOMLOOM_UL_findings", "", result, "findings", result, "finding_index", rows=3
            )
            if 0 <= result.finding_index < len(result.findings):
                row = result.findings[result.finding_index]
                wrapped(layout.box(), context, f"{row.text}\n{row.remedy}")


class ROOMLOOM_PT_notes(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_notes"
    bl_label = "Taken for granted"
    bl_parent_id = "ROOMLOOM_PT_result"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context):
        for row in context.scene.roomloom.result.notes:
            wrapped(self.layout.box(), context, f"{row.text}\n{row.remedy}".strip())


class ROOMLOOM_PT_files(_InSidebar, bpy.types.Panel):
    bl_idname = "ROOMLOOM_PT_files"
    bl_label = "Files"
    bl_order = 7
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context):
        self.layout.operator("roomloom.open_model", icon="IMPORT")
        self.layout.operator("roomloom.write_job", icon="EXPORT")
        self.layout.operator("roomloom.check_program", icon="QUESTION")


_CLASSES = (
    ROOMLOOM_PT_route,
    ROOMLOOM_PT_marks,
    ROOMLOOM_PT_rules,
    ROOMLOOM_PT_ends,
    ROOMLOOM_PT_runs,
    ROOMLOOM_PT_stock,
    ROOMLOOM_PT_prefer,
    ROOMLOOM_PT_result,
    ROOMLOOM_PT_findings,
    ROOMLOOM_PT_notes,
    ROOMLOOM_PT_files,
)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
