"""The runs wanted, as a table, and what else is said of the selected one."""

import FreeCADGui as Gui
from PySide import QtGui

from roomloom_files import Told, read_catalogue

from .. import jobs, parts, routing, things
from . import view
from .widgets import (
    Panel,
    button,
    combo,
    fill,
    group,
    length_box,
    line_edit,
    mm_of,
    replace,
    row,
    table,
)

_TITLES = ["Run", "From", "To", "Cable"]


def _place_text(run, end):
    thing, port = getattr(run, end), getattr(run, end + "Port")
    return " ".join(word for word in (thing.Label if thing else "?", port) if word)


def places_of(document):
    """What a run may go between: gear, marked racks and ends."""
    racks = [
        part.thing for part in parts.collect(document)[0] if part.mark and part.mark["is"] == "rack"
    ]
    return things.all_of(document, "gear") + racks + things.all_of(document, "end")


def cables():
    """Catalogue id -> jacket colours; empty where the program is not found.

    Both can be typed in all the same.
    """
    try:
        found = read_catalogue(routing.program().path).cables
    except Told:
        return {}
    return {cable["id"]: list(cable.get("colours") or []) for cable in found}


def add_between_selected(document, selected, cable):
    """Runs from the first selected place to each other, with the gear's free ports in order."""
    first, others = selected[0], selected[1:]
    made = []
    with things.Step(document, "Add runs"):
        for other in others:
            free = jobs.free_ports(document, first)
            made.append(
                things.make_run(
                    document,
                    things.unused_label(document, "S"),
                    (first, free[0] if free else ""),
                    other,
                    cable,
                )
            )
    return made


