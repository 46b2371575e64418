"""Roomloom in FreeCAD: the room stays in the document, the runs come back into it.

Without a window (freecadcmd) the same functions serve batches; see examples/route_document.py:

    import roomloom_freecad as roomloom
    roomloom.mark(wall, "wall", build="masonry")
    roomloom.route_and_wait(document)
"""

import pathlib
import sys

_HERE = pathlib.Path(__file__).resolve().parent
# Installed, the shared package lies beside this one; in the project, in plugins/common.
for _folder in (_HERE.parent, _HERE.parents[2] / "common"):
    if (_folder / "roomloom_files").is_dir() and str(_folder) not in sys.path:
        sys.path.append(str(_folder))

# The path is needed before these can be found.
# pylint: disable=wrong-import-position
from .marks import mark, mark_of, unmark  # noqa: E402
from .things import Step, make_end, make_gear, make_listener, make_run, need_plan  # noqa: E402
from .layout import place_layout  # noqa: E402
from .results import findings_of, measured_lengths, result_of, result_runs  # noqa: E402
from .routing import DocumentRouting, program, route_and_wait  # noqa: E402
from .parts import collect  # noqa: E402
from roomloom_files import Told, read_catalogue  # noqa: E402
from .open_room import open_room  # noqa: E402
from .survey import guess_marks  # noqa: E402
