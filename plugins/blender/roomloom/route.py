"""Routing: export, run the program beside Blender, bring the result in."""

import hashlib
import os
import tempfile

import bpy
from bpy.app.handlers import persistent

from .export_room import export_room
from .job_of_scene import job_of
from .objects import select_only
from .preferences import program
from .result_scene import bring_in, clear_result, fill_lists, runs_file
from .roomloom_files import (
    RUNNING,
    Routing,
    Told,
    WorkFolder,
    in_words,
    job_problems,
    read_glb,
    subject_of,
    unmatched_patterns,
    write_glb,
)

MODEL_FILE = "room.glb"
_LOOK_EVERY_S = 0.1


def result_folder(scene):
    """Where a routing of this scene is kept."""
    if scene.roomloom.result_folder:
        return bpy.path.abspath(scene.roomloom.result_folder).rstrip("/\\")
    several = len(bpy.data.scenes) > 1
    if bpy.data.filepath:
        stem = os.path.splitext(bpy.data.filepath)[0]
        return f"{stem}-{scene.name}-roomloom" if several else f"{stem}-roomloom"
    session = hashlib.sha256(bpy.app.tempdir.encode()).hexdigest()[:8]
    return os.path.join(tempfile.gettempdir(), f"roomloom-{session}-{scene.name}")


class Prepared:
    """A room and a job, exported and checked as far as can be done without the program."""

    def __init__(self, context):
        ways = {run.way for run in context.scene.roomloom.runs if run.way is not None}
        self.room = export_room(context, ways)
        self.job = job_of(context, self.room, MODEL_FILE)
        self.lost = unmatched_patterns(self.job, [part.name for part in self.room.parts])
        self.problems = job_problems(self.job)

    def subject(self, told):
        """The object of the scene that an error is about, or None."""
        found = subject_of(told, self.job, self.room.names.all())
        if found is None:
            return bpy.data.objects.get(told.where)
        kind, name = found
        if kind == "layout":
            return next((t for t in bpy.data.objects if t.roomloom.kind == "LISTENER"), None)
        if kind == "run":
            run = next((run for run in self.job["runs"] if run["id"] == name), {})
            name = run.get("to", "")
        key = self.room.names.host(name) or name if kind == "part" else name
        return bpy.data.objects.get(key) or bpy.data.objects.get(key.split("/")[0])


def _can_be_drawn(result):
    """Raises Told where the runs cannot be read, before the older result is given up."""
    read_glb(runs_file(result))


class ToldOfJob(Told):
    """An error with the job that it is about."""

    def __init__(self, told, prepared):
        super().__init__(told.code, told.what, told.where, told.remedy)
        self.prepared = prepared


class Session:
    """One routing of the scene, from export to result. The scene is touched in finish() alone.

    Raises Told, from finish() also ToldOfJob.
    """

    def __init__(self, context):
        self.scene_name = context.scene.name
        ours = context.scene.roomloom
        self.prepared = Prepared(context)
        if self.prepared.problems:
            raise ToldOfJob(self.prepared.problems[0], self.prepared)
        found = program()
        work = WorkFolder(result_folder(context.scene))
        try:
            write_glb(work.path / MODEL_FILE, self.prepared.room.parts)
            work.write_job(self.prepared.job)
            effort, drawings = ours.effort.lower(), ours.drawings
            self.routing = Routing(found, work, effort=effort, drawings=drawings)
        except Told:
            work.drop()
            raise

    def poll(self):
        return self.routing.poll()

    def cancel(self):
        self.routing.cancel()

    def finish(self):
        """Brings the result in; returns it. The older result stays if anything fails."""
        try:
            result = self.routing.finish(_can_be_drawn)
        except Told as told:
            raise ToldOfJob(told, self.prepared) from None
        scene = bpy.data.scenes.get(self.scene_name)
        if scene is None:
            raise Told("scene.gone", "The scene that was routed is not there any more.")
        bring_in(scene, result)
        fill_lists(scene, result)
        return result


current = None  # the Session that is running, if any


def show_message(context, text, is_error=False):
    state = context.window_manager.roomloom
    state.message, state.is_error = text, is_error


def tell(context, told):
    """Shows an error in the panel and selects what it is about. Returns its text."""
    prepared = getattr(told, "prepared", None)
    thing = prepared.subject(told) if prepared else bpy.data.objects.get(told.where)
    if thing is not None and thing.name in context.view_layer.objects:
        select_only(context, [thing])
    text = in_words(told, prepared.job if prepared else None)
    show_message(context, text, True)
    return text


