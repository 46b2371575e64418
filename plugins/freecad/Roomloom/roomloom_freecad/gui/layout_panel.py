"""A loudspeaker layout of ITU-R BS.2051 round a listener, in one step."""

import math

from FreeCAD import Vector
from PySide import QtGui

from roomloom_files import SYSTEMS, read_catalogue

from .. import routing, things
from ..layout import place_layout
from ..parts import collect
from ..surfaces import floor_below
from .view import Picker
from .widgets import Panel, angle_box, button, combo, group, length_box, mm_of

EAR_HEIGHT_MM = 1200


class LayoutPanel(Panel):
    """System, listener and what is ahead; one button places all loudspeakers."""

    title = "Loudspeaker layout"
    icon = "layout"

    def __init__(self, document):
        super().__init__(document)
        found = things.all_of(document, "listener")
        self.system = combo(SYSTEMS, found[0].System if found else "4+5+0")
        self.ear = length_box(EAR_HEIGHT_MM)
        self.place = [
            length_box(value)
            for value in (found[0].Placement.Base if found else Vector(0, 0, EAR_HEIGHT_MM))
        ]
        self.facing = angle_box(float(found[0].Facing) if found else 0.0, -360)
        self.distance = length_box(float(found[0].Distance) if found else 0.0)
        self.distance.setToolTip("Of all loudspeakers; 0: the surfaces decide")
        self.labels = QtGui.QListWidget()
        self.labels.setMaximumHeight(140)
        self.layout.addWidget(
            group(
                "Listener",
                ("Ear height", self.ear),
                ("X", self.place[0]),
                ("Y", self.place[1]),
                ("Z", self.place[2]),
                ("", button("Click the seat", self.pick_seat)),
            )
        )
        self.layout.addWidget(
            group(
                "Loudspeakers",
                ("System", self.system),
                ("Looks toward", self.facing),
                ("", button("Click the wall ahead", self.pick_ahead)),
                ("Distance", self.distance),
                ("", button("Place loudspeakers", self.apply, "All of the system, as one step")),
            )
        )
        self.layout.addWidget(self.message)
        self.layout.addWidget(group("Placed", self.labels))
        self.layout.addStretch(1)
        self.picker = None

    def closed(self):
        self._stop_picking()

    def _stop_picking(self):
        if self.picker:
            self.picker.stop()
        self.picker = None

    def pick_seat(self):
        """The next click on a floor is where the listener sits."""
        self._stop_picking()
        self.say("Click on the floor, or on the seat.")
        self.picker = Picker(self.seat_clicked, None, self._stop_picking)

    def seat_clicked(self, place):
        floor = floor_below(collect(self.document)[0], place.point)
        at = (place.point.x, place.point.y, floor + mm_of(self.ear))
        for box, value in zip(self.place, at):
            box.setProperty("rawValue", value)
        self.say("")
        self._stop_picking()

    def pick_ahead(self):
        """The next click on a wall is what the listener looks at."""
        self._stop_picking()
        self.say("Click on the wall that the listener looks at.")
        self.picker = Picker(self.ahead_clicked, None, self._stop_picking)

    def ahead_clicked(self, place):
        if place.normal is None or abs(place.normal.z) > 0.5:
            self.say("That is no wall.")
            return
        self.facing.setValue(math.degrees(math.atan2(place.normal.x, -place.normal.y)))
        self.say("")
        self._stop_picking()

    def apply(self):
        """Makes or moves the listener and all loudspeakers."""
        self.attempt(self._apply)

    def _apply(self):
        labels = read_catalogue(routing.program().path).labels(self.system.currentText())
        with things.Step(self.document, "Place loudspeaker layout"):
            listener = things.make_listener(
                self.document,
                [mm_of(box) for box in self.place],
                self.system.currentText(),
                self.facing.value(),
                mm_of(self.distance),
            )
            ends = place_layout(self.document, listener, labels)
        self.labels.clear()
        self.labels.addItems([end.Label for end in ends])
