"""What the plan is to save, weights and margins, stock, rules by name, where results go."""

from PySide import QtCore, QtGui

from roomloom_files import EFFORTS, PREFERENCES, PRESETS

from .. import jobs, routing, things
from .view import Picker
from .widgets import (
    Panel,
    button,
    combo,
    group,
    length_box,
    line_edit,
    mm_of,
    standard_buttons,
    table,
)


def default_text(preference):
    """What the program takes when nothing is said."""
    if preference.kind == "length":
        return f"{preference.default * 1000:g} mm"
    if preference.kind == "share":
        return f"{preference.default * 100:g} %"
    if preference.kind == "flag":
        return "yes" if preference.default else "no"
    return f"{preference.default:g}" if preference.kind == "number" else str(preference.default)


class PlanPanel(Panel):
    """OK keeps all of it as one step."""

    title = "Plan settings"
    icon = "plan"

    def __init__(self, document):
        super().__init__(document)
        plan = things.plan_of(document)
        if plan is None:
            with things.Step(document, "Begin a plan"):
                plan = things.need_plan(document)
        self.plan = plan
        self.prefer = combo(PRESETS, plan.Prefer)
        self.effort = combo(EFFORTS, plan.Effort)
        self.seed_given = QtGui.QCheckBox("a point in it is given")
        self.seed_given.setChecked(plan.SeedGiven)
        self.seed = [length_box(value) for value in plan.Seed]
        self.folder = line_edit(plan.ResultFolder, str(routing.result_folder(document)))
        self.weights = self._weights()
        self.spools = QtGui.QPlainTextEdit("\n".join(plan.Spools))
        self.spools.setPlaceholderText("one a line: speaker 2x2.5; 100 m; black")
        self.rules = QtGui.QPlainTextEdit("\n".join(plan.Rules))
        self.rules.setPlaceholderText('one a line: {"match": "Duct *", "is": "obstacle"}')
        self.more = QtGui.QPlainTextEdit(plan.MoreOfJob)
        self.more.setPlaceholderText('{"cables": [ ... ], "raceways": [ ... ]}')
        self.layout.addWidget(
            group(
                "Plan",
                ("Save", self.prefer),
                ("Search", self.effort),
                ("Room", self.seed_given),
                ("X", self.seed[0]),
                ("Y", self.seed[1]),
                ("Z", self.seed[2]),
                ("", button("Click in the room", self.pick)),
                ("Results in", self.folder),
            )
        )
        self.layout.addWidget(group("Weights and margins", self.weights))
        tabs = QtGui.QTabWidget()
        for title, part in (
            ("Spools at hand", self.spools),
            ("Rules by name", self.rules),
            ("More of the job", self.more),
        ):
            tabs.addTab(part, title)
        self.layout.addWidget(tabs)
        self.layout.addWidget(self.message)
        self.picker = None

    def _weights(self):
        made = table(["What", "Said", "Usual"])
        made.setEditTriggers(QtGui.QAbstractItemView.AllEditTriggers)
        made.setRowCount(len(PREFERENCES))
        for r, preference in enumerate(PREFERENCES):
            for c, text in enumerate(
                (
                    preference.label,
                    self.plan.Weights.get(preference.key, ""),
                    default_text(preference),
                )
            ):
                item = QtGui.QTableWidgetItem(text)
                item.setToolTip(preference.tip)
                if c != 1:
                    item.setFlags(item.flags() & ~QtCore.Qt.ItemIsEditable)
                made.setItem(r, c, item)
        return made

    def getStandardButtons(self):
        return standard_buttons(QtGui.QDialogButtonBox.Ok, QtGui.QDialogButtonBox.Cancel)

    def closed(self):
        if self.picker:
            self.picker.stop()
        self.picker = None

    def pick(self):
        """The next click gives a point a little in front of a face."""
        self.closed()
        self.say("Click on a face of the room.")
        self.picker = Picker(self.picked, None, self.closed)

    def picked(self, place):
        """A point 0.3 m in front of the face lies in the room's air."""
        at = place.point + place.normal * 300 if place.normal else place.point
        for box, value in zip(self.seed, at):
            box.setProperty("rawValue", value)
        self.seed_given.setChecked(True)
        self.say("")
        self.closed()

    def said_weights(self):
        """Preference -> text, of those that are said."""
        texts = {
            preference.key: self.weights.item(r, 1).text().strip()
            for r, preference in enumerate(PREFERENCES)
        }
        return {key: text for key, text in texts.items() if text}

    def accept(self):
        """Keeps everything; what cannot be understood is told and the panel stays."""
        if self.attempt(self._keep):
            self.reject()
        return True

    def _keep(self):
        for preference in PREFERENCES:
            text = self.said_weights().get(preference.key)
            if text:
                jobs.weight_of(preference, text)
        with things.Step(self.document, "Plan settings"):
            plan = self.plan
            plan.Prefer, plan.Effort = self.prefer.currentText(), self.effort.currentText()
            plan.Weights = self.said_weights()
            plan.SeedGiven = self.seed_given.isChecked()
            plan.Seed = tuple(mm_of(box) for box in self.seed)
            plan.ResultFolder = self.folder.text().strip()
            plan.Spools = [line for line in self.spools.toPlainText().splitlines() if line.strip()]
            plan.Rules = [line for line in self.rules.toPlainText().splitlines() if line.strip()]
            plan.MoreOfJob = self.more.toPlainText().strip()
            jobs.check_plan(plan)
        return True
