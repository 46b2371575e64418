"""The scene's marks, markers and tables as a job."""

from math import degrees

import bpy
from mathutils import Vector
from mathutils.geometry import interpolate_bezier

from .marking import mark_of
from .objects import is_gear
from .placing import facing_rad, holds_its_label, listener_of, wall_behind
from .properties import word
from .roomloom_files import (
    PREFERENCES,
    Told,
    corners_of,
    end_at,
    end_at_label,
    gear_at,
    layout_from,
    make_job,
    part_rule,
    read_job,
    run_between,
    spool,
)
from .units import metres_per_unit, to_room

_STEP_OF_WAY_M = 0.05


def _words(text):
    return [piece.strip() for piece in text.split(",") if piece.strip()]


def rules_of(scene, room):
    rules = [part_rule(name, mark_of(mark, scene)) for name, mark in room.marks]
    return rules + [
        part_rule(r.match, mark_of(r.mark, scene)) for r in scene.roomloom.rules if r.match
    ]


def _box_of(thing):
    """Centre in the world, the three axes and the sides along them, of gear."""
    matrix = thing.matrix_world
    if thing.type == "EMPTY":
        size = thing.empty_display_size
        low, high = Vector((-size,) * 3), Vector((size,) * 3)
    else:
        corners = [Vector(corner) for corner in thing.bound_box]
        low = Vector([min(c[i] for c in corners) for i in range(3)])
        high = Vector([max(c[i] for c in corners) for i in range(3)])
    columns = [matrix.to_3x3().col[i] for i in range(3)]
    sides = [columns[i].length * (high[i] - low[i]) for i in range(3)]
    axes = [column.normalized() for column in columns]
    return matrix @ ((low + high) / 2), axes, sides


def gear_of(context, thing):
    """Gear as the job has it. Its back is the side that is nearest to a wall."""
    scene = context.scene
    centre, axes, sides = _box_of(thing)
    up = max(range(3), key=lambda i: abs(axes[i].z))
    if abs(axes[up].z) < 0.99:
        raise Told("gear.tilted", "Gear must stand upright.", thing.name, "Clear its tilt.")
    level = [i for i in range(3) if i != up]
    back, _ = wall_behind(
        context, thing, centre, [axes[i] for i in level], [sides[i] for i in level]
    )
    depth, width = sides[level[back]], sides[level[1 - back]]
    foot = centre - Vector((0, 0, 0.5 * sides[up]))
    scale = metres_per_unit(scene)
    mark = mark_of(thing.roomloom.mark, scene) if thing.roomloom.kind == "PART" else None
    devices, pull_out = (
        _gear_words(thing, scale)
        if mark is None
        else (
            mark.get("devices"),
            mark.get("pull_out"),
        )
    )
    box = (width * scale, depth * scale, sides[up] * scale)
    return gear_at(thing.name, box, to_room(scene, foot), pull_out=pull_out, devices=devices)


def _gear_words(thing, scale):
    mark = thing.roomloom.mark
    return mark.devices, round(mark.pull_out * scale, 6) if mark.use_pull_out else None


def end_of(scene, thing, has_listener):
    ours, scale = thing.roomloom, metres_per_unit(scene)
    more = {
        "mount": word(ours.mount),
        "state": None if ours.state == "UNSAID" else word(ours.state),
        "may_move": round(ours.may_move * scale, 6),
        "slack": round(ours.slack * scale, 6) if ours.use_slack else None,
        "connector": ours.connector,
    }
    if has_listener and holds_its_label(thing):
        return end_at_label(thing.name, ours.label, **more)
    return end_at(thing.name, to_room(scene, thing.matrix_world.translation), **more)


def layout_of(scene):
    listener = listener_of(scene)
    if listener is None:
        return None
    system = "" if scene.roomloom.system == "NONE" else scene.roomloom.system
    ear = to_room(scene, listener.matrix_world.translation)
    return layout_from(system, ear, round(degrees(facing_rad(listener)), 3) + 0.0)


def points_of_curve(thing, step):
    """Points along a curve object's splines in the world, no further apart than `step`."""
    corners = []
    for spline in thing.data.splines:
        if spline.type == "BEZIER":
            for a, b in zip(spline.bezier_points, spline.bezier_points[1:]):
                corners += interpolate_bezier(a.co, a.handle_right, b.handle_left, b.co, 24)
        else:
            corners += [point.co.to_3d() for point in spline.points]
    corners = [thing.matrix_world @ corner for corner in corners]
    points = corners[:1]
    for a, b in zip(corners, corners[1:]):
        pieces = max(1, int((b - a).length / step) + 1)
        points += [a.lerp(b, k / pieces) for k in range(1, pieces + 1)]
    return points


def way_of(scene, run):
    """The corners of the curve that a run shall follow, in metres; empty without one."""
    if run.way is None:
        return []
    points = points_of_curve(run.way, _STEP_OF_WAY_M / metres_per_unit(scene))
    if len(points) < 2:
        raise Told("run.way", f'The wanted path of run "{run.name}" has no length.', run.way.name)
    return corners_of([to_room(scene, point) for point in points])


def run_of(scene, run):
    scale = metres_per_unit(scene)
    return run_between(
        run.name,
        run.start,
        run.end,
        run.cable,
        provision=run.provision,
        slack=round(run.slack * scale, 6) if run.use_slack else None,
        colour=run.colour,
        impedance=run.impedance or None,
        via=_words(run.via),
        avoid=_words(run.avoid),
        same_way_as=_words(run.same_way_as),
        not_with=_words(run.not_with),
        way=way_of(scene, run),
    )


def prefer_of(scene):
    """A preset's name, or an object where any weight or margin is set."""
    prefer, scale = scene.roomloom.prefer, metres_per_unit(scene)
    said = {"preset": word(prefer.preset)}
    for preference in PREFERENCES:
        if not getattr(prefer, f"use_{preference.key}"):
            continue
        value = getattr(prefer, preference.key)
        if preference.kind == "length":
            value = round(value * scale, 6)
        elif preference.kind == "choice":
            value = word(value)
        elif preference.kind != "flag":
            value = round(value, 6)
        said[preference.key] = value
    if len(said) > 1:
        return said
    return said["preset"] if prefer.is_property_set("preset") else None


def job_of(context, room, model_file):
    """The whole job. Raises Told."""
    scene = context.scene
    ours = scene.roomloom
    listener = listener_of(scene)
    things = sorted(scene.objects, key=lambda thing: thing.name)
    base = read_job(bpy.path.abspath(ours.base_job)) if ours.base_job else None
    name = ours.title or bpy.path.display_name_from_filepath(bpy.data.filepath) or scene.name
    scale = metres_per_unit(scene)
    imperial = scene.unit_settings.system == "IMPERIAL"
    return make_job(
        name,
        model_file,
        rules=rules_of(scene, room),
        gear=[gear_of(context, thing) for thing in things if is_gear(thing)],
        ends=[end_of(scene, t, listener is not None) for t in things if t.roomloom.kind == "END"],
        runs=[run_of(scene, run) for run in ours.runs],
        layout=layout_of(scene),
        spools=[spool(s.cable, round(s.length * scale, 6), s.colour, s.count) for s in ours.spools],
        prefer=prefer_of(scene),
        units="feet and inches" if imperial else "metric",
        seed=to_room(scene, listener.matrix_world.translation) if listener else None,
        base=base,
    )
