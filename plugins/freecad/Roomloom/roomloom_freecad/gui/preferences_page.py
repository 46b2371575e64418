"""Roomloom's page in FreeCAD's preferences: where the program is."""

import FreeCAD
from PySide import QtGui

from roomloom_files import Told, check_program, find_program

from ..routing import PARAMETERS, _PLUG_IN
from .widgets import button, group, row


class PreferencesPage:
    """FreeCAD makes one of these each time its preferences open."""

    def __init__(self, *_):
        self.form = QtGui.QWidget()
        self.form.setWindowTitle("Roomloom")
        layout = QtGui.QVBoxLayout(self.form)
        self.path = QtGui.QLineEdit()
        self.path.setPlaceholderText("empty: beside the workbench, else on the PATH")
        self.answer = QtGui.QLabel()
        self.answer.setWordWrap(True)
        layout.addWidget(
            group(
                "The program roomloom",
                row(self.path, button("...", self.browse)),
                row(button("Try it", self.try_it)),
                self.answer,
            )
        )
        layout.addStretch(1)

    def browse(self):
        path, _ = QtGui.QFileDialog.getOpenFileName(self.form, "The program roomloom")
        if path:
            self.path.setText(path)

    def try_it(self):
        """Says which program answers."""
        try:
            found = check_program(find_program(self.path.text(), [_PLUG_IN]))
            version = ".".join(map(str, found.version))
            self.answer.setText(f"{found.path} answers: version {version}.")
        except Told as told:
            self.answer.setText(told.text())

    def saveSettings(self):  # FreeCAD's name
        FreeCAD.ParamGet(PARAMETERS).SetString("Program", self.path.text().strip())

    def loadSettings(self):  # FreeCAD's name
        self.path.setText(FreeCAD.ParamGet(PARAMETERS).GetString("Program", ""))
