"""What the document keeps: marks of objects, and the scene's runs, preferences and result.

All of it lies in property groups of objects and scenes: it is saved with the file and undone with
it. Lengths are in the scene's units, as Blender shows them; job_of_scene turns them into metres.
"""

import bpy
from bpy.props import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    FloatVectorProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)

from .names_offered import cables, endpoints, labels, part_names
from .roomloom_files import (
    EFFORTS,
    MARK_FIELDS,
    MOUNTS,
    PREFERENCES,
    PRESETS,
    ROLES,
    STATES,
    SYSTEMS,
)
from .units import metres_per_unit


def identifier(word):
    """A job's word as an identifier of an enumeration: "suspended ceiling" -> SUSPENDED_CEILING."""
    return word.upper().replace(" ", "_")


def word(of_identifier):
    """The job's word of such an identifier."""
    return of_identifier.lower().replace("_", " ")


def choices(words, tip=""):
    return [(identifier(text), text[:1].upper() + text[1:], tip) for text in words]


def system_choices():
    """Layout names hold digits and signs: they are their own identifiers."""
    return [("NONE", "No system", "Directions from the listener alone")] + [
        (name, name, "ITU-R BS.2051: upper + middle + lower") for name in SYSTEMS
    ]


_MAYBE = [("UNSAID", "Not said", ""), ("YES", "Yes", ""), ("NO", "No", "")]


def _of_field(field):
    """The properties of one mark field; figures have a switch that says whether they are given."""
    about = {"name": field.label, "description": field.tip}
    length = {"unit": "LENGTH", "subtype": "DISTANCE"}
    switch = BoolProperty(name=field.label, description=field.tip)
    if field.kind == "choice":
        return {field.key: EnumProperty(items=choices(field.choices), **about)}
    if field.kind == "maybe":
        return {field.key: EnumProperty(items=_MAYBE, **about)}
    if field.kind == "flag":
        return {field.key: BoolProperty(**about)}
    if field.kind == "length":
        return {f"use_{field.key}": switch, field.key: FloatProperty(min=0, **length, **about)}
    if field.kind == "pair":
        pair = FloatVectorProperty(size=2, unit="LENGTH", **about)
        return {f"use_{field.key}": switch, field.key: pair}
    if field.kind == "angle":
        angle = FloatProperty(min=0, max=6.2832, subtype="ANGLE", **about)
        return {f"use_{field.key}": switch, field.key: angle}
    return {field.key: StringProperty(**about)}  # lengths, words, text: typed


def _mark_properties():
    properties = {"role": EnumProperty(name="Is", items=choices(ROLES), default="WALL")}
    for field in MARK_FIELDS.values():
        properties.update(_of_field(field))
    return properties


RoomloomMark = type(
    "RoomloomMark", (bpy.types.PropertyGroup,), {"__annotations__": _mark_properties()}
)

KINDS = [
    ("NONE", "Nothing", "Roomloom takes it as it finds it"),
    ("PART", "Part", "A marked part of the room"),
    ("END", "End", "Where runs end"),
    ("GEAR", "Gear", "A box that holds devices"),
    ("LISTENER", "Listener", "Ear height at the seat; looks along its own y"),
    ("RESULT", "Result", "Drawn by a routing, replaced by the next"),
]


class RoomloomObject(bpy.types.PropertyGroup):
    kind: EnumProperty(name="Kind", items=KINDS)
    mark: PointerProperty(type=RoomloomMark)
    label: StringProperty(
        name="Label",
        description="Loudspeaker label of ITU-R BS.2051; holds until the end is moved",
        search=labels,
    )
    label_at: FloatVectorProperty(name="Placed at", size=3, options={"HIDDEN"})
    mount: EnumProperty(name="Mount", items=choices(MOUNTS), description="How the end is held")
    state: EnumProperty(
        name="State",
        items=[("UNSAID", "As the run says", "Fitted; coiled for a provision")] + choices(STATES),
    )
    may_move: FloatProperty(
        name="May move",
        description="How far it may move later on its surface; the cable will reach",
        min=0,
        unit="LENGTH",
        subtype="DISTANCE",
    )
    use_slack: BoolProperty(name="Own slack")
    slack: FloatProperty(name="Slack", description="Service loop here", min=0, unit="LENGTH")
    connector: StringProperty(name="Connector", description="What the cable is fitted with here")


