"""FreeCAD runs this at every start with a window: makes the workbench known."""

import FreeCADGui as Gui


class RoomloomWorkbench(Gui.Workbench):
    """Plans cable runs in the modelled room."""

    MenuText = "Roomloom"
    ToolTip = "Plan every cable run of a room, in its model"

    def __init__(self):
        from roomloom_freecad.gui.commands import icon_path

        self.__class__.Icon = icon_path("roomloom")

    def Initialize(self):
        from roomloom_freecad.gui import commands

        commands.register()
        names = []
        for group in commands.GROUPS:
            names += (["Separator"] if names else []) + group
        self.appendToolbar("Roomloom", names)
        self.appendMenu("Roomloom", names)

    def GetClassName(self):
        return "Gui::PythonWorkbench"


def _add_preferences():
    from roomloom_freecad.gui.preferences_page import PreferencesPage

    Gui.addPreferencePage(PreferencesPage, "Roomloom")


Gui.addWorkbench(RoomloomWorkbench())
_add_preferences()
