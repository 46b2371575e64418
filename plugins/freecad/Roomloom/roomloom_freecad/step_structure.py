"""Reads the names, the colours and the tree of the STEP file that the program writes.

FreeCAD's own ways of opening a STEP file depend on a dozen of the user's preferences: they merge all
into one grey object, leave out a group with one member, or crash without a window. `Part.Shape.read`
does none of this, but it gives bare shapes. So this module reads from the text what each shape is
called; `result_shapes.py` brings the two together. Nothing of FreeCAD is used here.
"""

import re
from dataclasses import dataclass, field

# An entity: number, then all up to the semicolon. Texts may hold semicolons and doubled quotes.
_ENTITY = re.compile(r"#(\d+)\s*=\s*((?:[^;']|'(?:[^']|'')*')*);")
_TEXT = re.compile(r"'((?:[^']|'')*)'")
_REFERENCE = re.compile(r"#(\d+)")
_TEXT_OR_REFERENCE = re.compile(r"'(?:[^']|'')*'|#(\d+)")
_COLOUR = re.compile(r"COLOUR_RGB\s*\(\s*'(?:[^']|'')*'\s*,\s*([^,]+),\s*([^,]+),\s*([^)]+)\)")


class StructureError(Exception):
    """The file is not what the program writes; the text is for the user."""


@dataclass
class Item:
    """One named thing: a group if it has members, else a shape."""

    name: str
    colour: tuple = None  # red, green, blue from 0 to 1; None where the file gives none
    members: list = field(default_factory=list)


def decode_text(text):
    """The characters of a Part 21 text: doubled quotes, \\X2\\, \\X4\\ and \\X\\ escapes undone."""
    text = text.replace("''", "'")

    def wide(match):
        size = 4 if match.group(1) == "2" else 8
        digits = match.group(2)
        return "".join(chr(int(digits[i : i + size], 16)) for i in range(0, len(digits), size))

    text = re.sub(r"\\X([24])\\([0-9A-Fa-f]*)\\X0\\", wide, text)
    text = re.sub(r"\\X\\([0-9A-Fa-f]{2})", lambda m: chr(int(m.group(1), 16)), text)
    return text.replace("\\\\", "\\")


def _entities(text):
    start = text.find("DATA;")
    if not text.lstrip().startswith("ISO-10303-21") or start < 0:
        raise StructureError("the file is no STEP file")
    if "ENDSEC;" not in text[start:]:
        raise StructureError("the file ends too early")
    return {int(number): body for number, body in _ENTITY.findall(text[start + 5 :])}


def _references(body):
    return [int(found) for found in _TEXT_OR_REFERENCE.findall(body) if found]


def _of_kind(entities, kind):
    return {
        number: body
        for number, body in entities.items()
        if body.startswith(kind) and body[len(kind) :].lstrip().startswith("(")
    }


def _colour_below(entities, number, seen=None):
    """The first colour that an entity leads to."""
    seen = set() if seen is None else seen
    if number in seen or number not in entities:
        return None
    seen.add(number)
    found = _COLOUR.match(entities[number])
    if found:
        return tuple(float(part) for part in found.groups())
    for reference in _references(entities[number]):
        colour = _colour_below(entities, reference, seen)
        if colour:
            return colour
    return None


def _colours_by_item(entities):
    """Geometry item -> colour, from the styled items."""
    colours = {}
    for body in _of_kind(entities, "STYLED_ITEM").values():
        references = _references(body)
        if len(references) < 2:
            continue
        for style in references[:-1]:
            colour = _colour_below(entities, style)
            if colour:
                colours[references[-1]] = colour
                break
    return colours


def _names_by_definition(entities):
    """PRODUCT_DEFINITION -> the name of its product."""
    names = {}
    for number, body in _of_kind(entities, "PRODUCT_DEFINITION").items():
        formation = _references(body)[0]
        product = _references(entities[formation])[0]
        texts = _TEXT.findall(entities[product])
        names[number] = decode_text(texts[1] if len(texts) > 1 else texts[0])
    return names


def _colours_by_definition(entities):
    colours = _colours_by_item(entities)
    by_definition = {}
    for body in _of_kind(entities, "SHAPE_DEFINITION_REPRESENTATION").values():
        shape, representation = _references(body)[:2]
        if not entities[shape].startswith("PRODUCT_DEFINITION_SHAPE"):
            continue
        definition = _references(entities[shape])[0]
        for item in _references(entities[representation]):
            if item in colours:
                by_definition[definition] = colours[item]
                break
    return by_definition


def read_structure(text):
    """The root items of a STEP text, with members in the file's own order."""
    entities = _entities(text)
    try:
        names = _names_by_definition(entities)
        colours = _colours_by_definition(entities)
        children, has_parent = {}, set()
        for number in sorted(_of_kind(entities, "NEXT_ASSEMBLY_USAGE_OCCURRENCE")):
            parent, child = _references(entities[number])[:2]
            children.setdefault(parent, []).append(child)
            has_parent.add(child)
    except (KeyError, IndexError, ValueError) as problem:
        raise StructureError("its product structure is damaged") from problem

    def item(definition, depth):
        if depth > 16:
            raise StructureError("its groups nest too deeply")
        return Item(
            names.get(definition, ""),
            colours.get(definition),
            [item(child, depth + 1) for child in children.get(definition, [])],
        )

    return [item(number, 0) for number in sorted(names) if number not in has_parent]
