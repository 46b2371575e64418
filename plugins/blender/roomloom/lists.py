"""How the rows of the tables look."""

import bpy


class ROOMLOOM_UL_runs(bpy.types.UIList):
    def draw_item(self, context, layout, data, item, icon, active_data, active_name, index):
        parts = layout.split(factor=0.2, align=True)
        parts.prop(item, "name", text="", emboss=False)
        row = parts.row(align=True)
        row.label(text=f"{item.start or '?'} \u2192 {item.end or '?'}")
        if item.provision:
            row.label(text="", icon="TIME")


class ROOMLOOM_UL_rules(bpy.types.UIList):
    def draw_item(self, context, layout, data, item, icon, active_data, active_name, index):
        row = layout.row(align=True)
        row.prop(item, "match", text="", emboss=False)
        row.prop(item.mark, "role", text="", emboss=False)


class ROOMLOOM_UL_spools(bpy.types.UIList):
    def draw_item(self, context, layout, data, item, icon, active_data, active_name, index):
        row = layout.row(align=True)
        row.prop(item, "cable", text="")
        row.prop(item, "length", text="")
        row.prop(item, "colour", text="")
        row.prop(item, "count", text="")


class ROOMLOOM_UL_results(bpy.types.UIList):
    def draw_item(self, context, layout, data, item, icon, active_data, active_name, index):
        row = layout.row(align=True)
        row.label(text=item.name, icon="CHECKMARK" if item.routed else "ERROR")
        if item.routed:
            row.prop(item, "drawn", text="", emboss=False)
            row.prop(item, "cut", text="", emboss=False)
        else:
            row.label(text=item.told or "No way was found")


class ROOMLOOM_UL_findings(bpy.types.UIList):
    def draw_item(self, context, layout, data, item, icon, active_data, active_name, index):
        icons = {"must": "ERROR", "should": "INFO"}
        layout.label(text=item.text, icon=icons.get(item.level, "DOT"))


_CLASSES = (
    ROOMLOOM_UL_runs,
    ROOMLOOM_UL_rules,
    ROOMLOOM_UL_spools,
    ROOMLOOM_UL_results,
    ROOMLOOM_UL_findings,
)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
