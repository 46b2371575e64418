"""What every Roomloom plug-in shares: files in, files out, and no host.

A plug-in talks to the program `roomloom` through files only: it writes a model and a job, runs the
program without waiting for it, and reads what it wrote. This package does all of that which knows
of no host, with Python's standard library alone (3.9 or newer). A plug-in's routing is:

    program = check_program(find_program(preference, [folder_of_the_plug_in]))
    with WorkFolder(result_folder) as work:
        write_glb(work.path / "room.glb", parts)              # or the host's own STEP export
        work.write_job(make_job("My room", "room.glb", rules=..., gear=..., ends=..., runs=...))
        routing = Routing(program, work, effort="quick")
        while routing.poll() == RUNNING:                      # from the host's timer
            show(routing.stage, routing.share)
        result = routing.finish()                             # swaps the folder in; raises Told

Everything a user can cause is raised as `Told`: words, where, and what to do. Lengths are metres,
angles degrees, points lie in the room frame (Z up, right-handed), which is the host's world frame
once its unit is taken out.
"""

from .catalogue import Catalogue, read_catalogue
from .folders import WorkFolder
from .glb import GlbNode, GlbPart, read_glb, write_glb
from .job import (
    corners_of,
    end_at,
    end_at_label,
    end_with,
    gear_at,
    job_problems,
    layout_from,
    make_job,
    parse_devices,
    read_job,
    run_between,
    spool,
)
from .marks import FIELDS_OF, MARK_FIELDS, ROLES, Field, fields_of, part_rule
from .names import PartNames, matches_pattern, unmatched_patterns
from .program import Program, check_program, find_program
from .results import Finding, Result, RunResult, read_lengths, read_result
from .routing import CANCELLED, DONE, FAILED, RUNNING, Routing
from .told import Told, in_words, subject_of
from .words import (
    BUILDS,
    EFFORTS,
    MOUNTS,
    PREFERENCES,
    PRESETS,
    STATES,
    SYSTEMS,
)

__all__ = [name for name in dir() if not name.startswith("_")]
