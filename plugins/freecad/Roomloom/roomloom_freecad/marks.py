"""What the user says of a part, kept on the part itself as properties of the group "Roomloom".

The properties are FreeCAD's own dynamic ones: they show in the property editor, are saved with the
document, are undone with it, and can be read where this workbench is not installed. Nothing else
about the user's objects is touched. Lengths are kept in FreeCAD's unit; `mark_of` gives the mark as
`roomloom_files.marks` wants it, in metres and degrees.
"""

import FreeCAD

from roomloom_files import FIELDS_OF, ROLES, Told, fields_of

GROUP = "Roomloom"
PREFIX = "Roomloom"
ROLE = PREFIX + "Is"
NOT_SAID = "not said"
MAYBE = [NOT_SAID, "yes", "no"]

_TYPES = {
    "choice": "Enumeration",
    "maybe": "Enumeration",
    "flag": "Bool",
    "length": "Length",
    "lengths": "StringList",
    "angle": "Angle",
    "words": "StringList",
    "text": "String",
}
# What a length or an angle of nought stands for.
_NOUGHT = " (0: not said)"


def property_name(key):
    """ "stud_pitch" -> "RoomloomStudPitch"."""
    return PREFIX + "".join(word.capitalize() for word in key.split("_"))


def properties_of(field):
    """[(property, FreeCAD type without "App::Property", tip)]: one, or two or three for a pair."""
    name = property_name(field.key)
    if field.kind == "pair":
        kind = "Distance" if field.key == "tile_origin" else "Length"
        both = [(name + axis, kind, f"{field.tip}: {axis}") for axis in "XY"]
        if field.key == "tile_origin":
            both.append((name + "Given", "Bool", "Off: the program finds the grid's corner"))
        return both
    nought = _NOUGHT if field.kind in ("length", "angle") else ""
    return [(name, _TYPES[field.kind], field.tip + nought)]


def role_of(thing):
    """What a part was marked as, or None."""
    return getattr(thing, ROLE, None)


def marked(document):
    """The marked parts of a document, in its order."""
    return [thing for thing in document.Objects if role_of(thing)]


def _choices(field):
    if field.kind == "maybe":
        return MAYBE
    return [choice if choice != "unknown" else NOT_SAID for choice in field.choices]


def _all_names():
    return {
        name for role in ROLES for field in fields_of(role) for name, _, _ in properties_of(field)
    }


def mark(thing, role, **values):
    """Marks a part, and says what else is known of it.

    values: by a field's key. Lengths in mm or texts with a unit, a pair as (x, y), angles in
    degrees, "maybe" as True or False. Values of a former role that the new one does not have are
    taken away, the others stay.
    """
    if role not in FIELDS_OF:
        raise ValueError(f"\"{role}\" is no role; there are: {', '.join(ROLES)}")
    stray = set(values) - set(FIELDS_OF[role])
    if stray:
        raise ValueError(f"nothing like {', '.join(sorted(stray))} is said of \"{role}\"")
    if not hasattr(thing, ROLE):
        thing.addProperty("App::PropertyEnumeration", ROLE, GROUP, "What this part is")
        setattr(thing, ROLE, list(ROLES))
    setattr(thing, ROLE, role)
    kept = {name for field in fields_of(role) for name, _, _ in properties_of(field)}
    for name in sorted(_all_names() - kept):
        if hasattr(thing, name):
            thing.removeProperty(name)
    for field in fields_of(role):
        _add(thing, field)
        if field.key in values:
            say(thing, field, values[field.key])


def _add(thing, field):
    for name, kind, tip in properties_of(field):
        if hasattr(thing, name):
            continue
        thing.addProperty("App::Property" + kind, name, GROUP, tip)
        if kind == "Enumeration":
            setattr(thing, name, _choices(field))


def say(thing, field, value):
    """Sets one field of a marked part; values as for `mark`."""
    name = property_name(field.key)
    if field.kind == "pair":
        setattr(thing, name + "X", value[0])
        setattr(thing, name + "Y", value[1])
        if field.key == "tile_origin":
            setattr(thing, name + "Given", True)
    elif field.kind == "maybe" and isinstance(value, bool):
        setattr(thing, name, "yes" if value else "no")
    else:
        setattr(thing, name, value)


def unmark(thing):
    """Takes all marks off a part."""
    for name in [ROLE, *sorted(_all_names())]:
        if hasattr(thing, name):
            thing.removeProperty(name)


def metres(quantity):
    """A length property's value in metres."""
    return round(float(quantity) / 1000.0, 9)


def metres_from(text, where=""):
    """A typed length ("1.2 m", "4 ft"; a bare number is mm) in metres; Told if it is none."""
    try:
        found = FreeCAD.Units.Quantity(text)
    except Exception as problem:  # FreeCAD raises several kinds, with no common base
        raise Told(
            "length.text", f'"{text}" is no length.', where, "Write it like 300 mm, 1.2 m or 4 ft."
        ) from problem
    if found.Unit not in (FreeCAD.Units.Length, FreeCAD.Units.Unit()):
        raise Told(
            "length.text", f'"{text}" is no length.', where, "Write it like 300 mm, 1.2 m or 4 ft."
        )
    return round(found.Value / 1000.0, 9)


def _said(thing, field):
    """A field's value as a mark holds it; None where nothing was said."""
    name = property_name(field.key)
    if field.kind == "pair":
        x, y = (getattr(thing, name + axis, 0) for axis in "XY")
        if field.key == "tile_origin":
            return [metres(x), metres(y)] if getattr(thing, name + "Given", False) else None
        sides = [metres(x) or metres(y), metres(y) or metres(x)]
        return sides if sides[0] else None
    value = getattr(thing, name, None)
    if value is None or value == NOT_SAID:
        return None
    if field.kind == "length":
        return metres(value) or None
    if field.kind == "angle":
        return float(value) or None
    if field.kind == "maybe":
        return value == "yes"
    if field.kind == "lengths":
        return [metres_from(text, thing.Label) for text in value if text.strip()] or None
    if field.kind == "words":
        return [text for text in value if text.strip()] or None
    return value or None


def mark_of(thing):
    """The part's mark ({"is": role, field: value ...}, metres, degrees); None if it is unmarked."""
    role = role_of(thing)
    if not role:
        return None
    said = {"is": role}
    for field in fields_of(role):
        value = _said(thing, field)
        if value is not None:
            said[field.key] = value
    return said
