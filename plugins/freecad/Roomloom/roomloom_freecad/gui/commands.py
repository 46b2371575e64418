"""The commands of the workbench: each opens a task panel on the document in front."""

import pathlib

import FreeCAD
import FreeCADGui as Gui

_ICONS = pathlib.Path(__file__).resolve().parents[1] / "icons"


def icon_path(name):
    """The drawing of a command."""
    return str(_ICONS / f"{name}.svg")


class _PanelCommand:
    """Opens a panel; `panel` gives its class only when it is needed."""

    def __init__(self, icon, menu, tip, panel, needs=None):
        self.icon, self.menu, self.tip, self.panel, self.needs = icon, menu, tip, panel, needs

    def GetResources(self):  # FreeCAD's name
        return {"Pixmap": icon_path(self.icon), "MenuText": self.menu, "ToolTip": self.tip}

    def IsActive(self):  # FreeCAD's name
        document = FreeCAD.ActiveDocument
        return (
            document is not None
            and Gui.Control.activeDialog() is False
            and (self.needs is None or self.needs(document))
        )

    def Activated(self):  # FreeCAD's name
        Gui.Control.showDialog(self.panel()(FreeCAD.ActiveDocument))


class _OpenCommand:
    """Asks for a model and brings it in, each part an object of its own."""

    def GetResources(self):  # FreeCAD's name
        return {
            "Pixmap": icon_path("open"),
            "MenuText": "Open a room ...",
            "ToolTip": "A STEP, OBJ or GLB model, with every part an object that can be marked",
        }

    def IsActive(self):  # FreeCAD's name
        return Gui.Control.activeDialog() is False

    def Activated(self):  # FreeCAD's name
        from PySide import QtGui  # pylint: disable=import-outside-toplevel

        path, _ = QtGui.QFileDialog.getOpenFileName(
            Gui.getMainWindow(), "Open a room", "", "Rooms (*.step *.stp *.obj *.glb)"
        )
        if path:
            self.open(path)

    def open(self, path):
        """Opens a model in the document in front, or in a new one; errors are told."""
        from roomloom_files import Told  # pylint: disable=import-outside-toplevel

        from ..open_room import open_room  # pylint: disable=import-outside-toplevel
        from ..things import active_document  # pylint: disable=import-outside-toplevel
        from .widgets import tell_aside  # pylint: disable=import-outside-toplevel

        document = active_document()
        try:
            open_room(document, path)
        except Told as told:
            tell_aside(told)
            return
        Gui.SendMsgToActiveView("ViewFit")


def _has_plan(document):
    from ..things import plan_of  # pylint: disable=import-outside-toplevel

    return plan_of(document) is not None


def _has_result(document):
    from ..results import result_of  # pylint: disable=import-outside-toplevel

    return result_of(document) is not None


def _panel(module, name):
    def load():
        import importlib  # pylint: disable=import-outside-toplevel

        return getattr(importlib.import_module(f"{__package__}.{module}"), name)

    return load


COMMANDS = {
    "Roomloom_Open": _OpenCommand(),
    "Roomloom_Mark": _PanelCommand(
        "mark",
        "What the parts are ...",
        "Say which parts are walls, ceilings, obstacles ...",
        _panel("mark_panel", "MarkPanel"),
    ),
    "Roomloom_Gear": _PanelCommand(
        "gear",
        "Place gear ...",
        "Racks and stands that runs come from",
        _panel("place_panel", "GearPanel"),
    ),
    "Roomloom_End": _PanelCommand(
        "end", "Place ends ...", "Where runs end: click on faces", _panel("place_panel", "EndPanel")
    ),
    "Roomloom_Layout": _PanelCommand(
        "layout",
        "Loudspeaker layout ...",
        "All loudspeakers of ITU-R BS.2051 round a listener",
        _panel("layout_panel", "LayoutPanel"),
    ),
    "Roomloom_Runs": _PanelCommand(
        "runs",
        "Runs ...",
        "Which cable goes from where to where",
        _panel("runs_panel", "RunsPanel"),
    ),
    "Roomloom_Plan": _PanelCommand(
        "plan",
        "Plan settings ...",
        "What to save, margins, stock, rules by name",
        _panel("plan_panel", "PlanPanel"),
    ),
    "Roomloom_Route": _PanelCommand(
        "route",
        "Route",
        "Plan all runs and bring them into the document",
        _panel("route_panel", "RoutePanel"),
        _has_plan,
    ),
    "Roomloom_Result": _PanelCommand(
        "result",
        "Routed runs ...",
        "Lengths, findings, report and drawings",
        _panel("result_panel", "ResultPanel"),
        _has_result,
    ),
}
GROUPS = [
    ["Roomloom_Open", "Roomloom_Mark"],
    ["Roomloom_Gear", "Roomloom_End", "Roomloom_Layout"],
    ["Roomloom_Runs", "Roomloom_Plan"],
    ["Roomloom_Route", "Roomloom_Result"],
]


def register():
    """Makes all commands known to FreeCAD."""
    for name, command in COMMANDS.items():
        Gui.addCommand(name, command)
