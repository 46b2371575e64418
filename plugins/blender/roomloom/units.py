"""Between the scene's units and metres.

Blender keeps lengths in units of its own: a scene says how many metres one of them is. The room
frame is the world frame in metres.
"""

from mathutils import Vector


def metres_per_unit(scene):
    """How many metres one unit of the scene is; 1 where the scene has no unit system."""
    settings = scene.unit_settings
    return settings.scale_length if settings.system != "NONE" else 1.0


def to_room(scene, vector):
    """A point of the world as the room's x, y, z in metres."""
    scale = metres_per_unit(scene)
    return tuple(scale * float(value) for value in vector)


def to_world(scene, point):
    """A point of the room, in metres, as a vector of the world."""
    return Vector(point) / metres_per_unit(scene)


_SHOWN = {
    "KILOMETERS": (1000.0, "km", 6),
    "METERS": (1.0, "m", 3),
    "CENTIMETERS": (0.01, "cm", 1),
    "MILLIMETERS": (0.001, "mm", 0),
    "MICROMETERS": (1e-6, "\u00b5m", 0),
    "MILES": (1609.344, "mi", 6),
    "FEET": (0.3048, "ft", 2),
    "INCHES": (0.0254, "in", 1),
    "THOU": (0.0000254, "thou", 0),
}


def shown_unit(scene):
    """The unit that the scene shows lengths in: (metres, name, digits behind the point)."""
    settings = scene.unit_settings
    if settings.system == "NONE":
        return 1.0, "", 3
    default = "FEET" if settings.system == "IMPERIAL" else "METERS"
    return _SHOWN.get(settings.length_unit, _SHOWN[default])  # ADAPTIVE: the default


def length_text(scene, metres):
    """A length in the scene's own unit, for messages and labels."""
    size, name, digits = shown_unit(scene)
    return f"{metres / size:.{digits}f} {name}".strip()


def typed_lengths(scene, text):
    """Lengths as typed with commas, for a job: "1.2 m, 7 ft 6 in, 3".

    A bare number is in the unit that the scene shows and becomes metres; other texts go to the
    program as they are, which reads them and tells what is no length.
    """
    lengths = []
    for piece in text.split(","):
        piece = piece.strip()
        try:
            lengths.append(round(float(piece) * shown_unit(scene)[0], 6))
        except ValueError:
            lengths += [piece] if piece else []
    return lengths
