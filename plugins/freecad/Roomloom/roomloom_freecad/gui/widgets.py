"""Small pieces that all task panels are made of."""

import FreeCAD
import FreeCADGui as Gui
from PySide import QtCore, QtGui

from roomloom_files import Told

from .. import marks
from . import view

PANEL_WIDTH = 380  # pixels


def length_text(mm):
    """A length in the unit that FreeCAD shows."""
    return FreeCAD.Units.Quantity(float(mm), FreeCAD.Units.Length).UserString


def length_box(mm=0.0):
    """FreeCAD's own length field."""
    box = Gui.UiLoader().createWidget("Gui::QuantitySpinBox")
    box.setProperty("unit", "mm")
    box.setProperty("rawValue", float(mm))
    return _narrow(box)


def _narrow(made):
    """Shrinks with the panel: FreeCAD's is often no wider than 270 pixels."""
    made.setMinimumWidth(48)
    made.setSizePolicy(QtGui.QSizePolicy.Ignored, QtGui.QSizePolicy.Fixed)
    return made


def line_edit(text="", hint=""):
    made = QtGui.QLineEdit(text)
    made.setPlaceholderText(hint)
    return _narrow(made)


def angle_box(value, lowest=0):
    box = QtGui.QDoubleSpinBox()
    box.setRange(lowest, 360)
    box.setSuffix(" °")
    box.setValue(value)
    return _narrow(box)


def mm_of(box):
    return float(box.property("rawValue"))


def combo(choices, current=None, editable=False):
    box = QtGui.QComboBox()
    box.setEditable(editable)
    box.addItems([str(choice) for choice in choices])
    _narrow(box)
    if current is not None:
        if editable:
            box.setEditText(str(current))
        elif str(current) in [str(choice) for choice in choices]:
            box.setCurrentIndex([str(choice) for choice in choices].index(str(current)))
    return box


def button(text, function, tip=""):
    made = QtGui.QPushButton(text)
    made.setToolTip(tip)
    made.clicked.connect(lambda *_: function())
    return made


def replace(layout, old, new):
    """Puts a widget in the place of another, which goes at once."""
    layout.replaceWidget(old, new)
    old.hide()
    old.setParent(None)
    old.deleteLater()


def row(*parts):
    """Widgets side by side."""
    holder = QtGui.QWidget()
    layout = QtGui.QHBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        layout.addWidget(part)
    return holder


def table(titles):
    made = QtGui.QTableWidget(0, len(titles))
    made.setHorizontalHeaderLabels(titles)
    made.verticalHeader().hide()
    made.setSelectionBehavior(QtGui.QAbstractItemView.SelectRows)
    made.setEditTriggers(QtGui.QAbstractItemView.NoEditTriggers)
    made.horizontalHeader().setSectionResizeMode(QtGui.QHeaderView.ResizeToContents)
    made.horizontalHeader().setStretchLastSection(True)
    made.verticalHeader().setDefaultSectionSize(24)
    made.setMinimumHeight(150)
    return made


def fill(made, rows, right=()):
    """Texts into a table; the columns in `right` are set flush right."""
    made.setRowCount(len(rows))
    for r, texts in enumerate(rows):
        for c, text in enumerate(texts):
            item = QtGui.QTableWidgetItem(str(text))
            item.setToolTip(str(text))
            if c in right:
                item.setTextAlignment(int(QtCore.Qt.AlignRight | QtCore.Qt.AlignVCenter))
            made.setItem(r, c, item)


def group(title, *parts):
    """A titled box with widgets below each other, or (label, widget) pairs as a form."""
    box = QtGui.QGroupBox(title)
    if parts and isinstance(parts[0], tuple):
        layout = QtGui.QFormLayout(box)
        for label, part in parts:
            layout.addRow(*([label, part] if label else [part]))
    else:
        layout = QtGui.QVBoxLayout(box)
        for part in parts:
            layout.addWidget(part)
    return box


def standard_buttons(*buttons):
    """The buttons of a task panel as FreeCAD wants them: a number, newer versions the flags."""
    together = buttons[0]
    for other in buttons[1:]:
        together = together | other
    try:
        return int(together)
    except TypeError:
        return together


