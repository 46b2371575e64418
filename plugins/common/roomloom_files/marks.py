"""What a part of the room can be marked as, and what else is said of it.

A mark is a plain dict that a host keeps with its object: {"is": a role, field: value, ...} with the
fields of `fields_of(role)`. Values: lengths in metres, angles in degrees, flags as bool, choices as
text, lists as Python lists. A field that is absent or None is left to the program.
"""

from __future__ import annotations

from typing import Dict, List, Mapping, NamedTuple, Optional, Tuple

from .told import Told


class Field(NamedTuple):
    """One thing that can be said of a marked part, enough to draw it in a panel.

    kind  "choice", "flag", "maybe" (yes, no or not said), "length", "pair" (two lengths),
          "lengths" (a list), "angle", "words" (a list of texts) or "text"
    """

    key: str
    kind: str
    label: str
    tip: str
    choices: Tuple[str, ...] = ()


MARK_FIELDS: Dict[str, Field] = {
    field.key: field
    for field in (
        Field(
            "build",
            "choice",
            "Build",
            "What the wall is made of; decides whether cable can run inside it",
            ("unknown", "masonry", "stud", "outside", "concrete", "board"),
        ),
        Field("fixable", "maybe", "Fixable", "May raceway, clips and boxes be fixed to it?"),
        Field("fishable", "maybe", "Fishable", "May cable run inside it? Overrules the build"),
        Field("stud_pitch", "length", "Stud pitch", "Centre to centre; needed for studs"),
        Field("stud_first", "length", "First stud", "From the wall's left edge to its centre"),
        Field("stud_width", "length", "Stud width", "Of one stud"),
        Field("stud_depth", "length", "Bay depth", "Clear depth of a bay"),
        Field("blocking", "lengths", "Blocking", "Heights above the floor of cross pieces"),
        Field("tile", "pair", "Tile", "Pitch of the ceiling grid along x and y"),
        Field("tile_origin", "pair", "Grid corner", "x and y of one corner of the grid"),
        Field("handles_air", "maybe", "Handles air", "Does the void above move air?"),
        Field("clearance", "length", "Clearance", "Kept free round it"),
        Field("inside", "length", "Inside", "Inside diameter of a conduit or hole"),
        Field("occupied_by", "words", "Lies in it", "Cables in it already, by catalogue id"),
        Field("hides", "flag", "Hides", "Cable behind or in it is out of sight"),
        Field("swing", "angle", "Swing", "How far the door opens into the room"),
        Field("devices", "text", "Devices", "amp: S1..S9, net; player: out (bottom to top)"),
        Field("pull_out", "length", "Pull out", "How far it comes out with everything connected"),
    )
}

_WALL = ("build", "fixable", "fishable", "stud_pitch", "stud_first", "stud_width", "stud_depth")
_BODY = ("clearance", "fixable", "hides")

#: Every role that can be marked, with the keys of the fields that mean something for it. "rack" is
#: ours alone: it becomes gear in the job, and the part itself is left out of the room.
FIELDS_OF: Dict[str, Tuple[str, ...]] = {
    "wall": (*_WALL, "blocking"),
    "floor": ("fixable",),
    "ceiling": ("build", "fixable"),
    "suspended ceiling": ("tile", "tile_origin", "handles_air"),
    "deck": ("fixable",),
    "door": ("swing",),
    "window": (),
    "vent": ("clearance",),
    "luminaire": ("clearance",),
    "obstacle": _BODY,
    "furniture": _BODY,
    "curtain": ("hides",),
    "cupboard": _BODY,
    "power": ("clearance",),
    "outlet": ("clearance",),
    "conduit": ("inside", "occupied_by"),
    "hole": ("inside",),
    "seat": (),
    "walkway": (),
    "marker": (),
    "ignore": (),
    "rack": ("devices", "pull_out"),
}

ROLES: Tuple[str, ...] = tuple(FIELDS_OF)

_STUDS = {
    "stud_pitch": "pitch",
    "stud_first": "first",
    "stud_width": "width",
    "stud_depth": "depth",
    "blocking": "blocking",
}


def fields_of(role: str) -> List[Field]:
    """The fields that a panel shows for a role; empty for an unknown one."""
    return [MARK_FIELDS[key] for key in FIELDS_OF.get(role, ())]


def part_rule(match: str, mark: Mapping) -> Dict[str, object]:
    """A mark as a rule of the job's "parts".

    match  the part's exported name, or a pattern
    Fields that mean nothing for the role are left out; a rack's rule is "ignore" (see gear_at).
    Raises Told mark.role (an unknown role), mark.studs (other figures of studs without a pitch).
    """
    role = str(mark.get("is", ""))
    if role not in FIELDS_OF:
        raise Told("mark.role", f'"{role}" is nothing that a part can be marked as.', match)
    if role == "rack":
        return {"match": match, "is": "ignore"}
    rule: Dict[str, object] = {"match": match, "is": role}
    studs: Dict[str, object] = {}
    for key in FIELDS_OF[role]:
        value: Optional[object] = mark.get(key)
        if value is None or value == [] or value == ():
            continue
        value = list(value) if isinstance(value, tuple) else value
        if key in _STUDS:
            studs[_STUDS[key]] = value
        elif key == "swing":
            rule[key] = f"{value:g} deg"
        else:
            rule[key] = value
    if studs and "pitch" not in studs:
        raise Told(
            "mark.studs",
            "The wall's studs have no pitch.",
            match,
            "Give the stud pitch, or clear the other figures of its studs.",
        )
    if studs:
        rule["studs"] = studs
    return rule
