"""Reading what the program wrote."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Dict, List, NamedTuple, Optional, Tuple, Union

from .told import Told

PLAN_FORMAT = "roomloom-plan"
PLAN_VERSION = 1

Point = Tuple[float, float, float]


class RunResult(NamedTuple):
    """One run of the plan; metres."""

    id: str
    start: str
    end: str
    cable: str
    service: str
    routed: bool
    provision: bool
    drawn_m: float
    cut_m: float
    addends_m: Dict[str, float]  #: each share of cut_m beside drawn_m, by name
    bends: int
    blockers: List[str]  #: what stands in the way of a run that could not be routed


class Finding(NamedTuple):
    """Something the checks found. level: "must" (a fault), "should" or "note"."""

    id: str
    level: str
    subject: str  #: a run, a hole, a part
    text: str
    remedy: str
    source: str
    where: Optional[Point]  #: in the room frame


class Result(NamedTuple):
    """A routing's result, read from its folder."""

    folder: Path  #: holds job.json, the model, and result/
    name: str
    program: str
    currency: str
    runs: List[RunResult]
    findings: List[Finding]
    ends: List[dict]  #: plan.json's: id, at, outward, home, state, how
    holes: List[dict]  #: plan.json's: name, crossing, centre, diameter_m, runs, ...
    guesses: List[dict]  #: what, value, why, overrule: what the program took for granted
    warnings: List[
        str
    ]  #: what of the job was passed over: rules that match nothing, vias not passed
    to_room: List[float]  #: 3 x 4, row by row: the model file's coordinates into the room frame
    gap: Optional[float]  #: how far the plan can be from the best, as a share
    objective: Optional[float]
    plan: dict  #: all of plan.json

    def file(self, name: str) -> Optional[Path]:
        """A file of the result by name ("runs.glb", "lengths.csv"), or None if it is not there."""
        path = self.folder / "result" / name
        return path if path.is_file() else None

    def report(self) -> Optional[Path]:
        """What a person reads first: a report page if the program wrote one, else the summary."""
        for name in ("report.html", "index.html", "report.pdf", "summary.txt"):
            if self.file(name):
                return self.file(name)
        return None

    def drawings(self) -> Optional[Path]:
        """The sheets to work from (PDF)."""
        return self.file("drawings.pdf")


def _broken(path: Path, what: str) -> Told:
    return Told(
        "result.broken",
        f"The program's output cannot be used: {what}",
        f"{path.parent.name}/{path.name}",
        "Route again; if it stays so, plug-in and program do not belong together.",
    )


def _read_plan(path: Path) -> dict:
    try:
        plan = json.loads(path.read_text(encoding="utf-8"))
    except OSError:
        raise _broken(path, "plan.json is missing.") from None
    except ValueError:
        raise _broken(path, "plan.json is no JSON.") from None
    if not isinstance(plan, dict) or plan.get("format") != PLAN_FORMAT:
        raise _broken(path, "plan.json is no plan.")
    if plan.get("version") != PLAN_VERSION:
        said = plan.get("version")
        raise _broken(path, f"plan.json is of version {said}, and {PLAN_VERSION} is needed.")
    return plan


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise TypeError("a number is missing")
    return float(value)


def _blockers(run: dict) -> List[str]:
    """One text or a list of them, as the plan has it."""
    said = run.get("blocked_by") or []
    return [said] if isinstance(said, str) else [str(item) for item in said]


def _passed_over(optimum: dict) -> List[str]:
    """What the search had to say of single runs, beside what its bound leaves out."""
    told = [str(text) for text in optimum.get("relaxations") or []]
    return [text for text in told if not text.startswith("the bound ")]


def _run(run: dict) -> RunResult:
    return RunResult(
        id=str(run["id"]),
        start=str(run.get("from", "")),
        end=str(run.get("to", "")),
        cable=str(run.get("cable", "")),
        service=str(run.get("service", "")),
        routed=bool(run.get("routed", False)),
        provision=bool(run.get("provision", False)),
        drawn_m=_number(run.get("drawn_m", 0.0)),
        cut_m=_number(run.get("cut_m", 0.0)),
        addends_m={str(k): _number(v) for k, v in (run.get("addends_m") or {}).items()},
        bends=len(run.get("bends") or []),
        blockers=_blockers(run),
    )


def _finding(item: dict) -> Finding:
    where = item.get("where")
    at = tuple(_number(v) for v in where) if isinstance(where, list) and len(where) == 3 else None
    words = [
        str(item.get(key, "")) for key in ("id", "level", "subject", "text", "remedy", "source")
    ]
    return Finding(*words, where=at)  # type: ignore[arg-type]


def read_result(folder: Union[str, Path]) -> Result:
    """Reads the result in a routing's folder (the one that holds result/).

    Raises Told result.broken: a file is missing, is no JSON, or not what it should be.
    """
    folder = Path(folder)
    path = folder / "result" / "plan.json"
    plan = _read_plan(path)
    try:
        optimum = plan.get("optimum") or {}
        return Result(
            folder=folder,
            name=str(plan.get("name", "")),
            program=str(plan.get("program", "")),
            currency=str(plan.get("currency", "")),
            runs=[_run(run) for run in plan["runs"]],
            findings=[_finding(item) for item in plan.get("findings", [])],
            ends=list(plan.get("ends", [])),
            holes=list(plan.get("holes", [])),
            guesses=[*plan.get("room_guesses", []), *plan.get("end_guesses", [])],
            warnings=[str(text) for text in plan.get("room_warnings", []) + _passed_over(optimum)],
            to_room=[_number(v) for v in plan["model"]["to_room"]],
            gap=optimum.get("gap"),
            objective=optimum.get("objective"),
            plan=plan,
        )
    except (KeyError, TypeError, AttributeError, ValueError) as fault:
        raise _broken(path, f"plan.json lacks something ({fault}).") from None


def read_lengths(path: Union[str, Path]) -> Dict[str, Dict[str, str]]:
    """lengths.csv as rows by run id, each a dict by column title, texts as written."""
    with open(path, newline="", encoding="utf-8-sig") as file:
        return {row["Run"]: row for row in csv.DictReader(file)}