class FieldEditor:
    """The widget for one field of a mark (roomloom_files.Field)."""

    def __init__(self, field):
        self.field = field
        kind = field.kind
        if kind in ("choice", "maybe"):
            choices = (
                marks.MAYBE
                if kind == "maybe"
                else [choice if choice != "unknown" else marks.NOT_SAID for choice in field.choices]
            )
            self.widget = combo(choices)
        elif kind == "flag":
            self.widget = QtGui.QCheckBox()
        elif kind == "length":
            self.widget = length_box()
        elif kind == "pair":
            self.boxes = [length_box(), length_box()]
            self.given = QtGui.QCheckBox("given")
            extra = [self.given] if field.key == "tile_origin" else []
            self.widget = row(*self.boxes, *extra)
        elif kind == "angle":
            self.widget = angle_box(0)
        else:
            self.widget = line_edit()
        self.widget.setToolTip(field.tip)

    def read(self, thing):
        """Shows what is said of a marked part."""
        name, kind = marks.property_name(self.field.key), self.field.kind
        if kind == "pair":
            for box, axis in zip(self.boxes, "XY"):
                box.setProperty("rawValue", float(getattr(thing, name + axis, 0)))
            self.given.setChecked(bool(getattr(thing, name + "Given", False)))
            return
        if not hasattr(thing, name):
            return
        value = getattr(thing, name)
        if kind in ("choice", "maybe"):
            self.widget.setCurrentIndex(self.widget.findText(value))
        elif kind == "flag":
            self.widget.setChecked(value)
        elif kind == "length":
            self.widget.setProperty("rawValue", float(value))
        elif kind == "angle":
            self.widget.setValue(float(value))
        elif kind in ("lengths", "words"):
            self.widget.setText("; ".join(value))
        else:
            self.widget.setText(value)

    def write(self, thing):
        """Says it of a marked part."""
        kind = self.field.kind
        if kind == "pair":
            marks.say(thing, self.field, [mm_of(box) for box in self.boxes])
            if self.field.key == "tile_origin":
                name = marks.property_name(self.field.key) + "Given"
                setattr(thing, name, self.given.isChecked())
        elif kind in ("choice", "maybe"):
            marks.say(thing, self.field, self.widget.currentText())
        elif kind == "flag":
            marks.say(thing, self.field, self.widget.isChecked())
        elif kind == "length":
            marks.say(thing, self.field, mm_of(self.widget))
        elif kind == "angle":
            marks.say(thing, self.field, self.widget.value())
        elif kind in ("lengths", "words"):
            words = [word.strip() for word in self.widget.text().split(";") if word.strip()]
            if kind == "lengths":
                for word in words:
                    marks.metres_from(word, thing.Label)
            marks.say(thing, self.field, words)
        else:
            marks.say(thing, self.field, self.widget.text())


class Panel:
    """A task panel: subclasses fill `self.layout`, and may override `closed`."""

    title = "Roomloom"
    icon = "roomloom"

    def __init__(self, document):
        from .commands import icon_path  # pylint: disable=import-outside-toplevel

        self.document = document
        self.form = QtGui.QWidget()
        self.form.setWindowTitle(self.title)
        self.form.setWindowIcon(QtGui.QIcon(icon_path(self.icon)))
        self.layout = QtGui.QVBoxLayout(self.form)
        self.message = QtGui.QLabel()
        self.message.setWordWrap(True)
        self.message.setTextInteractionFlags(QtCore.Qt.TextSelectableByMouse)
        self.message.hide()
        # Whoever takes the panel away, the view and the selection are let go.
        self.form.destroyed.connect(lambda *_: self.closed())
        QtCore.QTimer.singleShot(0, self._make_room)

    def _make_room(self):
        """FreeCAD's task column is narrow at first; it is widened as far as the panels need."""
        window = Gui.getMainWindow()
        # Not by walking up through parent(): PySide would take the form's children with it.
        for dock in window.findChildren(QtGui.QDockWidget):
            try:
                narrow = not dock.isFloating() and dock.width() < PANEL_WIDTH
                if narrow and dock.isAncestorOf(self.form):
                    window.resizeDocks([dock], [PANEL_WIDTH], QtCore.Qt.Horizontal)
            except RuntimeError:  # the panel was closed again already
                return

    def getStandardButtons(self):  # FreeCAD's name
        return standard_buttons(QtGui.QDialogButtonBox.Close)

    def reject(self):
        """FreeCAD calls this for Close and for Esc."""
        self.closed()
        Gui.Control.closeDialog()
        return True

    def closed(self):
        """Lets go of the view and the selection; may be called twice, and when the form is gone."""

    def say(self, text):
        """A line at the panel's foot; an empty text hides it."""
        self.message.setText(text)
        self.message.setVisible(bool(text))

    def tell(self, told):
        """An error in words, with its part selected where there is one."""
        self.say(told.text())
        FreeCAD.Console.PrintError(f"Roomloom: {told.text()} [{told.code}]\n")
        thing = getattr(told, "thing", None)
        if thing is not None:
            view.show(thing)

    def attempt(self, function):
        """Calls, and tells what a user can mend."""
        self.say("")
        try:
            return function()
        except Told as told:
            self.tell(told)
            return None


class SelectionWatcher:
    """Calls back, once a turn of the event loop, after the selection changed."""

    def __init__(self, function):
        self.function = function
        self.timer = QtCore.QTimer()
        self.timer.setSingleShot(True)
        self.timer.timeout.connect(function)
        Gui.Selection.addObserver(self)

    def _changed(self):
        self.timer.start(0)

    def addSelection(self, *_):  # FreeCAD's names
        self._changed()

    def removeSelection(self, *_):
        self._changed()

    def setSelection(self, *_):
        self._changed()

    def clearSelection(self, *_):
        self._changed()

    def stop(self):
        if self.function is not None:
            Gui.Selection.removeObserver(self)
            self.timer.stop()
        self.function = None


def open_outside(path):
    """A file or folder in the program that the desktop has for it."""
    return QtGui.QDesktopServices.openUrl(QtCore.QUrl.fromLocalFile(str(path)))


def tell_aside(told):
    """An error in a window of its own that does not hold FreeCAD up, and in the report view."""
    FreeCAD.Console.PrintError(f"Roomloom: {told.text()} [{told.code}]\n")
    box = QtGui.QMessageBox(
        QtGui.QMessageBox.Warning, "Roomloom", told.text(), parent=Gui.getMainWindow()
    )
    box.setAttribute(QtCore.Qt.WA_DeleteOnClose)
    box.open()
    return box