class RoomloomRule(bpy.types.PropertyGroup):
    match: StringProperty(
        name="Name",
        description="Part name; * any letters, ? one letter",
        search=part_names,
        search_options={"SUGGESTION"},
    )
    mark: PointerProperty(type=RoomloomMark)


def _is_curve(_, candidate):
    return candidate.type == "CURVE"


class RoomloomRun(bpy.types.PropertyGroup):
    name: StringProperty(name="Run", description="Its label; each run has one of its own")
    start: StringProperty(
        name="From", description="Gear, device, device.port or end", search=endpoints
    )
    end: StringProperty(name="To", description="End, gear or loudspeaker label", search=endpoints)
    cable: StringProperty(name="Cable", description="Of the program's catalogue", search=cables)
    provision: BoolProperty(name="Provision", description="Pulled now for gear that comes later")
    use_slack: BoolProperty(name="Own slack", description="Else as preferred")
    slack: FloatProperty(name="Slack", description="Loop at each end", min=0, unit="LENGTH")
    colour: StringProperty(name="Colour", description="Of the jacket")
    impedance: FloatProperty(
        name="Impedance", description="Of the loudspeaker, ohm; 0: not said", min=0
    )
    via: StringProperty(name="Via", description="Parts to pass through, with commas")
    avoid: StringProperty(name="Avoid", description="Parts to keep out of, with commas")
    same_way_as: StringProperty(name="Along with", description="Runs to go along with, with commas")
    not_with: StringProperty(name="Apart from", description="Runs to keep apart from, with commas")
    way: PointerProperty(
        name="Wanted path",
        description="A curve that the run shall follow",
        type=bpy.types.Object,
        poll=_is_curve,
    )


class RoomloomSpool(bpy.types.PropertyGroup):
    cable: StringProperty(name="Cable", search=cables)
    length: FloatProperty(name="Length", min=0, default=100, unit="LENGTH")
    colour: StringProperty(name="Colour")
    count: IntProperty(name="Count", min=1, default=1)


def _take_default(preference):
    """When a preference is switched on, it starts from what the program would have taken."""

    def update(self, context):
        if getattr(self, f"use_{preference.key}") and not self.is_property_set(preference.key):
            value = preference.default
            if preference.kind == "length":
                value /= metres_per_unit(context.scene)
            setattr(self, preference.key, value)

    return update


def _of_preference(preference):
    about = {"name": preference.label, "description": preference.tip}
    switch = BoolProperty(update=_take_default(preference), **about)
    if preference.kind == "flag":
        value = BoolProperty(**about)
    elif preference.kind == "choice":
        value = EnumProperty(items=choices(preference.choices), **about)
        return {preference.key: value, f"use_{preference.key}": BoolProperty(**about)}
    elif preference.kind == "length":
        value = FloatProperty(min=0, precision=3, unit="LENGTH", **about)
    elif preference.kind == "share":
        value = FloatProperty(min=0, max=1, precision=3, **about)
    else:
        value = FloatProperty(min=0, **about)
    return {f"use_{preference.key}": switch, preference.key: value}


def _preference_properties():
    properties = {"preset": EnumProperty(name="Prefer", items=choices(PRESETS))}
    for preference in PREFERENCES:
        properties.update(_of_preference(preference))
    return properties


RoomloomPrefer = type(
    "RoomloomPrefer", (bpy.types.PropertyGroup,), {"__annotations__": _preference_properties()}
)