class RunsPanel(Panel):
    """Every change is a step of its own, so that undo takes back one thing."""

    title = "Runs"
    icon = "runs"

    def __init__(self, document):
        super().__init__(document)
        self.table = table(_TITLES)
        self.table.itemSelectionChanged.connect(self._row_chosen)
        self.cables = cables()
        self.cable = combo(self.cables, next(iter(self.cables), ""), editable=True)
        self.layout.addWidget(
            group(
                "Runs wanted",
                self.table,
                row(QtGui.QLabel("New ones of"), self.cable),
                row(
                    button("Between selected", self.add_between, "Select gear first, then ends"),
                    button("New", self.add),
                    button("Remove", self.remove),
                ),
            )
        )
        self.details = group("Of the run chosen above", QtGui.QLabel("Choose a run."))
        self.layout.addWidget(self.details)
        self.layout.addWidget(self.message)
        self.layout.addStretch(1)
        self.runs = []
        self.fill_table()

    # --- table

    def fill_table(self, choose=None):
        """Shows all runs of the document."""
        self.runs = things.all_of(self.document, "run")
        self.table.blockSignals(True)
        fill(
            self.table,
            [
                (run.Label, _place_text(run, "From"), _place_text(run, "To"), run.Cable)
                for run in self.runs
            ],
        )
        if choose in self.runs:
            self.table.selectRow(self.runs.index(choose))
        self.table.blockSignals(False)

    def _place_box(self, run, end):
        places = places_of(self.document)
        thing = getattr(run, end)
        box = combo(["", *[place.Label for place in places]], thing.Label if thing else "")

        def chosen(index):
            self._set(run, end, places[index - 1] if index > 0 else None)
            self._row_chosen()

        box.activated.connect(chosen)
        return box

    def _choice(self, run, name, choices):
        """A list that also takes what is typed."""
        box = combo(choices, getattr(run, name), editable=True)
        box.activated.connect(lambda *_: self._set(run, name, box.currentText()))
        box.lineEdit().editingFinished.connect(
            lambda: self._set(run, name, box.currentText().strip())
        )
        return box

    def _port_box(self, run, end):
        thing = getattr(run, end)
        return self._choice(run, end + "Port", ["", *(jobs.ports_of(thing) if thing else [])])

    def _set(self, run, name, value):
        if getattr(run, name) == value:
            return
        with things.Step(self.document, f"Change {run.Label}"):
            setattr(run, name, value)
        run.purgeTouched()
        self.fill_table(self.chosen())

    def chosen(self):
        """The run whose row is chosen, or None."""
        rows = sorted({index.row() for index in self.table.selectedIndexes()})
        return self.runs[rows[0]] if rows and rows[0] < len(self.runs) else None

    # --- making and removing

    def add(self):
        """A run whose ends are still to be chosen."""
        with things.Step(self.document, "Add run"):
            run = things.make_run(
                self.document,
                things.unused_label(self.document, "S"),
                None,
                None,
                self.cable.currentText(),
            )
        self.fill_table(run)
        self._row_chosen()

    def add_between(self):
        """Runs between what is selected in the view."""
        places = places_of(self.document)
        selected = [
            thing for thing in Gui.Selection.getSelection(self.document.Name) if thing in places
        ]
        if len(selected) < 2:
            self.say("Select gear or an end first, then one or more ends.")
            return
        self.say("")
        made = add_between_selected(self.document, selected, self.cable.currentText())
        self.fill_table(made[-1])
        self._row_chosen()

    def remove(self):
        """Removes the chosen run."""
        run = self.chosen()
        if run is not None:
            with things.Step(self.document, "Remove run"):
                self.document.removeObject(run.Name)
            self.fill_table()
            self._row_chosen()

    # --- the chosen run

    def _row_chosen(self):
        old, run = self.details, self.chosen()
        if run is None:
            self.details = group("Of the run chosen above", QtGui.QLabel("Choose a run."))
        else:
            self.details = self._details_of(run)
            view.select(*[thing for thing in (run.From, run.To) if thing])
        replace(self.layout, old, self.details)

    def _text(self, run, name, hint=""):
        value = getattr(run, name)
        many = isinstance(value, list)
        line = line_edit("; ".join(value) if many else value, hint)

        def done():
            text = line.text().strip()
            self._set(
                run, name, [w.strip() for w in text.split(";") if w.strip()] if many else text
            )

        line.editingFinished.connect(done)
        return line

    def _links(self, run, name, only):
        """The linked objects as text, and buttons to take or clear them."""
        shown = QtGui.QLabel()

        def text():
            value = getattr(run, name)
            linked = value if isinstance(value, list) else [value] if value else []
            shown.setText(", ".join(thing.Label for thing in linked) or "none")

        def take():
            found = [
                thing for thing in Gui.Selection.getSelection(self.document.Name) if only(thing)
            ]
            if not found:
                self.say("Nothing that fits is selected.")
                return
            self.say("")
            value = found if isinstance(getattr(run, name), list) else found[0]
            self._set(run, name, value)
            text()

        def clear():
            self._set(run, name, [] if isinstance(getattr(run, name), list) else None)
            text()

        text()
        return row(
            shown, button("Take", take, "What is selected in the view"), button("Clear", clear)
        )

    def _details_of(self, run):
        def part(thing):
            return not parts.is_ours(thing)

        def other_run(thing):
            return things.kind_of(thing) == "run" and thing is not run

        states = combo(run.getEnumerationsOfProperty("EndState"), run.EndState)
        states.activated.connect(lambda *_: self._set(run, "EndState", states.currentText()))
        moves = length_box(float(run.MayMove))
        moves.editingFinished.connect(lambda: self._set(run, "MayMove", mm_of(moves)))
        later = QtGui.QCheckBox("for gear that comes later")
        later.setToolTip("Provision: pulled now, left coiled")
        later.setChecked(run.Provision)
        later.toggled.connect(lambda on: self._set(run, "Provision", on))
        there = QtGui.QCheckBox("lies there already and stays")
        there.setChecked(run.Installed)
        there.toggled.connect(lambda on: self._set(run, "Installed", on))
        measured = length_box(float(run.Measured))
        measured.setToolTip("Its measured length, if it lies there already; 0: not measured")
        measured.editingFinished.connect(lambda: self._set(run, "Measured", mm_of(measured)))
        return group(
            f"Of {run.Label}",
            ("Name", self._text(run, "Label")),
            ("From", row(self._place_box(run, "From"), self._port_box(run, "From"))),
            ("To", row(self._place_box(run, "To"), self._port_box(run, "To"))),
            ("Cable", self._choice(run, "Cable", self.cables)),
            ("", later),
            ("End is left", states),
            ("End may move by", moves),
            ("Slack", self._text(run, "Slack", "as preferred; or 300 mm")),
            ("Impedance", self._text(run, "Impedance", "8 ohm")),
            (
                "Jacket colour",
                self._choice(run, "Colour", ["", *self.cables.get(run.Cable, [])]),
            ),
            ("Wanted path", self._links(run, "WantedPath", part)),
            ("Pass parts", self._links(run, "Via", part)),
            ("Pass by name", self._text(run, "ViaNames", "tile B4; Wall *")),
            ("Keep out of", self._links(run, "Avoid", part)),
            ("Same way as", self._links(run, "SameWayAs", other_run)),
            ("Apart from", self._links(run, "NotWith", other_run)),
            ("", there),
            ("Measured", measured),
        )
