"""Roomloom in Blender: mark the room, place ends, route, and see every run in the scene.

Works on Blender 3.4 and newer. Talks to the program `roomloom` through files only; needs neither
numpy nor Blender's own glTF importer, which fails with some versions of numpy.
"""

bl_info = {
    "name": "Roomloom",
    "author": "Roomloom contributors",
    "version": (0, 1, 0),
    "blender": (3, 4, 0),
    "location": "3D View > Sidebar > Roomloom",
    "description": "Plans every cable run of the room in the scene",
    "category": "3D View",
}

import os

_SHARED = os.path.join(os.path.dirname(os.path.abspath(__file__)), os.pardir, os.pardir, "common")
if not os.path.isdir(os.path.join(os.path.dirname(os.path.abspath(__file__)), "roomloom_files")):
    # Straight from the source tree: the shared code lies beside. A built add-on holds a copy.
    __path__.append(os.path.abspath(_SHARED))

from . import (  # noqa: E402
    lists,
    marking,
    model_files,
    panels,
    placing,
    preferences,
    properties,
    results,
    route,
    runs,
)

_MODULES = (
    preferences,
    properties,
    marking,
    placing,
    runs,
    results,
    route,
    model_files,
    lists,
    panels,
)


def register():
    for module in _MODULES:
        module.register()


def unregister():
    for module in reversed(_MODULES):
        module.unregister()
