"""What the program offers for lists: cables, raceway sizes, loudspeaker layouts."""

from __future__ import annotations

import json
import os
from typing import Dict, List, NamedTuple, Optional, Tuple

from .program import ask_program
from .told import Told


class Catalogue(NamedTuple):
    """Lists of dicts, in the program's order.

    cables    {"id", "service", "diameter_m", "bend_radius_m", "colours", "put_ups_m"}
    raceways  {"id", "width_m", "depth_m"}
    layouts   {"name", "labels": [{"label", "azimuth_deg", "elevation_deg", "positioned"}]} of
              ITU-R BS.2051; azimuth positive to the left, elevation positive upward; a label that
              is not "positioned" (most LFE) has no direction
    """

    cables: List[dict]
    raceways: List[dict]
    layouts: List[dict]

    def cable_ids(self) -> List[str]:
        return [cable["id"] for cable in self.cables]

    def labels(self, system: str) -> List[dict]:
        """The labels of a system by name; empty if there is no such system."""
        for layout in self.layouts:
            if layout["name"] == system:
                return layout["labels"]
        return []


_kept: Dict[Tuple[str, float], Catalogue] = {}


def _ask(path: str, what: str) -> dict:
    status, out, _ = ask_program(path, ["explain", what, "--json"])
    try:
        answer = json.loads(out) if status == 0 else None
    except ValueError:
        answer = None
    if not isinstance(answer, dict) or not isinstance(answer.get(what), list):
        raise Told(
            "program.catalogue",
            f"The program does not list its {what}.",
            path,
            "Build a newer Roomloom.",
        )
    return answer


def read_catalogue(path: str) -> Catalogue:
    """Asks the program at `path` once; the answer is kept until the file changes.

    Raises Told: program.start, program.slow, program.catalogue.
    """
    try:
        changed: Optional[float] = os.stat(path).st_mtime
    except OSError:
        changed = None
    key = (path, changed or 0.0)
    if key not in _kept:
        cables, layouts = _ask(path, "cables"), _ask(path, "layouts")
        _kept[key] = Catalogue(cables["cables"], cables.get("raceways", []), layouts["layouts"])
    return _kept[key]
