"""The words a job knows, to be offered in lists. A test holds them against the job's schema."""

from __future__ import annotations

from typing import NamedTuple, Optional

BUILDS = ("unknown", "masonry", "stud", "outside", "concrete", "board")
MOUNTS = ("automatic", "on sheet", "on floor", "in furniture")
STATES = ("fitted", "unterminated", "coiled")
PRESETS = ("balanced", "least cable", "least seen", "least work")
EFFORTS = ("quick", "normal", "prove")
#: Names of ITU-R BS.2051 systems: upper + middle + lower. Directions: `read_catalogue`.
SYSTEMS = (
    "0+2+0",
    "0+5+0",
    "2+5+0",
    "4+5+0",
    "4+5+1",
    "3+7+0",
    "4+9+0",
    "9+10+3",
    "0+7+0",
    "4+7+0",
)


class Preference(NamedTuple):
    """One weight or margin of a plan."""

    key: str  #: in the job's "prefer"
    kind: str  #: "number", "length", "share", "flag" or "choice"
    label: str  #: for a panel
    tip: str
    default: object  #: what the program takes when the job does not say; metres, share 0..1
    choices: Optional[tuple] = None


#: Everything that "prefer" can hold beside its preset, with the program's own defaults.
PREFERENCES = (
    Preference("cable_weight", "number", "Cable weight", "Times the price of cable", 1.0),
    Preference(
        "money_per_minute", "number", "Money a minute", "What a minute of work is worth", 0.5
    ),
    Preference(
        "money_per_visible_metre",
        "number",
        "Money a visible metre",
        "What it is worth to hide one metre on an open face",
        6.0,
    ),
    Preference("minutes_per_hole", "number", "Minutes a hole", "To cut one hole", 15.0),
    Preference(
        "minutes_per_raceway_metre",
        "number",
        "Minutes a raceway metre",
        "To fix a metre of it",
        6.0,
    ),
    Preference(
        "minutes_per_fitting",
        "number",
        "Minutes a fitting",
        "To cut and fix one raceway fitting",
        3.0,
    ),
    Preference("minutes_per_bend", "number", "Minutes a bend", "For each run, each bend", 0.5),
    Preference(
        "minutes_per_ladder_move",
        "number",
        "Minutes a ladder move",
        "For each place to work at",
        4.0,
    ),
    Preference(
        "minutes_per_void_metre",
        "number",
        "Minutes a void metre",
        "To hang a metre of supports",
        2.0,
    ),
    Preference(
        "minutes_per_run_metre", "number", "Minutes a run metre", "To pull a metre of one run", 0.3
    ),
    Preference("hole_price", "number", "Price of a hole", "Grommet, seal", 3.0),
    Preference("support_price", "number", "Price of a support", "With its fixing", 1.5),
    Preference("support_spacing", "length", "Support spacing", "Between supports in a void", 1.2),
    Preference(
        "fill_limit", "share", "Fill limit", "Share of a raceway's clear cross-section", 0.40
    ),
    Preference("tee_margin", "length", "Tee margin", "From a hole's edge to the grid's tee", 0.03),
    Preference("tile_clearance", "length", "Above tiles", "Of cables above the tiles", 0.10),
    Preference("obstacle_clearance", "length", "From obstacles", "Of cables from obstacles", 0.025),
    Preference("power_separation", "length", "From mains", "Of signal cables from mains", 0.3),
    Preference(
        "service_loop_start", "length", "Loop at the gear", "Left at the gear, each run", 0.5
    ),
    Preference(
        "service_loop_end", "length", "Loop at the end", "Left at the far end, each run", 0.3
    ),
    Preference("termination", "length", "Termination", "Used up by each connector fitted", 0.05),
    Preference("coil", "length", "Coil", "Left coiled at a provision", 1.0),
    Preference("contingency", "share", "In hand", "As a share of the drawn length", 0.02),
    Preference("cutting_step", "length", "Cutting step", "Cut lengths are rounded up to it", 0.05),
    Preference("sag", "share", "Sag", "Largest, as a share of the support spacing", 0.02),
    Preference("largest_hole", "length", "Largest hole", "Largest diameter to cut", 0.08),
    Preference(
        "void_paths",
        "choice",
        "Paths in voids",
        "How runs lie in a void: square to the room, or straight",
        "square",
        ("square", "direct"),
    ),
    Preference(
        "symmetric", "flag", "Symmetric", "Mirror the holes of left and right as a rule", False
    ),
)
