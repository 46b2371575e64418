"""From the document to the job that the program reads."""

import json
import re

import FreeCAD
from FreeCAD import Vector

from roomloom_files import (
    PREFERENCES,
    Told,
    end_at,
    end_at_label,
    end_with,
    gear_at,
    job_problems,
    layout_from,
    make_job,
    part_rule,
    run_between,
    spool,
)

from . import layout, marks, paths, surfaces, things
from .marks import metres, metres_from

IMPERIAL_SCHEMES = (2, 3, 5, 7)  # of FreeCAD's list of unit systems


def shows_feet():
    """Whether FreeCAD shows lengths in feet and inches."""
    return FreeCAD.Units.getSchema() in IMPERIAL_SCHEMES


def _point(vector):
    return [vector.x / 1000.0, vector.y / 1000.0, vector.z / 1000.0]


def _json_of(text, where):
    try:
        return json.loads(text)
    except ValueError as problem:
        raise Told(
            "job.json",
            f"This is no plain JSON: {problem}.",
            where,
            "Correct it in Roomloom's plan settings.",
        ) from problem


# --- gear


def _ports(text):
    return [word.strip() for word in text.split(",") if word.strip()]


def _each_port(words):
    """ "S1..S3" as S1, S2, S3; other words as they are."""
    for word in words:
        found = re.fullmatch(r"(\D*)(\d+)\.\.(\D*)(\d+)", word)
        if not found or found.group(1) != found.group(3):
            yield word
            continue
        first, last = int(found.group(2)), int(found.group(4))
        yield from (f"{found.group(1)}{n}" for n in range(first, min(last, first + 999) + 1))


def _device_lines(thing):
    lines = getattr(thing, "Devices", None)
    if lines is None:
        lines = getattr(thing, marks.property_name("devices"), "").replace("\n", ";").split(";")
    return [line for line in lines if line.strip()]


def ports_of(thing):
    """What a run may name at a place: ports, and device.port of each device. None for an end."""
    found = list(_each_port(_ports(getattr(thing, "Ports", ""))))
    for line in _device_lines(thing):
        device, _, ports = line.partition(":")
        names = list(_each_port(_ports(ports)))
        found += [f"{device.strip()}.{port}" for port in names] or [device.strip()]
    return found


def free_ports(document, thing):
    """The ports of a place that no run uses yet."""
    used = {
        getattr(run, end + "Port")
        for run in things.all_of(document, "run")
        for end in ("From", "To")
        if getattr(run, end) is thing
    }
    return [port for port in ports_of(thing) if port not in used]


def _gear(gear, parts):
    """The program turns a gear's width along the nearest wall; so does this, whatever its turn."""
    placement = gear.getGlobalPlacement()
    if placement.Rotation.multVec(Vector(0, 0, 1)).z < 0.999:
        raise Told("place.gear", "Gear stands upright.", gear.Label, "Turn it about Z only.")
    width, depth = metres(gear.Length), metres(gear.Width)
    foot = things.foot_of(gear)
    out, _ = surfaces.wall_behind(parts, foot)
    if out is not None and abs(placement.Rotation.multVec(Vector(0, 1, 0)).dot(out)) < 0.5:
        width, depth = depth, width
    item = gear_at(
        gear.Label,
        [width, depth, metres(gear.Height)],
        _point(foot),
        pull_out=metres(gear.PullOut) or None,
        devices="; ".join(gear.Devices),
    )
    if _ports(gear.Ports):
        item["ports"] = _ports(gear.Ports)
    return item


def _rack(part, parts):
    """A part that is gear: its box, with its width along the wall that is nearest."""
    box = part.box()
    out, _ = surfaces.wall_behind(parts, box.Center)
    along_x = box.XLength >= box.YLength if out is None else abs(out.y) > abs(out.x)
    sides = (box.XLength, box.YLength) if along_x else (box.YLength, box.XLength)
    foot = Vector(box.Center.x, box.Center.y, box.ZMin)
    return gear_at(
        part.name,
        [sides[0] / 1000.0, sides[1] / 1000.0, box.ZLength / 1000.0],
        _point(foot),
        pull_out=part.mark.get("pull_out"),
        devices=part.mark.get("devices", ""),
    )


# --- ends


def _how_it_ends(thing, with_mount=True):
    """What an end or a run says of an end, as keywords of end_with."""
    said = {
        "state": None if thing.EndState == things.AS_PLANNED else thing.EndState,
        "may_move": metres(thing.MayMove) or None,
    }
    if with_mount:
        said["mount"] = thing.Mount
        said["connector"] = thing.Connector
        said["slack"] = metres_from(thing.Slack, thing.Label) if thing.Slack.strip() else None
    return said


def _end(end):
    if layout.follows_layout(end):
        return end_at_label(end.Label, end.SpeakerLabel, **_how_it_ends(end))
    return end_at(end.Label, _point(end.getGlobalPlacement().Base), **_how_it_ends(end))


# --- runs


def _holds(thing, name):
    """Whether gear has a device of that name."""
    return any(line.partition(":")[0].strip() == name for line in _device_lines(thing))


def _reference(thing, port, names):
    """How a job names the end of a run."""
    if thing is None:
        return ""
    port = port.strip()
    label = names.get(thing.Name, thing.Label)
    if not port:
        return label
    if _holds(thing, port.partition(".")[0]):
        return port
    return f"{label}.{port}"


def _names_of(linked, names, run, what):
    """Exported names of linked parts; what is no part of the room is told."""
    found = []
    for thing in linked:
        if thing.Name not in names:
            raise Told(
                "job.reference",
                f'{what} "{thing.Label}", which is no part of the room.',
                run.Label,
                "Take it out of the run.",
            )
        found.append(names[thing.Name])
    return found


