"""Places a loudspeaker layout of ITU-R BS.2051 round the listener, onto the surfaces of the room."""

import math

from FreeCAD import Vector

from . import things
from .parts import collect
from .surfaces import first_surface

WITHOUT_SURFACE_MM = 2000.0


def direction_of(azimuth_deg, elevation_deg, facing_deg):
    """Unit vector: azimuth positive to the left of where the listener looks, elevation upward."""
    turn = math.radians(facing_deg + azimuth_deg)
    rise = math.radians(elevation_deg)
    return Vector(-math.sin(turn) * math.cos(rise), math.cos(turn) * math.cos(rise), math.sin(rise))


def place_layout(document, listener, labels):
    """Makes or moves an end for each label; gives the ends in the order of the labels.

    labels: as the catalogue lists them ("label", "azimuth_deg", "elevation_deg", "positioned"). An
    end of the layout that was moved by hand stays where it is. The program has the last word: where
    a label allows another direction than the nominal one, routing moves the end there.
    """
    parts, _ = collect(document)
    start = listener.getGlobalPlacement().Base
    there = {end.SpeakerLabel: end for end in things.all_of(document, "end") if end.SpeakerLabel}
    ends = []
    for label in labels:
        if not label.get("positioned", True):
            continue
        direction = direction_of(
            label["azimuth_deg"], label["elevation_deg"], float(listener.Facing)
        )
        away = float(listener.Distance)
        if not away:
            away = first_surface(parts, start, direction)[0] or WITHOUT_SURFACE_MM
        place = start + direction * away
        end = there.get(label["label"])
        if end is None:
            end = things.make_end(document, label["label"], place, SpeakerLabel=label["label"])
        elif follows_layout(end):
            end.Placement.Base = place
        else:
            ends.append(end)
            continue
        end.LayoutPlace = place
        ends.append(end)
    return ends


def follows_layout(end):
    """A loudspeaker that was not moved by hand since it was placed."""
    moved = end.getGlobalPlacement().Base - end.LayoutPlace
    return bool(end.SpeakerLabel) and moved.Length < 0.5
