"""One routing of a document: export, program, result. Knows no window; the panel polls it."""

import json
import pathlib
import tempfile

import FreeCAD

from roomloom_files import (
    DONE,
    FAILED,
    RUNNING,
    Routing,
    Told,
    WorkFolder,
    check_program,
    find_program,
    read_job,
    read_result,
    subject_of,
    unmatched_patterns,
)

from . import jobs, parts, result_shapes, results, step_structure, things

PARAMETERS = "User parameter:BaseApp/Preferences/Mod/Roomloom"
_PLUG_IN = pathlib.Path(__file__).resolve().parent.parent


def preferred_program():
    """The path in FreeCAD's preferences; empty if none is given."""
    return FreeCAD.ParamGet(PARAMETERS).GetString("Program", "")


def program():
    """The program, found and asked for its version. Raises Told."""
    return check_program(find_program(preferred_program(), [_PLUG_IN]))


def result_folder(document):
    """Where this document's results are written."""
    plan = things.plan_of(document)
    if plan and plan.ResultFolder.strip():
        return pathlib.Path(plan.ResultFolder.strip()).expanduser()
    if document.FileName:
        saved = pathlib.Path(document.FileName)
        return saved.with_name(saved.stem + "-roomloom")
    return pathlib.Path(tempfile.gettempdir()) / f"roomloom-{document.Uid}"


class DocumentRouting:
    """A routing that runs while the host goes on.

        routing = DocumentRouting(document)      # exports and starts; raises Told
        while routing.poll() == RUNNING: ...     # from a timer
        routing.finish()                         # brings the result in; raises Told

    Until `finish` has read and checked everything, neither the document nor an older result is
    touched; `cancel` and any failure leave both as they were. An error that is about an object of
    the document carries it as `thing`.
    """

    def __init__(self, document, drawings=True):
        self.document = document
        self.parts, left_out = parts.collect(document)
        self.left_out = [f"{thing.Label}: {why}" for thing, why in left_out]
        if not self.parts:
            raise Told(
                "model.empty",
                "The document holds no room.",
                document.Label,
                "Model or import walls, a floor and a ceiling first.",
            )
        found = program()
        former = _former_job(result_folder(document))
        self.work = WorkFolder(result_folder(document))
        try:
            model = parts.write_model(self.parts, self.work.path)
            self.job = jobs.make(document, self.parts, model)
            self.unmatched = _unmatched(self.job, former, [part.name for part in self.parts])
            self.work.write_job(self.job)
            plan = things.plan_of(document)
            self.routing = Routing(
                found,
                self.work,
                effort=plan.Effort,
                drawings=drawings,
                units="feet" if jobs.shows_feet() else "metric",
            )
        except BaseException as problem:
            self.work.drop()
            self._point_out(problem)
            raise

    @property
    def stage(self):
        """What the program is at, in its own words."""
        return self.routing.stage

    @property
    def share(self):
        """How far it is, from 0 to 1."""
        return self.routing.share

    def poll(self):
        """RUNNING, DONE, FAILED or CANCELLED; returns at once."""
        return self.routing.poll()

    def cancel(self):
        """Ends the program; nothing else has happened."""
        self.routing.cancel()

    def finish(self):
        """Brings the result into the document as one undoable step; gives the result's group."""
        state = self.routing.poll()
        try:
            shapes = self._read() if state == DONE else []
            result = self.routing.finish()
        except Told as told:
            self._point_out(told)
            raise
        with things.Step(self.document, "Route with Roomloom"):
            return results.bring_in(
                self.document,
                result,
                shapes,
                {"unmatched": self.unmatched, "left_out": self.left_out},
            )

    def _read(self):
        """The shapes, checked against the plan before anything is replaced."""
        path = self.work.result_path / "runs.step"
        try:
            plan = read_result(self.work.path)
            shapes = result_shapes.read_shapes(path)
            result_shapes.check_lengths(
                shapes, {run.id: run.drawn_m * 1000 for run in plan.runs if run.routed}
            )
            return shapes
        except (OSError, step_structure.StructureError) as problem:
            self.work.drop()
            raise Told(
                "result.broken",
                f"The written runs cannot be used: {problem}.",
                str(path),
                "Route again; if it stays so, plug-in and program do not belong together.",
            ) from problem
        except Told:
            self.work.drop()
            raise

    def _point_out(self, problem):
        """Gives an error the document's object that it is about, as `thing`; or None."""
        if isinstance(problem, Told):
            job = getattr(problem, "job", None) or getattr(self, "job", None)
            problem.thing = find_culprit(self.document, problem, self.parts, job)


def find_culprit(document, told, found_parts, job):
    """The object that an error is about: a part, an end, gear, a run or the listener; or None."""
    subject = subject_of(told, job, [part.name for part in found_parts])
    if subject is None:
        by_label = [thing for thing in document.Objects if thing.Label == told.where]
        return by_label[0] if by_label else None
    kind, name = subject
    if kind == "part":
        return next((part.thing for part in found_parts if part.name == name), None)
    if kind == "layout":
        return next(iter(things.all_of(document, "listener")), None)
    ours = next((thing for thing in things.all_of(document, kind) if thing.Label == name), None)
    return ours or next((part.thing for part in found_parts if part.name == name), None)


def _former_job(folder):
    try:
        return read_job(folder / "job.json")
    except Told:
        return None


def _unmatched(job, former, names):
    """Sentences on patterns of the job, and of the job before, that no part matches any more."""
    found = [entry["what"] for entry in unmatched_patterns(job, names)]
    wanted = json.dumps(job.get("parts", []))
    for entry in unmatched_patterns(former or {}, names):
        if json.dumps(entry["pattern"]) not in wanted:
            found.append("At the last routing: " + entry["what"])
    return found


def route_and_wait(document, seconds=600, drawings=True):
    """For scripts: routes and brings the result in. Raises Told. Gives the result's group."""
    routing = DocumentRouting(document, drawings)
    state = routing.routing.wait(seconds)
    if state not in (DONE, FAILED):
        raise Told(
            "routing.slow",
            f"The program took longer than {seconds} s.",
            "",
            'Choose the effort "quick", or allow more time.',
        )
    return routing.finish()


__all__ = [
    "DocumentRouting",
    "RUNNING",
    "find_culprit",
    "program",
    "result_folder",
    "route_and_wait",
]
