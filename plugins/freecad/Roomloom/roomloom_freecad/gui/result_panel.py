"""The runs as routed, what the checks found, and the way to every file of the result."""

import FreeCADGui as Gui
from PySide import QtGui

from roomloom_files import Told

from .. import results, things
from . import view
from .widgets import Panel, button, fill, group, length_text, open_outside, row, table

_LEVEL_WORDS = {"must": "Must", "should": "Should", "note": "Note"}


class ResultPanel(Panel):
    """Click a run or a finding to see it."""

    title = "Routed runs"
    icon = "result"

    def __init__(self, document):
        super().__init__(document)
        self.head = QtGui.QLabel()
        self.head.setWordWrap(True)
        self.runs_table = table(["Run", "Cut", "Drawn", "Cable", "From", "To"])
        self.runs_table.itemSelectionChanged.connect(self._run_clicked)
        self.findings_table = table(["", "About", "Finding"])
        self.findings_table.itemSelectionChanged.connect(self._finding_clicked)
        self.remedy = QtGui.QLabel()
        self.remedy.setWordWrap(True)
        self.told = QtGui.QListWidget()
        self.told.setWordWrap(True)
        self.tabs = QtGui.QTabWidget()
        self.tabs.addTab(self.runs_table, "Runs")
        self.tabs.addTab(group("", self.findings_table, self.remedy), "Findings")
        self.tabs.addTab(self.told, "Told")
        self.layout.addWidget(self.head)
        self.layout.addWidget(self.tabs)
        self.layout.addWidget(
            row(
                button("Report", self.open_report),
                button("Drawings", self.open_drawings),
                button("Folder", self.open_folder),
            )
        )
        self.layout.addWidget(
            row(button("Route again", self.route_again), button("Take result out", self.remove))
        )
        self.layout.addWidget(self.message)
        self.fill()

    def fill(self):
        """Shows the result that the document holds."""
        top = results.result_of(self.document)
        self.runs = results.result_runs(self.document)
        self.findings = results.findings_of(self.document)
        if top is None:
            self.head.setText("Nothing has been routed yet.")
        else:
            self.head.setText(
                f"{len(self.runs)} runs, {length_text(top.TotalCut)} of cable to cut, "
                f"{top.Holes} holes, {len(self.findings)} findings"
                + (
                    f"; at most {100 * top.Gap:.1f} % above the least possible cost"
                    if top.Gap >= 0
                    else ""
                )
            )
        fill(
            self.runs_table,
            [
                (
                    run.RunId,
                    length_text(run.Cut),
                    length_text(run.Drawn),
                    run.Cable,
                    run.From,
                    run.To,
                )
                for run in self.runs
            ],
            right=(1, 2),
        )
        fill(
            self.findings_table,
            [
                (_LEVEL_WORDS.get(f["level"], f["level"]), f["subject"], f["text"])
                for f in self.findings
            ],
        )
        self.tabs.setTabText(1, f"Findings ({len(self.findings)})")
        self.told.clear()
        if top is not None:
            strayed = [
                f"{run.RunId} strays up to {length_text(run.OffWantedPath)} from its drawn line"
                for run in self.runs
                if hasattr(run, "OffWantedPath")
            ]
            for title, lines in (
                ("Wanted path", strayed),
                ("Not routed", top.NotRouted),
                ("Matches nothing", top.Unmatched),
                ("Not exported", top.LeftOut),
                ("Taken for granted", top.Guesses),
            ):
                self.told.addItems([f"{title}: {line}" for line in lines])
        self.tabs.setTabText(2, f"Told ({self.told.count()})")

    def _chosen(self, made, things_listed):
        rows = sorted({index.row() for index in made.selectedIndexes()})
        return things_listed[rows[0]] if rows and rows[0] < len(things_listed) else None

    def _run_clicked(self):
        run = self._chosen(self.runs_table, self.runs)
        if run is not None:
            view.show(run)
            self.say("; ".join(run.Findings))

    def _finding_clicked(self):
        finding = self._chosen(self.findings_table, self.findings)
        if finding is None:
            return
        self.remedy.setText(f"{finding['remedy']} [{finding['id']}]")
        about = find_subject(self.document, finding["subject"])
        if about is not None:
            view.select(about)
        if finding["where_mm"]:
            view.look_at(finding["where_mm"])
        elif about is not None:
            view.show(about)

    def _open(self, find, what):
        def run():
            result = results.folder_of(self.document)
            path = find(result) if result else None
            if path is None:
                raise Told("result.missing", f"The result has no {what}.", "", "Route again.")
            if not open_outside(path):
                raise Told(
                    "result.open",
                    "The desktop has no program for this file.",
                    str(path),
                    "Open it by hand.",
                )

        self.attempt(run)

    def open_report(self):
        self._open(lambda result: result.report(), "report")

    def open_drawings(self):
        self._open(lambda result: result.drawings(), "drawings")

    def open_folder(self):
        self._open(lambda result: result.folder / "result", "folder")

    def route_again(self):
        from .route_panel import RoutePanel  # pylint: disable=import-outside-toplevel

        Gui.Control.closeDialog()
        Gui.Control.showDialog(RoutePanel(self.document))

    def remove(self):
        with things.Step(self.document, "Take result out"):
            results.remove(self.document)
        self.fill()


def find_subject(document, subject):
    """What a finding is about: a routed run, a part of the result, an end, or a part of the room."""
    for thing in document.Objects:
        if getattr(thing, "RunId", None) == subject:
            return thing
    wanted = {subject, f"Hole {subject}"}
    for thing in document.Objects:
        if getattr(thing, "PlanName", None) in wanted:
            return thing
    return next((thing for thing in document.Objects if thing.Label == subject), None)
