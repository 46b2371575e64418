"""Telling the objects of a scene apart, and choosing them."""


def is_room(thing):
    """Whether an object belongs to the modelled room, rather than to Roomloom."""
    return thing.original.roomloom.kind in ("NONE", "PART")


def is_rack(thing):
    """Whether a part of the room is marked as a rack: it becomes gear, and is no part any more."""
    return thing.roomloom.kind == "PART" and thing.roomloom.mark.role == "RACK"


def is_gear(thing):
    """Whether it holds devices: placed as gear, or modelled and marked as a rack."""
    return thing.roomloom.kind == "GEAR" or is_rack(thing)


def select_only(context, things):
    """Selects `things`, the first as the active one; leaves out what the view layer does not hold.

    Returns those that were selected; None among `things` is passed over.
    """
    for other in list(context.view_layer.objects.selected):
        other.select_set(False)
    shown = [t for t in things if t is not None and t.name in context.view_layer.objects]
    for thing in shown:
        thing.select_set(True)
    if shown:
        context.view_layer.objects.active = shown[0]
    return shown