def _in_units(key):
    """Reads a stored number of metres in the scene's units; it cannot be typed over."""
    return lambda self: self.get(key, 0.0) / metres_per_unit(self.id_data)


class RoomloomRunResult(bpy.types.PropertyGroup):
    name: StringProperty(name="Run")
    drawn: FloatProperty(name="Drawn", unit="LENGTH", precision=3, get=_in_units("drawn_m"))
    cut: FloatProperty(name="Cut", unit="LENGTH", precision=3, get=_in_units("cut_m"))
    cable: StringProperty(name="Cable")
    routed: BoolProperty(name="Routed")
    told: StringProperty(name="Told", description="Why there is no way")
    object: PointerProperty(type=bpy.types.Object)


class RoomloomFinding(bpy.types.PropertyGroup):
    name: StringProperty(name="Subject")
    check: StringProperty(name="Check")
    level: StringProperty(name="Level")
    text: StringProperty(name="Text")
    remedy: StringProperty(name="Remedy")
    has_place: BoolProperty()
    at_m: FloatVectorProperty(size=3)


class RoomloomResult(bpy.types.PropertyGroup):
    folder: StringProperty(name="Folder")
    summary: StringProperty(name="Summary")
    collection: PointerProperty(type=bpy.types.Collection)
    runs: CollectionProperty(type=RoomloomRunResult)
    run_index: IntProperty(update=lambda self, context: _show("show_run", context))
    findings: CollectionProperty(type=RoomloomFinding)
    finding_index: IntProperty(update=lambda self, context: _show("show_finding", context))
    notes: CollectionProperty(type=RoomloomFinding)


def _show(what, context):
    from . import results

    getattr(results, what)(context)


class RoomloomScene(bpy.types.PropertyGroup):
    title: StringProperty(name="Name", description="Of the job, for titles; empty: the file's name")
    system: EnumProperty(name="Layout", items=system_choices())
    runs: CollectionProperty(type=RoomloomRun)
    run_index: IntProperty()
    rules: CollectionProperty(type=RoomloomRule)
    rule_index: IntProperty()
    spools: CollectionProperty(type=RoomloomSpool)
    spool_index: IntProperty()
    prefer: PointerProperty(type=RoomloomPrefer)
    effort: EnumProperty(name="Effort", items=choices(EFFORTS), default="NORMAL")
    drawings: BoolProperty(name="Drawings", description="Sheets to work from", default=True)
    base_job: StringProperty(
        name="Base job",
        description="A job whose rules, cables and stock are kept",
        subtype="FILE_PATH",
    )
    result_folder: StringProperty(
        name="Result folder",
        description="Empty: beside the saved file, else a temporary one",
        subtype="DIR_PATH",
    )
    result: PointerProperty(type=RoomloomResult)


class RoomloomState(bpy.types.PropertyGroup):
    """Of this session of Blender only; the window manager is not saved."""

    running: BoolProperty()
    stage: StringProperty()
    share: FloatProperty(name="Progress", min=0, max=100, subtype="PERCENTAGE")
    message: StringProperty()
    is_error: BoolProperty()


_CLASSES = (
    RoomloomMark,
    RoomloomObject,
    RoomloomRule,
    RoomloomRun,
    RoomloomSpool,
    RoomloomPrefer,
    RoomloomRunResult,
    RoomloomFinding,
    RoomloomResult,
    RoomloomScene,
    RoomloomState,
)

_register_classes, _unregister_classes = bpy.utils.register_classes_factory(_CLASSES)


def register():
    _register_classes()
    bpy.types.Object.roomloom = PointerProperty(type=RoomloomObject)
    bpy.types.Scene.roomloom = PointerProperty(type=RoomloomScene)
    bpy.types.WindowManager.roomloom = PointerProperty(type=RoomloomState)


def unregister():
    for holder in (bpy.types.Object, bpy.types.Scene, bpy.types.WindowManager):
        del holder.roomloom
    _unregister_classes()