def _passed_and_avoided(run, names):
    """What the run passes and keeps out of, in the job's words."""
    via = _names_of(run.Via, names, run, "The run passes")
    via += [text for text in run.ViaNames if text.strip()]
    avoid = _names_of(run.Avoid, names, run, "The run avoids")
    avoid += [text for text in run.AvoidNames if text.strip()]
    return via, avoid


def _run(run, names):
    via, avoid = _passed_and_avoided(run, names)
    item = run_between(
        run.Label,
        _reference(run.From, run.FromPort, names),
        _reference(run.To, run.ToPort, names),
        run.Cable.strip(),
        provision=run.Provision,
        slack=metres_from(run.Slack, run.Label) if run.Slack.strip() else None,
        colour=run.Colour,
        impedance=run.Impedance.strip() or None,
        via=via,
        avoid=avoid,
        way=paths.corners_m(run.WantedPath) if run.WantedPath is not None else (),
        same_way_as=[other.Label for other in run.SameWayAs],
        not_with=[other.Label for other in run.NotWith],
        end_state=end_with({}, **_how_it_ends(run, with_mount=False)),
    )
    if run.Installed:
        item["installed"] = True
        if metres(run.Measured):
            item["measured"] = metres(run.Measured)
    return item


# --- the plan


def weight_of(preference, text):
    """A typed weight or margin as a job holds it; Told if it cannot be understood."""
    if preference.kind == "length":
        return metres_from(text, preference.label)
    if preference.kind == "flag":
        return text.strip().lower() in ("yes", "true", "1", "on")
    if preference.kind == "choice":
        return text.strip()
    try:
        share = text.strip().endswith("%")
        number = float(text.strip().rstrip("%").replace(",", "."))
    except ValueError as problem:
        raise Told(
            "job.number",
            f'"{text}" is no number.',
            preference.label,
            "Correct it in Roomloom's plan settings.",
        ) from problem
    return number / 100.0 if share else number


def _prefer(plan):
    known = {preference.key: preference for preference in PREFERENCES}
    weights = {
        key: weight_of(known[key], text)
        for key, text in sorted(plan.Weights.items())
        if key in known and text.strip()
    }
    return {"preset": plan.Prefer, **weights} if weights else plan.Prefer


def _spools(plan):
    found = []
    for line in plan.Spools:
        words = [word.strip() for word in line.split(";")]
        if not words[0]:
            continue
        if len(words) < 2:
            raise Told(
                "job.spool",
                f'The spool "{line}" has no length.',
                "Spools",
                "Write it like: speaker 2x2.5; 100 m; black",
            )
        found.append(spool(words[0], metres_from(words[1], line), *words[2:3]))
    return found


def _rules(plan, parts):
    rules = [part_rule(part.name, part.mark) for part in parts if part.mark]
    for line in plan.Rules:
        if line.strip():
            rule = _json_of(line, "Rules")
            if not isinstance(rule, dict) or not rule.get("match"):
                raise Told(
                    "job.rule",
                    f'The rule {line} has no "match".',
                    "Rules",
                    'Write it like: {"match": "Duct *", "is": "obstacle"}',
                )
            rules.append(rule)
    return rules


def check_plan(plan):
    """Raises Told if a typed setting cannot be understood."""
    _prefer(plan)
    _spools(plan)
    _rules(plan, [])
    if plan.MoreOfJob.strip():
        _json_of(plan.MoreOfJob, "MoreOfJob")


def _seed(plan, listener):
    if plan.SeedGiven:
        return _point(plan.Seed)
    return _point(listener.getGlobalPlacement().Base) if listener else None


def names_by_thing(parts):
    """Object name -> exported name. A link's parts are known by the link and by themselves."""
    names = {}
    for part in parts:
        names.setdefault(part.thing.Name, part.name)
        names.setdefault(part.root.Name, part.name)
    return names


def make(document, parts, model):
    """The job for a document whose parts were written as `model` (see parts.write_model).

    Raises Told with all that can be told before the program is asked.
    """
    plan = things.plan_of(document)
    if plan is None:
        raise Told(
            "job.runs",
            "There are no runs to route.",
            document.Label,
            "Place gear and ends, then make runs between them.",
        )
    names = names_by_thing(parts)
    listeners = things.all_of(document, "listener")
    round_listener = None
    if listeners:
        place = listeners[0].getGlobalPlacement().Base
        round_listener = layout_from(listeners[0].System, _point(place), float(listeners[0].Facing))
        if metres(listeners[0].Distance):
            round_listener["distance"] = metres(listeners[0].Distance)
    job = make_job(
        document.Label,
        model["file"],
        rules=_rules(plan, parts),
        gear=[_gear(gear, parts) for gear in things.all_of(document, "gear")]
        + [_rack(part, parts) for part in parts if part.mark and part.mark["is"] == "rack"],
        ends=[_end(end) for end in things.all_of(document, "end")],
        runs=[_run(run, names) for run in things.all_of(document, "run")],
        layout=round_listener,
        spools=_spools(plan),
        prefer=_prefer(plan),
        units="feet and inches" if shows_feet() else "metric",
        seed=_seed(plan, listeners[0] if listeners else None),
        base=_json_of(plan.MoreOfJob, "MoreOfJob") if plan.MoreOfJob.strip() else None,
    )
    job["model"].update(model)
    problems = job_problems(job)
    if problems:
        told = Told(
            problems[0].code,
            "\n".join(problem.what for problem in problems),
            problems[0].where,
            problems[0].remedy,
        )
        told.job = job
        raise told
    return job
