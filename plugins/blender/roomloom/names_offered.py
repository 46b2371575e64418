"""What text fields offer while one types."""

from .objects import is_gear
from .preferences import catalogue
from .roomloom_files import parse_devices


def _expanded(port):
    """ "S1..S3" as S1, S2, S3; any other text as itself."""
    first, dots, last = port.partition("..")
    stem = first.rstrip("0123456789")
    if not dots or not first[len(stem) :] or not last[len(stem) :].isdigit():
        return [port]
    low, high = int(first[len(stem) :]), int(last[len(stem) :])
    return [f"{stem}{number}" for number in range(low, min(high, low + 99) + 1)]


def gear_names(scene):
    """Gear, its devices, and their ports, as a run may name them."""
    names = []
    for thing in scene.objects:
        if not is_gear(thing):
            continue
        names.append(thing.name)
        for device in parse_devices(thing.roomloom.mark.devices):
            names.append(device["id"])
            for port in device.get("ports", []):
                names.extend(f"{device['id']}.{one}" for one in _expanded(port))
    return names


def end_names(scene):
    return [thing.name for thing in scene.objects if thing.roomloom.kind == "END"]


def layout_labels(scene):
    labels = catalogue().labels(scene.roomloom.system)
    return [label["label"] for label in labels if label["positioned"]]


def endpoints(self, context, text):
    names = [*gear_names(context.scene), *end_names(context.scene)]
    if any(thing.roomloom.kind == "LISTENER" for thing in context.scene.objects):
        names.extend(label for label in layout_labels(context.scene) if label not in names)
    return names


def cables(self, context, text):
    return catalogue().cable_ids()


def labels(self, context, text):
    return layout_labels(context.scene)


def part_names(self, context, text):
    kinds = ("NONE", "PART")
    return [
        thing.name
        for thing in context.scene.objects
        if thing.roomloom.kind in kinds and thing.type in ("MESH", "CURVE", "EMPTY")
    ]
