"""Reads an OBJ file part by part. Nothing of FreeCAD is used here."""

import pathlib
from dataclasses import dataclass, field

from roomloom_files import Told


@dataclass
class ObjPart:
    """What one "o" holds; in a file without "o", one "g"."""

    name: str
    points: list = field(default_factory=list)  # (x, y, z) in the file's unit
    triangles: list = field(default_factory=list)  # three indices into points
    lines: list = field(default_factory=list)  # two indices into points
    colour: tuple = None  # red, green, blue from 0 to 1


class _Reader:
    def __init__(self, path, by_group):
        self.path, self.word = path, "g" if by_group else "o"
        self.all_points, self.colours = [], {}
        self.parts, self.own = [], {}

    def part(self):
        if not self.parts:
            self.begin(self.path.stem)
        return self.parts[-1]

    def begin(self, name):
        self.parts.append(ObjPart(name))
        self.own = {}

    def point(self, text):
        """The part's own index of a corner such as 7/2/3 or -1."""
        number = int(text.split("/")[0])
        number = number - 1 if number > 0 else len(self.all_points) + number
        if not 0 <= number < len(self.all_points):
            raise ValueError(f"there is no point {text}")
        if number not in self.own:
            self.own[number] = len(self.part().points)
            self.part().points.append(self.all_points[number])
        return self.own[number]

    def line(self, words):
        kind = words[0]
        if kind == "v":
            self.all_points.append(tuple(float(word) for word in words[1:4]))
        elif kind == self.word:
            self.begin(" ".join(words[1:]) or "Part")
        elif kind == "f":
            part = self.part()
            corners = [self.point(word) for word in words[1:]]
            part.triangles += [(corners[0], b, c) for b, c in zip(corners[1:], corners[2:])]
        elif kind == "l":
            part = self.part()
            corners = [self.point(word) for word in words[1:]]
            part.lines += list(zip(corners, corners[1:]))
        elif kind == "p":
            self.point(words[1])
        elif kind == "mtllib":
            self.colours.update(_colours(self.path.parent, " ".join(words[1:])))
        elif kind == "usemtl" and self.part().colour is None:
            self.part().colour = self.colours.get(" ".join(words[1:]))


def _colours(folder, name):
    """Material -> colour. Only a file in the model's own folder is read."""
    path = folder / pathlib.Path(name.replace("\\", "/")).name
    if not path.is_file():
        return {}
    colours, material = {}, None
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        words = line.split()
        if words[:1] == ["newmtl"]:
            material = " ".join(words[1:])
        elif words[:1] == ["Kd"] and len(words) >= 4:
            try:
                colours[material] = tuple(float(word) for word in words[1:4])
            except ValueError:
                continue
    return colours


def read(path):
    """The parts of an OBJ file that hold anything. Raises Told obj.broken, model.missing."""
    path = pathlib.Path(path)
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as fault:
        raise Told(
            "model.missing", f"The model cannot be read ({fault.strerror}).", str(path)
        ) from None
    lines = text.replace("\\\n", " ").splitlines()
    by_group = not any(line.startswith("o ") for line in lines)
    reader = _Reader(path, by_group)
    for number, line in enumerate(lines, 1):
        words = line.split("#")[0].split()
        if not words:
            continue
        try:
            reader.line(words)
        except (ValueError, IndexError) as fault:
            raise Told(
                "obj.broken", f"Line {number} of this OBJ file is broken ({fault}).", str(path)
            ) from None
    return [part for part in reader.parts if part.points]