def _lost_text(lost):
    if not lost:
        return ""
    return "Matches nothing any more: " + "; ".join(entry["what"] for entry in lost)


def _done(context, session, result):
    ours = context.scene.roomloom.result
    must = sum(finding.level == "must" for finding in result.findings)
    text = ours.summary + (f". {must} finding(s) to be mended" if must else "")
    lost = _lost_text(session.prepared.lost)
    show_message(context, f"{text}. {lost}" if lost else text)
    return text


def route_now(context, seconds=3600):
    """Routes and waits: for scripts. Returns the Result. Raises Told."""
    session = Session(context)
    session.routing.wait(seconds)
    result = session.finish()
    _done(context, session, result)
    return result


class ROOMLOOM_OT_route(bpy.types.Operator):
    """Plan every run of the scene; Blender stays usable meanwhile"""

    bl_idname = "roomloom.route"
    bl_label = "Route"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context):
        return current is None

    def execute(self, context):
        """Without a window: waits for the result."""
        try:
            route_now(context)
        except Told as told:
            self.report({"ERROR"}, tell(context, told))
            return {"CANCELLED"}
        return {"FINISHED"}

    def invoke(self, context, event):
        global current
        if bpy.app.background:
            return self.execute(context)
        try:
            current = Session(context)
        except Told as told:
            self.report({"ERROR"}, tell(context, told))
            return {"CANCELLED"}
        state = context.window_manager.roomloom
        state.running, state.stage, state.share = True, "starting", 0
        show_message(context, "")
        self.timer = context.window_manager.event_timer_add(_LOOK_EVERY_S, window=context.window)
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context, event):
        if event.type != "TIMER":
            return {"PASS_THROUGH"}
        if current is None:  # cancelled from the panel, or the file was closed
            return self._leave(context, {"CANCELLED"})
        state = context.window_manager.roomloom
        if current.poll() == RUNNING:
            state.stage, state.share = current.routing.stage, 100 * current.routing.share
            _redraw(context)
            return {"PASS_THROUGH"}
        try:
            self.report({"INFO"}, _done(context, current, current.finish()))
            return self._leave(context, {"FINISHED"})
        except Told as told:
            self.report({"ERROR"}, tell(context, told))
            return self._leave(context, {"CANCELLED"})

    def _leave(self, context, how):
        global current
        current = None
        context.window_manager.event_timer_remove(self.timer)
        context.window_manager.roomloom.running = False
        _redraw(context)
        return how


def _redraw(context):
    for window in context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def cancel_current():
    """Ends a running routing; the document stays as it was."""
    global current
    if current is not None:
        current.cancel()
        current = None
        return True
    return False


class ROOMLOOM_OT_cancel(bpy.types.Operator):
    """Stop the program; the scene stays as it is"""

    bl_idname = "roomloom.cancel"
    bl_label = "Cancel"

    def execute(self, context):
        if cancel_current():
            show_message(context, "The routing was cancelled; nothing was changed.")
        return {"FINISHED"}


class ROOMLOOM_OT_clear_result(bpy.types.Operator):
    """Remove the runs that the last routing drew; its files stay"""

    bl_idname = "roomloom.clear_result"
    bl_label = "Remove the result"
    bl_options = {"REGISTER", "UNDO"}

    def execute(self, context):
        clear_result(context.scene)
        result = context.scene.roomloom.result
        for rows in (result.runs, result.findings, result.notes):
            rows.clear()
        result.summary = result.folder = ""
        return {"FINISHED"}


class ROOMLOOM_OT_list_lost(bpy.types.Operator):
    """List rules and places that name a part which the room does not have any more"""

    bl_idname = "roomloom.list_lost"
    bl_label = "Check names"

    def execute(self, context):
        try:
            lost = Prepared(context).lost
        except Told as told:
            self.report({"ERROR"}, tell(context, told))
            return {"CANCELLED"}
        text = _lost_text(lost) or "Every rule and place fits the room."
        show_message(context, text, bool(lost))
        self.report({"WARNING" if lost else "INFO"}, text)
        return {"FINISHED"}


@persistent
def _before_load(*_):
    cancel_current()


_CLASSES = (
    ROOMLOOM_OT_route,
    ROOMLOOM_OT_cancel,
    ROOMLOOM_OT_clear_result,
    ROOMLOOM_OT_list_lost,
)

_register_classes, _unregister_classes = bpy.utils.register_classes_factory(_CLASSES)


def register():
    _register_classes()
    bpy.app.handlers.load_pre.append(_before_load)


def unregister():
    cancel_current()
    bpy.app.handlers.load_pre.remove(_before_load)
    _unregister_classes()
