"""Errors in words."""

from __future__ import annotations

import re
from typing import Iterable, Mapping, Optional, Tuple


class Told(Exception):
    """Something a user can cause and mend, as the program and the plug-ins tell it.

    code    stable, such as "program.missing" or "job.cable"
    what    one plain sentence (several lines if the program found several mistakes)
    where   a file, a JSON pointer into the job, or a part's name; may be empty
    remedy  what to do about it; may be empty
    """

    def __init__(self, code: str, what: str, where: str = "", remedy: str = ""):
        self.code, self.what, self.where, self.remedy = code, what, where, remedy
        super().__init__(self.text())

    def text(self) -> str:
        """All of it for a person, on as many lines as `what` has."""
        start = f"{self.where}: {self.what}" if self.where else self.what
        return f"{start} {self.remedy}".strip()


_POINTER = re.compile(r"/(parts|gear|ends|runs|layout|model|cables|raceways|stock)(?:/(\d+))?")


def subject_of(
    told: Told, job: Optional[Mapping] = None, parts: Iterable[str] = ()
) -> Optional[Tuple[str, str]]:
    """What a host should select for an error, as (kind, name), or None.

    kind is "part" (name = a part's exported name or pattern), "gear", "end", "run" or "layout".
    The place in `where` decides first, by its pointer into `job`; then the longest of `parts` that
    the message names in quotes or at its start.
    """
    found = _POINTER.search(told.where) or _POINTER.search(told.what)
    if found and job is not None:
        section, index = found.group(1), found.group(2)
        if section == "layout":
            return ("layout", "layout")
        items = job.get(section)
        if index is not None and isinstance(items, list) and int(index) < len(items):
            item = items[int(index)]
            if section == "parts":
                return ("part", str(item.get("match", "")))
            if section in ("gear", "ends", "runs"):
                return ({"gear": "gear", "ends": "end", "runs": "run"}[section], str(item["id"]))
    text = f"{told.where} {told.what}"
    named = [name for name in parts if f'"{name}"' in text or told.where == name]
    return ("part", max(named, key=len)) if named else None


_PLACE_IN_JOB = re.compile(r"job\.json(?::\d+:\d+)? (/[\w./-]+)")
_KINDS = {"gear": "Gear", "ends": "End", "runs": "Run", "parts": "Rule for"}


def in_words(told: Told, job: Optional[Mapping] = None) -> str:
    """The whole text with places in the job's file ("job.json:3:9 /ends/0/xyz") as names."""

    def name(found: "re.Match[str]") -> str:
        pieces = found.group(1).strip("/").split("/")
        items = (job or {}).get(pieces[0])
        if pieces[0] in _KINDS and isinstance(items, list) and len(pieces) > 1:
            if pieces[1].isdigit() and int(pieces[1]) < len(items):
                item = items[int(pieces[1])]
                return f'{_KINDS[pieces[0]]} "{item.get("id", item.get("match", ""))}"'
        return {"layout": "The layout", "model": "The model"}.get(pieces[0], found.group(0))

    return _PLACE_IN_JOB.sub(name, told.text())
