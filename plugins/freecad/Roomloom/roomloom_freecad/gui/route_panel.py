"""Routes without keeping FreeCAD from working, and shows how far it is."""

import FreeCAD
import FreeCADGui as Gui
from PySide import QtCore, QtGui

from roomloom_files import RUNNING, Told

from ..routing import DocumentRouting
from .widgets import Panel, button

POLL_MS = 100


class RoutePanel(Panel):
    """Starts at once; Cancel leaves the document as it was."""

    title = "Routing"
    icon = "route"

    def __init__(self, document):
        super().__init__(document)
        self.stage = QtGui.QLabel("writing the room ...")
        self.bar = QtGui.QProgressBar()
        self.bar.setRange(0, 1000)
        self.cancel_button = button("Cancel", self.cancel, "Nothing in the document changes")
        self.again = button("Route again", self.start)
        for part in (self.stage, self.bar, self.cancel_button, self.again, self.message):
            self.layout.addWidget(part)
        self.layout.addStretch(1)
        self.routing = None
        self.name = document.Name  # the document may be closed while the program runs
        self.timer = QtCore.QTimer()
        self.timer.timeout.connect(self.poll)
        self.start()

    def start(self):
        """Exports and starts the program."""
        self.routing = self.attempt(lambda: DocumentRouting(self.document))
        running = self.routing is not None
        self.cancel_button.setVisible(running)
        self.again.setVisible(not running)
        self.bar.setVisible(running)
        self.stage.setText("started" if running else "Nothing was changed.")
        if running:
            self.timer.start(POLL_MS)

    def poll(self):
        """Called by the timer."""
        if self.routing is None:
            return
        if self.name not in FreeCAD.listDocuments():
            self.closed()
            return
        state = self.routing.poll()
        self.stage.setText(self.routing.stage)
        self.bar.setValue(int(1000 * self.routing.share))
        if state != RUNNING:
            self.timer.stop()
            self.finish()

    def finish(self):
        """Brings the result in and shows it; or tells why not."""
        routing, self.routing = self.routing, None
        try:
            routing.finish()
        except Told as told:
            self.tell(told)
            self.stage.setText("Nothing was changed.")
            self.cancel_button.hide()
            self.bar.hide()
            self.again.show()
            return
        Gui.Control.closeDialog()
        from .result_panel import ResultPanel  # pylint: disable=import-outside-toplevel

        Gui.Control.showDialog(ResultPanel(self.document))

    def cancel(self):
        """Ends the program."""
        self.closed()
        self.stage.setText("Cancelled. Nothing was changed.")
        self.cancel_button.hide()
        self.bar.hide()
        self.again.show()

    def closed(self):
        self.timer.stop()
        if self.routing is not None:
            self.routing.cancel()
        self.routing = None
