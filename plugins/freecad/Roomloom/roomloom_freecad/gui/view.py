"""Looking at things in the 3D view, and picking places on faces."""

import FreeCAD
import FreeCADGui as Gui
from FreeCAD import Vector

CLOSE_MM = 1500.0  # how much of the room is seen round a place


def active_view():
    """The 3D view in front, or None."""
    document = Gui.ActiveDocument
    view = document.ActiveView if document else None
    return view if hasattr(view, "getCameraNode") else None


def select(*things):
    """Selects objects, and nothing else."""
    Gui.Selection.clearSelection()
    for thing in things:
        Gui.Selection.addSelection(thing)


def select_parts(parts):
    """Selects parts of the room where they are seen, inside containers and links too."""
    Gui.Selection.clearSelection()
    for part in parts:
        Gui.Selection.addSelection(part.root.Document.Name, part.root.Name, part.path)


def show(thing):
    """Selects an object and brings it near."""
    select(thing)
    if active_view() is not None:
        Gui.SendMsgToActiveView("ViewSelection")


def look_at(point_mm, size_mm=CLOSE_MM):
    """Brings a place into the middle of the view, from where the view looks now."""
    view = active_view()
    if view is None:
        return
    camera = view.getCameraNode()
    toward = view.getViewDirection()
    if hasattr(camera, "height"):  # orthographic
        away = camera.focalDistance.getValue()
        camera.height.setValue(size_mm)
    else:
        away = 1.5 * size_mm
        camera.focalDistance.setValue(away)
    place = Vector(*point_mm) - toward * away
    camera.position.setValue(place.x, place.y, place.z)
    view.redraw()


class Place:
    """A point on a face under the cursor."""

    def __init__(self, point, normal, thing, face):
        self.point = point  # Vector, mm, global
        self.normal = normal  # unit Vector out of the face toward the viewer, or None
        self.thing = thing  # the object, or None in the open
        self.face = face  # "Face3", or ""


def place_from(view, info):
    """What the view tells of a pixel (getObjectInfo) as a Place, or None beside all objects."""
    if not info or "x" not in info:
        return None
    point = Vector(info["x"], info["y"], info["z"])
    document = FreeCAD.getDocument(info["Document"])
    thing = document.getObject(
        info.get("ParentObject", None).Name if info.get("ParentObject") else info["Object"]
    )
    path = info.get("SubName", "") or info.get("Component", "")
    return Place(point, _normal(view, thing, path, point), thing, info.get("Component", ""))


def _normal(view, thing, path, point):
    """The face's normal at a point, turned toward the viewer."""
    try:
        face = thing.getSubObject(path)
        u, v = face.Surface.parameter(point)
        normal = face.normalAt(u, v)
    except (AttributeError, RuntimeError, ValueError, TypeError):
        return None
    if normal.dot(view.getViewDirection()) > 0:
        normal = normal * -1
    return normal.normalize()


class Picker:
    """Calls back with each Place that is clicked in the view, and that the cursor is over.

    Esc and the right button end it. FreeCAD itself lights up the face under the cursor.
    """

    def __init__(self, clicked, over=None, ended=None):
        self.view = active_view()
        self.clicked, self.over, self.ended = clicked, over, ended
        self._callbacks = []
        if self.view is not None:
            for event, function in (
                ("SoMouseButtonEvent", self._button),
                ("SoLocation2Event", self._moved),
                ("SoKeyboardEvent", self._key),
            ):
                self._callbacks.append((event, self.view.addEventCallback(event, function)))

    def _place(self, event):
        return place_from(self.view, self.view.getObjectInfo(tuple(event["Position"])))

    def _moved(self, event):
        if self.over:
            self.over(self._place(event))

    def _button(self, event):
        if event["State"] != "DOWN" or event["Button"] != "BUTTON1":
            return
        place = self._place(event)
        if place is not None:
            self.clicked(place)

    def _key(self, event):
        if event["Key"] == "ESCAPE" and event["State"] == "UP" and self.ended:
            self.ended()

    def stop(self):
        """Lets go of the view."""
        for event, callback in self._callbacks:
            self.view.removeEventCallback(event, callback)
        self._callbacks = []
