"""Opening a room that was modelled elsewhere, and writing room and job for the command line."""

import os

import bpy
from bpy.props import StringProperty
from bpy_extras.io_utils import ExportHelper, ImportHelper

from .result_scene import material_of, mesh_of
from .roomloom_files import Told, WorkFolder, read_glb, write_glb
from .route import MODEL_FILE, Prepared, tell
from .units import metres_per_unit


def open_glb(context, path):
    """Brings a GLB's shapes, names, colours and plain extras into a new collection.

    Needs neither numpy nor Blender's own importer. Raises Told. Returns the collection.
    """
    nodes = read_glb(path)
    scale = metres_per_unit(context.scene)
    name = os.path.splitext(os.path.basename(path))[0]
    collection = bpy.data.collections.new(name)
    context.scene.collection.children.link(collection)
    materials = {}
    parents = {node.parent for node in nodes}
    for index, node in enumerate(nodes):
        if node.triangles or node.lines or index not in parents:  # else it only groups others
            _add(node, scale, collection, materials)
    return collection


def _add(node, scale, collection, materials):
    data = mesh_of(node, scale) if node.triangles or node.lines else None
    thing = bpy.data.objects.new(node.name or "Part", data)
    if data is None:
        thing.location = [value / scale for value in node.points]
        thing.empty_display_size = 0.1 / scale
    elif node.colour is not None:
        data.materials.append(material_of(node.colour, "Colour", materials))
    for key, value in node.extras.items():
        if isinstance(value, (str, int, float, bool)):
            thing[key] = value
    collection.objects.link(thing)


class ROOMLOOM_OT_open_model(bpy.types.Operator, ImportHelper):
    """Open a room from a GLB or OBJ file: shapes, names and colours"""

    bl_idname = "roomloom.open_model"
    bl_label = "Open a room"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default="*.glb;*.obj", options={"HIDDEN"})

    def execute(self, context):
        if self.filepath.lower().endswith(".obj"):
            return bpy.ops.wm.obj_import(filepath=self.filepath)
        try:
            open_glb(context, self.filepath)
        except Told as told:
            self.report({"ERROR"}, told.text())
            return {"CANCELLED"}
        return {"FINISHED"}


class ROOMLOOM_OT_write_job(bpy.types.Operator, ExportHelper):
    """Write the room and the job into a new folder, for the command line"""

    bl_idname = "roomloom.write_job"
    bl_label = "Write room and job"

    filename_ext = ""

    def execute(self, context):
        try:
            prepared = Prepared(context)
            with WorkFolder(self.filepath) as work:
                write_glb(work.path / MODEL_FILE, prepared.room.parts)
                work.write_job(prepared.job)
                work.keep()
        except Told as told:
            self.report({"ERROR"}, tell(context, told))
            return {"CANCELLED"}
        self.report({"INFO"}, f"roomloom route {os.path.join(self.filepath, 'job.json')}")
        return {"FINISHED"}


_CLASSES = (ROOMLOOM_OT_open_model, ROOMLOOM_OT_write_job)

register, unregister = bpy.utils.register_classes_factory(_CLASSES)
