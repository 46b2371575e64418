"""Names of parts: the host's and the exported model's, and patterns over them."""

from __future__ import annotations

from typing import Dict, Iterable, List, Mapping, Optional


def _lower(text: str) -> str:
    """A-Z and the accented capitals of Latin-1 in lower case, as the program compares names."""
    return "".join(
        chr(ord(c) + 32) if "A" <= c <= "Z" or ("\u00c0" <= c <= "\u00de" and c != "\u00d7") else c
        for c in text
    )


def matches_pattern(pattern: str, text: str) -> bool:
    """Whether a whole name matches a pattern: '*' is any characters or none, '?' is one byte.

    Case makes no difference. The same rule as the program's own (`matches_pattern` of base/glob).
    """
    p, t = _lower(pattern).encode(), _lower(text).encode()
    i = j = retry = 0
    star = -1  # the last '*' passed, and what it has swallowed up to `retry`
    while j < len(t):
        if i < len(p) and p[i] == ord("*"):
            star, retry = i, j
            i += 1
        elif i < len(p) and p[i] in (ord("?"), t[j]):
            i += 1
            j += 1
        elif star >= 0:
            i, retry = star + 1, retry + 1
            j = retry
        else:
            return False
    return all(c == ord("*") for c in p[i:])


class PartNames:
    """Gives each of a host's objects a name of its own in the exported model.

    Part names in a job are patterns and ignore case, so '*' and '?' become '_', and a name that
    another already has but for its case gets a number. The host's objects keep their names.

        names = PartNames()
        exported = names.give("Wall?")     # "Wall_"
        names.host(exported)               # "Wall?"
    """

    def __init__(self) -> None:
        self._host_of: Dict[str, str] = {}
        self._exported_of: Dict[str, str] = {}
        self._taken: Dict[str, str] = {}

    def give(self, host_name: str, wanted: Optional[str] = None) -> str:
        """The exported name of a host's object: always the same for the same `host_name`.

        `wanted` is the name to be made from, if it is not the host's key itself (a FreeCAD label).
        """
        if host_name in self._exported_of:
            return self._exported_of[host_name]
        plain = (host_name if wanted is None else wanted).replace("*", "_").replace("?", "_")
        plain = " ".join(plain.split()) or "Part"
        name, count = plain, 1
        while _lower(name) in self._taken:
            count += 1
            name = f"{plain} {count}"
        self._taken[_lower(name)] = name
        self._host_of[name] = host_name
        self._exported_of[host_name] = name
        return name

    def exported(self, host_name: str) -> Optional[str]:
        """The exported name given before, or None."""
        return self._exported_of.get(host_name)

    def host(self, exported_name: str) -> Optional[str]:
        """The host's own name of an exported part, whatever the case it is written in; or None."""
        return self._host_of.get(self._taken.get(_lower(exported_name), ""))

    def all(self) -> List[str]:
        """Every exported name, in the order given."""
        return list(self._host_of)


def unmatched_patterns(job: Mapping, part_names: Iterable[str]) -> List[Dict[str, str]]:
    """Patterns and part names of a job that no part of the model has any more.

    Returns one dict each: {"where": JSON pointer, "pattern": text, "what": a sentence}. Looked at:
    parts[].match, places "at" and "marker" of gear, ends, the listener and ends of runs, the part
    faced by the listener, and via/avoid of runs. The latter may also name tiles, voids and
    crossings, which only the program knows; so they count only when they look like a former part,
    that is when `job["parts"]` has a rule of that very text which matches nothing either.
    """
    names = list(part_names)
    missing: List[Dict[str, str]] = []

    def known(pattern: str) -> bool:
        return any(matches_pattern(pattern, name) for name in names)

    def need(pattern: object, where: str, use: str) -> None:
        if isinstance(pattern, str) and pattern and not known(pattern):
            sentence = f'{use} "{pattern}", which no part of the model is called.'
            missing.append({"where": where, "pattern": pattern, "what": sentence})

    def place(holder: object, where: str, who: str) -> None:
        if isinstance(holder, dict):
            need(holder.get("at"), f"{where}/at", f"{who} stands at")
            need(holder.get("marker"), f"{where}/marker", f"{who} stands at the marker")

    for index, rule in enumerate(job.get("parts", [])):
        need(rule.get("match"), f"/parts/{index}/match", "A rule is for")
    lost = {entry["pattern"] for entry in missing}
    for section in ("gear", "ends"):
        for index, item in enumerate(job.get(section, [])):
            place(item, f"/{section}/{index}", f'"{item.get("id", "")}"')
    layout = job.get("layout") or {}
    place(layout.get("listener"), "/layout/listener", "The listener")
    facing = layout.get("facing")
    if isinstance(facing, str) and not facing.strip()[:1].isdigit() and facing[:1] not in "+-":
        need(facing, "/layout/facing", "The listener faces")
    for index, run in enumerate(job.get("runs", [])):
        place(run.get("end"), f"/runs/{index}/end", f'The end of run "{run.get("id", "")}"')
        for key in ("via", "avoid"):
            words = run.get(key, [])
            for word in [words] if isinstance(words, str) else words:
                if word in lost:
                    need(word, f"/runs/{index}/{key}", f'Run "{run.get("id", "")}" names')
    return missing
