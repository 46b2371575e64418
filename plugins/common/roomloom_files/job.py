"""A job in plain dicts, ready to be written as JSON. Lengths metres, angles degrees."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Dict, Iterable, List, Mapping, Optional, Sequence, Union

from .told import Told

Point = Sequence[float]


def _without_none(items: Mapping) -> Dict[str, object]:
    return {key: value for key, value in items.items() if value not in (None, "", [], {})}


def _point(point: Point) -> List[float]:
    """Rounded to a hundredth of a millimetre: hosts keep single precision."""
    return [round(float(value), 5) + 0.0 for value in point]


def parse_devices(text: str) -> List[Dict[str, object]]:
    """Devices of a rack as typed in a panel: "amp: S1..S9, net; player: out", bottom to top.

    Returns the job's "holds". A device without ports may take any number of runs.
    """
    holds = []
    for piece in text.replace("\n", ";").split(";"):
        name, _, ports = piece.partition(":")
        if not name.strip():
            continue
        words = [word.strip() for word in ports.split(",") if word.strip()]
        holds.append(_without_none({"id": name.strip(), "ports": words}))
    return holds


def gear_at(
    gear_id: str,
    box: Point,
    point: Point,
    *,
    pull_out: Optional[float] = None,
    devices: Union[str, Sequence[Mapping], None] = None,
) -> Dict[str, object]:
    """Gear that stands at a point.

    box    width, depth, height: width is along the wall behind it
    point  the middle of its footprint, at its foot; the program turns its back to the nearest wall
    """
    holds = parse_devices(devices) if isinstance(devices, str) else list(devices or [])
    return _without_none(
        {
            "id": gear_id,
            "box": [round(float(side), 5) for side in box],
            "xyz": _point(point),
            "pull_out": pull_out,
            "holds": holds,
        }
    )


def end_with(
    place: Mapping,
    *,
    mount: Optional[str] = None,
    state: Optional[str] = None,
    may_move: Optional[float] = None,
    slack: Optional[float] = None,
    connector: str = "",
) -> Dict[str, object]:
    """An end or part of one: any place of the job's words, and what else is said of the end.

    may_move  radius in metres; None or 0 = it stays
    """
    end = dict(place)
    end["mount"] = None if mount == "automatic" else mount
    end["state"] = state
    end["may_move"] = {"radius": may_move} if may_move else None
    end["slack"] = slack
    end["connector"] = connector
    return _without_none(end)


def end_at(end_id: str, point: Point, **more: object) -> Dict[str, object]:
    """An end at a point of the room frame; `more` as for end_with."""
    return end_with({"id": end_id, "xyz": _point(point)}, **more)


def end_at_label(end_id: str, label: str, **more: object) -> Dict[str, object]:
    """An end where the layout places a loudspeaker label of ITU-R BS.2051."""
    return end_with({"id": end_id, "label": label}, **more)


def layout_from(
    system: str, listener: Point, facing: Union[str, float, None] = None
) -> Dict[str, object]:
    """A loudspeaker layout.

    listener  ear height at the seat
    facing    a wall's exported name, or degrees from the room's +y counter-clockwise from above
    """
    facing = f"{facing:g} deg" if isinstance(facing, (int, float)) else facing
    return _without_none(
        {"system": system, "listener": {"xyz": _point(listener)}, "facing": facing}
    )


def run_between(
    run_id: str,
    start: str,
    end: str,
    cable: str,
    *,
    provision: bool = False,
    slack: Optional[float] = None,
    colour: str = "",
    impedance: Optional[float] = None,
    via: Iterable[str] = (),
    avoid: Iterable[str] = (),
    same_way_as: Iterable[str] = (),
    not_with: Iterable[str] = (),
    way: Iterable[Point] = (),
    end_state: Optional[Mapping] = None,
) -> Dict[str, object]:
    """A run. start, end: an end's id, gear, "device", "device.port" or a loudspeaker label.

    slack      service loop at each end; None = as preferred
    via        names or patterns to be passed in this order
    way        corners of a wanted path, which the run keeps as near to as it can; see corners_of
    end_state  what differs at the far end of this run: end_with({}, state=..., may_move=...)
    """
    return _without_none(
        {
            "id": run_id,
            "from": start,
            "to": end,
            "cable": cable,
            "provision": True if provision else None,
            "slack": slack,
            "colour": colour,
            "impedance": impedance,
            "via": list(via),
            "avoid": list(avoid),
            "same_way_as": list(same_way_as),
            "not_with": list(not_with),
            "way": [_point(corner) for corner in way],
            "end": dict(end_state or {}),
        }
    )


def spool(cable: str, length: float, colour: str = "", count: int = 1) -> Dict[str, object]:
    """Cable at hand."""
    count_or_none = None if count == 1 else count
    return _without_none(
        {"cable": cable, "length": length, "colour": colour, "count": count_or_none}
    )


def corners_of(points: Sequence[Point], tolerance: float = 0.02) -> List[Point]:
    """The fewest of a curve's points that stay within `tolerance` metres of all of them.

    Source: D. Douglas, T. Peucker, "Algorithms for the reduction of the number of points required
    to represent a digitized line or its caricature", Cartographica 10 (1973), from memory.
    """
    points = list(points)
    if len(points) < 3:
        return points
    kept, waiting = {0, len(points) - 1}, [(0, len(points) - 1)]
    while waiting:
        first, last = waiting.pop()
        away = [_off_line(points[k], points[first], points[last]) for k in range(first + 1, last)]
        if not away or max(away) <= tolerance:
            continue
        corner = first + 1 + away.index(max(away))
        kept.add(corner)
        waiting += [(first, corner), (corner, last)]
    return [points[index] for index in sorted(kept)]


def _off_line(point: Point, start: Point, end: Point) -> float:
    """How far a point is from a piece of line."""
    along = [b - a for a, b in zip(start, end)]
    to_point = [p - a for a, p in zip(start, point)]
    square = sum(value * value for value in along)
    share = sum(a * b for a, b in zip(along, to_point)) / square if square > 0 else 0.0
    share = min(1.0, max(0.0, share))
    return sum((p - share * a) ** 2 for a, p in zip(along, to_point)) ** 0.5


def read_job(path: Union[str, Path]) -> Dict[str, object]:
    """Reads a job file that plain JSON can read, to be given to make_job as its base.

    Raises Told: job.missing, job.json.
    """
    try:
        job = json.loads(Path(path).read_text(encoding="utf-8-sig"))
    except OSError as fault:
        raise Told("job.missing", f"The job cannot be read ({fault.strerror}).", str(path))
    except ValueError as fault:
        raise Told(
            "job.json",
            f"The job is no plain JSON: {fault}.",
            str(path),
            "Comments and a comma after the last item are the program's own liberty.",
        )
    if not isinstance(job, dict):
        raise Told("job.json", "The job is no JSON object.", str(path))
    return job


def make_job(
    name: str,
    model_file: str,
    *,
    rules: Sequence[Mapping] = (),
    gear: Sequence[Mapping] = (),
    ends: Sequence[Mapping] = (),
    runs: Sequence[Mapping] = (),
    layout: Optional[Mapping] = None,
    spools: Sequence[Mapping] = (),
    prefer: Union[str, Mapping, None] = None,
    units: Optional[str] = None,
    currency: str = "",
    seed: Optional[Point] = None,
    base: Optional[Mapping] = None,
) -> Dict[str, object]:
    """Puts a job together.

    model_file  relative to the job
    rules       from part_rule; names that hold no pattern are put first, since the first rule that
                matches a part wins
    prefer      a preset's name, or {"preset": ..., a weight: ...}
    units       "metric" or "feet and inches", for printed lists
    seed        a point in the room's air, where the model holds several rooms
    base        another job (see read_job) whose sections are kept behind ours; an item of the same
                id (rules: the same match) is replaced, and so are layout, prefer and model
    """
    old = base or {}
    parts = sorted(rules, key=lambda rule: any(c in str(rule["match"]) for c in "*?"))
    stock = old.get("stock") or {}
    model = {"file": model_file, "seed": _point(seed) if seed is not None else None}
    job = {
        "version": 1,
        "name": name,
        "units": units or old.get("units"),
        "currency": currency or old.get("currency"),
        "model": _without_none(model),
        "parts": _joined(parts, old.get("parts"), "match"),
        "gear": _joined(gear, old.get("gear"), "id"),
        "ends": _joined(ends, old.get("ends"), "id"),
        "layout": layout or old.get("layout"),
        "runs": _joined(runs, old.get("runs"), "id"),
        "stock": _without_none({"spools": [*spools, *(stock.get("spools") or [])]}),
        "cables": old.get("cables"),
        "raceways": old.get("raceways"),
        "prefer": prefer or old.get("prefer"),
    }
    return _without_none(job)


def _joined(ours: Sequence[Mapping], others: Optional[Sequence[Mapping]], key: str) -> List[dict]:
    taken = {item.get(key) for item in ours}
    kept = [item for item in others or () if item.get(key) not in taken]
    return [*map(dict, ours), *map(dict, kept)]


def job_problems(job: Mapping) -> List[Told]:
    """What can be told before the program is asked: no runs, doubled ids, runs to nowhere.

    Names with a dot are held against gear and its devices only as far as the dot; labels of a
    layout are known to the program alone and pass. The program checks everything again.
    """
    problems: List[Told] = []
    known: Dict[str, str] = {}

    def claim(name: str, pointer: str) -> None:
        if name in known:
            remedy = "Gear, devices and ends share one set of names: rename one."
            problems.append(Told("job.id", f'The name "{name}" is used twice.', pointer, remedy))
        known[name] = pointer

    for index, gear in enumerate(job.get("gear", [])):
        claim(gear["id"], f"/gear/{index}")
        for device in gear.get("holds", []):
            claim(device["id"], f"/gear/{index}")
    for index, end in enumerate(job.get("ends", [])):
        claim(end["id"], f"/ends/{index}")
    runs: Dict[str, int] = {}
    for index, run in enumerate(job.get("runs", [])):
        pointer = f"/runs/{index}"
        if run.get("id") in runs:
            problems.append(
                Told("job.id", f'The run "{run["id"]}" is there twice.', pointer, "Rename one.")
            )
        runs[str(run.get("id"))] = index
        for key, word in (("from", "starts"), ("to", "ends")):
            if not run.get(key):
                what = f'The run "{run.get("id", "")}" {word} nowhere.'
                problems.append(Told("job.reference", what, pointer, "Choose an end or gear."))
        if not run.get("cable"):
            what = f'The run "{run.get("id", "")}" has no cable.'
            problems.append(Told("job.cable", what, pointer, "Choose one from the list."))
    if not runs:
        remedy = "Place gear and ends, then make runs between them."
        problems.append(Told("job.runs", "There are no runs to route.", "", remedy))
    return problems
