"""FreeCAD's window under Xvfb: mouse events at points of the model, and pictures of what shows."""

import time

import FreeCADGui as Gui
from FreeCAD import Vector
from PySide import QtCore, QtGui

import support
from roomloom_freecad.gui import view


def turn(seconds=0.1):
    """Lets FreeCAD go on."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        QtGui.QApplication.processEvents()
        time.sleep(0.01)


def wait_for(condition, seconds=150):
    until = time.monotonic() + seconds
    while not condition() and time.monotonic() < until:
        turn(0.05)
    return condition()


def viewport():
    """The widget that the 3D view in front draws into."""
    shown = [w for w in Gui.getMainWindow().findChildren(QtGui.QGraphicsView) if w.isVisible()]
    return shown[-1].viewport()


def click(point):
    """Moves the mouse to a point of the model and clicks with the left button."""
    port, front = viewport(), view.active_view()
    x, y = front.getPointOnScreen(Vector(*point))
    scale = port.width() / front.getSize()[0]
    at = QtCore.QPoint(round(x * scale), port.height() - 1 - round(y * scale))
    left, none = QtCore.Qt.LeftButton, QtCore.Qt.NoButton
    for kind, button, buttons in (
        (QtCore.QEvent.MouseMove, none, none),
        (QtCore.QEvent.MouseButtonPress, left, left),
        (QtCore.QEvent.MouseButtonRelease, left, none),
    ):
        event = QtGui.QMouseEvent(
            kind,
            QtCore.QPointF(at),
            QtCore.QPointF(port.mapToGlobal(at)),
            button,
            buttons,
            QtCore.Qt.NoModifier,
        )
        QtGui.QApplication.sendEvent(port, event)
        turn(0.1)


def grab(name):
    """A picture of the whole screen, kept in the test's folder."""
    turn(0.6)
    picture = QtGui.QApplication.primaryScreen().grabWindow(0)
    picture.save(str(support.FOLDER / f"{name}.png"))
    return picture.toImage()


def colours_in(image, box):
    """How many colours a part of a picture has: (left, top, width, height)."""
    left, top, width, height = box
    return len(
        {
            image.pixel(x, y)
            for x in range(left, left + width, 3)
            for y in range(top, top + height, 3)
        }
    )


class InWindow(support.InFreeCAD):
    def setUp(self):
        super().setUp()
        Gui.activateWorkbench("RoomloomWorkbench")
        Gui.getMainWindow().showMaximized()

    def tearDown(self):
        Gui.Control.closeDialog()
        turn()
        super().tearDown()

    def seen_room(self, whole=True):
        """The room with its near walls, deck and tiles hidden, seen from the back right."""
        if whole:
            self.whole_room()
        else:
            self.room = support.build_room(self.document)
        for label in ("Wall back", "Wall right", "Deck", "Tiles"):
            self.room[label].Visibility = False
        view.active_view().viewIsometric()
        view.active_view().fitAll()
        turn(0.4)

    def open(self, panel):
        Gui.Control.showDialog(panel)
        turn(0.4)
        return panel

    def shown(self, widget):
        """A widget is drawn, inside the panel, with more than one colour."""
        self.assertTrue(widget.isVisible())
        image = widget.grab().toImage()
        self.assertGreater(colours_in(image, (0, 0, image.width(), image.height())), 3)


def run_when_ready(module):
    """Runs a module's tests; the script is read before the window is ready."""
    QtCore.QTimer.singleShot(2500, lambda: support.run(module))
