"""Says what the selected parts of the room are."""

import FreeCADGui as Gui
from PySide import QtCore, QtGui

from roomloom_files import ROLES, fields_of

from .. import marks, parts
from ..survey import guess_marks
from ..things import Step
from . import view
from .widgets import (
    FieldEditor,
    Panel,
    SelectionWatcher,
    button,
    combo,
    fill,
    group,
    replace,
    row,
    table,
)

UNMARKED = "(not marked)"


class MarkPanel(Panel):
    """Role and details for whatever is selected, and a list of all parts."""

    title = "What the parts are"
    icon = "mark"

    def __init__(self, document):
        super().__init__(document)
        self.chosen = QtGui.QLabel()
        self.chosen.setWordWrap(True)
        self.role = combo([UNMARKED, *ROLES])
        self.role.currentIndexChanged.connect(lambda *_: self._show_details())
        self.details_box = group("What is known of it")
        self.editors = []
        self.list = table(["Part", "Is"])
        self.list.itemSelectionChanged.connect(self._list_clicked)
        self.only_unmarked = QtGui.QCheckBox("Only those not marked")
        self.only_unmarked.toggled.connect(lambda *_: self._fill_list())
        self.layout.addWidget(group("Selected parts", self.chosen, self.role))
        self.layout.addWidget(self.details_box)
        self.layout.addWidget(
            row(
                button("Mark", self.apply, "Say it of all selected parts"),
                button("Take mark off", self.take_off),
            )
        )
        self.layout.addWidget(self.message)
        self.layout.addWidget(
            group(
                "All parts of the room",
                self.only_unmarked,
                self.list,
                button("Guess the rest", self.guess, "Mark the others as the program sees them"),
            )
        )
        self.listed, self._following = [], False
        self.watcher = SelectionWatcher(self.selection_changed)
        self._fill_list()
        self.selection_changed()

    def closed(self):
        self.watcher.stop()

    def selected(self):
        """The user's own objects in the selection."""
        return [
            thing
            for thing in Gui.Selection.getSelection(self.document.Name)
            if not parts.is_ours(thing)
        ]

    def selection_changed(self):
        things = self.selected()
        names = ", ".join(thing.Label for thing in things[:6])
        more = f" and {len(things) - 6} more" if len(things) > 6 else ""
        self.chosen.setText(names + more if things else "Select parts in the view or in the tree.")
        role = marks.role_of(things[0]) if things else None
        self.role.setCurrentIndex(self.role.findText(role or UNMARKED))
        self._show_details()

    def _show_details(self):
        old = self.details_box
        role = self.role.currentText()
        self.editors = [FieldEditor(field) for field in fields_of(role)]
        rows = [(editor.field.label, editor.widget) for editor in self.editors]
        self.details_box = group("What is known of it", *rows)
        self.details_box.setVisible(bool(rows))
        replace(self.layout, old, self.details_box)
        things = self.selected()
        if things and marks.role_of(things[0]) == role:
            for editor in self.editors:
                editor.read(things[0])

    def apply(self):
        """Marks all selected parts as the panel says."""
        if self.role.currentText() == UNMARKED:
            self.take_off()
            return
        things = self.selected()
        if not things:
            self.say("Nothing of the room is selected.")
            return
        self.attempt(lambda: self._mark(things))
        self._fill_list()

    def _mark(self, things):
        with Step(self.document, "Mark parts"):
            for thing in things:
                marks.mark(thing, self.role.currentText())
                for editor in self.editors:
                    editor.write(thing)

    def take_off(self):
        """Takes the marks off all selected parts."""
        with Step(self.document, "Take marks off"):
            for thing in self.selected():
                marks.unmark(thing)
        self._fill_list()
        self.selection_changed()

    def guess(self):
        """Marks what is not marked yet as the program understands it."""
        QtGui.QApplication.setOverrideCursor(QtCore.Qt.WaitCursor)
        try:
            self.attempt(self._guess)
        finally:
            QtGui.QApplication.restoreOverrideCursor()
        self._fill_list()
        self.selection_changed()

    def _guess(self):
        marked = guess_marks(self.document)
        self.say(f"{len(marked)} parts were marked as the program sees them; look them over.")

    def _fill_list(self):
        found, _ = parts.collect(self.document)
        if self.only_unmarked.isChecked():
            found = [part for part in found if part.mark is None]
        self.listed = found
        self._following = True
        fill(self.list, [(part.name, part.mark["is"] if part.mark else "") for part in found])
        self._following = False

    def _list_clicked(self):
        if self._following:
            return
        rows = sorted({index.row() for index in self.list.selectedIndexes()})
        view.select_parts([self.listed[r] for r in rows if r < len(self.listed)])
