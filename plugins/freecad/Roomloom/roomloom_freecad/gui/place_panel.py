"""Places ends and gear by clicking on faces."""

from FreeCAD import Vector
from PySide import QtGui

from roomloom_files import MOUNTS, STATES

from .. import parts, things
from ..surfaces import floor_below, wall_behind
from .view import Picker
from .widgets import Panel, button, combo, group, length_box, length_text, line_edit, mm_of, row


class PlacePanel(Panel):
    """Base: a label, a picker that is on while the panel is open, and a list of what was placed."""

    word = "End"

    def __init__(self, document):
        super().__init__(document)
        self.label = line_edit(things.unused_label(document, self.word + " "))
        self.under = QtGui.QLabel("Click on a face of the room. Esc ends.")
        self.under.setWordWrap(True)
        self.made = []
        self.placed = QtGui.QListWidget()
        self.placed.setMaximumHeight(120)
        self.build()
        self.layout.addWidget(self.under)
        self.layout.addWidget(self.message)
        self.layout.addWidget(
            group("Placed", self.placed, row(button("Take the last away", self.take_back)))
        )
        self.layout.addStretch(1)
        self.picker = Picker(self.clicked, self.over, self.reject)

    def build(self):
        """Adds the fields; for the subclass."""

    def closed(self):
        self.picker.stop()

    def over(self, place):
        if place is None or place.thing is None:
            self.under.setText("Click on a face of the room. Esc ends.")
            return
        at = ", ".join(length_text(value) for value in place.point)
        self.under.setText(f"On {place.thing.Label} at {at}")

    def clicked(self, place):
        """Makes the object at a place; one undoable step."""
        if place.thing is not None and parts.is_ours(place.thing):
            self.say(f'"{place.thing.Label}" is no part of the room.')
            return
        self.say("")
        with things.Step(self.document, f"Place {self.word.lower()}"):
            made = self.make(place)
        self.made.append(made.Name)
        self.placed.addItem(made.Label)
        self.label.setText(things.unused_label(self.document, self.word + " "))

    def make(self, place):
        raise NotImplementedError

    def take_back(self):
        """Removes what was placed last."""
        if self.made:
            name = self.made.pop()
            self.placed.takeItem(self.placed.count() - 1)
            if self.document.getObject(name) is not None:
                with things.Step(self.document, "Take away"):
                    self.document.removeObject(name)
            self.label.setText(things.unused_label(self.document, self.word + " "))


class EndPanel(PlacePanel):
    """Ends on faces."""

    title = "Place ends"
    icon = "end"
    word = "End"

    def build(self):
        self.mount = combo(MOUNTS)
        self.state = combo([things.AS_PLANNED, *STATES])
        self.may_move = length_box()
        self.connector = line_edit()
        self.layout.addWidget(
            group(
                "Next end",
                ("Name", self.label),
                ("Held", self.mount),
                ("State", self.state),
                ("May move by", self.may_move),
                ("Connector", self.connector),
            )
        )

    def make(self, place):
        return things.make_end(
            self.document,
            self.label.text(),
            place.point,
            Mount=self.mount.currentText(),
            EndState=self.state.currentText(),
            MayMove=mm_of(self.may_move),
            Connector=self.connector.text(),
        )


class GearPanel(PlacePanel):
    """Racks, stands and devices: on the floor, back to a wall."""

    title = "Place gear"
    icon = "gear"
    word = "Rack"

    def build(self):
        self.size = [length_box(mm) for mm in (600, 450, 1000)]
        self.gap = length_box(100)
        self.pull_out = length_box()
        self.ports = line_edit("", "S1..S9, net")
        self.devices = QtGui.QPlainTextEdit()
        self.devices.setPlaceholderText("one a line, from the bottom up:\namplifier: S1..S9, net")
        self.devices.setMaximumHeight(80)
        self.layout.addWidget(
            group(
                "Next gear",
                ("Name", self.label),
                ("Width", self.size[0]),
                ("Depth", self.size[1]),
                ("Height", self.size[2]),
                ("Off the wall", self.gap),
                ("Pull out", self.pull_out),
                ("Its own ports", self.ports),
                ("Devices in it", self.devices),
            )
        )

    def make(self, place):
        depth = mm_of(self.size[1])
        normal = place.normal
        if normal is not None and abs(normal.z) < 0.1:
            toward, foot = normal, place.point + normal * (mm_of(self.gap) + depth / 2)
        else:
            toward, away = wall_behind(parts.collect(self.document)[0], place.point)
            foot = place.point
            if toward is not None:
                foot = place.point + toward * (mm_of(self.gap) + depth / 2 - away)
            toward = toward or Vector(0, 1, 0)
        foot = Vector(foot.x, foot.y, floor_below(parts.collect(self.document)[0], foot))
        lines = [line.strip() for line in self.devices.toPlainText().splitlines() if line.strip()]
        return things.make_gear(
            self.document,
            self.label.text(),
            foot,
            [mm_of(box) for box in self.size],
            (toward.x, toward.y),
            Ports=self.ports.text(),
            Devices=lines,
            PullOut=mm_of(self.pull_out),
        )
