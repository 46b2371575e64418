"""Binary glTF (GLB) without any library: parts out, the program's runs in.

Hosts bring glTF importers and exporters of their own, of many ages and some of them broken by newer
libraries; these few functions need none of them. Points go in and come out in the room frame
(metres, Z up); the file is in glTF's (metres, Y up).
Source: Khronos glTF 2.0 specification, sections 3.6 (accessors) and 4.4 (GLB container).
"""

from __future__ import annotations

import json
import struct
import sys
from array import array
from pathlib import Path
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple, Union

from .told import Told

_MAGIC, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942
_LINES, _LINE_STRIP, _TRIANGLES = 1, 3, 4
_FLOAT, _UNSIGNED = 5126, 5125
_INDEX_CODES = {5121: "B", 5123: "H", 5125: "I"}


class GlbPart(NamedTuple):
    """A part to be written.

    points     x, y, z one after the other, in the room frame; of a marker one point
    triangles  three indices a triangle; empty for a marker or a curve
    kind       "mesh", "curve" (a polyline through the points) or "marker"
    colour     linear red, green, blue, alpha, 0 to 1
    extras     texts, numbers and flags that the program may read
    """

    name: str
    points: Sequence[float]
    triangles: Sequence[int] = ()
    kind: str = "mesh"
    colour: Optional[Tuple[float, float, float, float]] = None
    extras: Optional[Dict[str, object]] = None


class GlbNode(NamedTuple):
    """A node that was read: its shape in the room frame, whatever its place in the tree.

    parent     index into the list of nodes, or -1
    points     x, y, z one after the other
    triangles  three indices a triangle
    lines      two indices a piece of line
    """

    name: str
    parent: int
    points: array
    triangles: array
    lines: array
    colour: Optional[Tuple[float, float, float, float]]
    extras: Dict[str, object]


def _little(values: array) -> bytes:
    if sys.byteorder == "big":
        values = array(values.typecode, values)
        values.byteswap()
    return values.tobytes()


class _Buffer:
    """Collects accessors and the bytes they look at."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: List[dict] = []
        self.accessors: List[dict] = []

    def add(self, values: array, accessor: dict, target: int) -> int:
        raw = _little(values)
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target}
        self.views.append(view)
        self.data += raw  # four bytes a value: always aligned
        self.accessors.append({"bufferView": len(self.views) - 1, **accessor})
        return len(self.accessors) - 1

    def points(self, points: Sequence[float]) -> int:
        swapped = array("f", points)
        heights = swapped[2::3]
        swapped[2::3] = array("f", [-y + 0.0 for y in swapped[1::3]])
        swapped[1::3] = heights
        low = [min(swapped[axis::3]) for axis in range(3)]
        high = [max(swapped[axis::3]) for axis in range(3)]
        about = {"componentType": _FLOAT, "count": len(swapped) // 3, "type": "VEC3"}
        return self.add(swapped, {**about, "min": low, "max": high}, 34962)

    def indices(self, indices: Sequence[int]) -> int:
        about = {"componentType": _UNSIGNED, "count": len(indices), "type": "SCALAR"}
        return self.add(array("I", indices), about, 34963)


def _node_of(part: GlbPart, buffer: _Buffer, document: dict, materials: Dict[tuple, int]) -> dict:
    node: dict = {"name": part.name}
    if part.extras:
        node["extras"] = part.extras
    if part.kind == "marker":
        x, y, z = (float(value) for value in part.points)
        node["translation"] = [x, z, -y + 0.0]
        return node
    primitive: dict = {"attributes": {"POSITION": buffer.points(part.points)}}
    if part.kind == "curve":
        primitive["mode"] = _LINE_STRIP
    else:
        primitive["indices"] = buffer.indices(part.triangles)
    if part.colour is not None:
        key = tuple(round(float(value), 6) for value in part.colour)
        if key not in materials:
            materials[key] = len(document["materials"])
            surface = {"baseColorFactor": list(key), "metallicFactor": 0, "roughnessFactor": 0.8}
            document["materials"].append({"pbrMetallicRoughness": surface, "doubleSided": True})
        primitive["material"] = materials[key]
    document["meshes"].append({"name": part.name, "primitives": [primitive]})
    node["mesh"] = len(document["meshes"]) - 1
    return node


def write_glb(path: Union[str, Path], parts: Sequence[GlbPart]) -> None:
    """Writes parts as a GLB; the same parts give the same bytes.

    Parts without a shape (no triangles, a curve of one point) are refused: leave them out.
    Raises Told: model.empty, model.part, folder.write.
    """
    if not parts:
        raise Told(
            "model.empty", "There is nothing to export.", "", "Show or choose the room's parts."
        )
    buffer = _Buffer()
    document: dict = {"asset": {"version": "2.0", "generator": "roomloom plug-in"}, "scene": 0}
    document.update({"scenes": [], "nodes": [], "meshes": [], "materials": []})
    materials: Dict[tuple, int] = {}
    for part in parts:
        _refuse_shapeless(part)
        document["nodes"].append(_node_of(part, buffer, document, materials))
    document["scenes"] = [{"nodes": list(range(len(document["nodes"])))}]
    document["accessors"], document["bufferViews"] = buffer.accessors, buffer.views
    if buffer.data:
        document["buffers"] = [{"byteLength": len(buffer.data)}]
    document = {key: value for key, value in document.items() if value != []}
    try:
        Path(path).write_bytes(_container(document, bytes(buffer.data)))
    except OSError as fault:
        raise Told("folder.write", f"The model cannot be written ({fault.strerror}).", str(path))


def _refuse_shapeless(part: GlbPart) -> None:
    wrong = len(part.points) % 3 != 0 or len(part.points) == 0
    wrong = wrong or (part.kind == "marker" and len(part.points) != 3)
    wrong = wrong or (part.kind == "curve" and len(part.points) < 6)
    wrong = wrong or (part.kind == "mesh" and (not part.triangles or len(part.triangles) % 3 != 0))
    if wrong:
        raise Told("model.part", "This part has no shape to export.", part.name)


def _container(document: dict, data: bytes) -> bytes:
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    body = struct.pack("<II", len(text), _JSON) + text
    if data:
        body += struct.pack("<II", len(data), _BIN) + data
    return struct.pack("<III", _MAGIC, 2, 12 + len(body)) + body


def _split(raw: bytes, path: str) -> Tuple[dict, bytes]:
    broken = Told("glb.broken", "This is no whole GLB file.", path)
    try:
        magic, version, length = struct.unpack_from("<III", raw, 0)
        if magic != _MAGIC or version != 2 or length != len(raw):
            raise broken
        size, kind = struct.unpack_from("<II", raw, 12)
        if kind != _JSON:
            raise broken
        document = json.loads(raw[20 : 20 + size])
        rest = 20 + size
        if rest + 8 > len(raw):
            return document, b""
        size, kind = struct.unpack_from("<II", raw, rest)
        if kind != _BIN or rest + 8 + size > len(raw):
            raise broken
        return document, raw[rest + 8 : rest + 8 + size]
    except (struct.error, ValueError):
        raise broken from None


def _values(document: dict, data: bytes, index: int) -> array:
    """An accessor's numbers, tightly packed: three floats an item, or indices."""
    accessor = document["accessors"][index]
    view = document["bufferViews"][accessor["bufferView"]]
    vector = accessor["type"] == "VEC3"
    code = "f" if vector and accessor["componentType"] == _FLOAT else None
    code = code or (None if vector else _INDEX_CODES.get(accessor["componentType"]))
    if code is None:
        raise ValueError("an accessor of a kind that runs do not use")
    item = struct.calcsize(code) * (3 if vector else 1)
    start = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
    stride = view.get("byteStride", item)
    count = accessor["count"]
    if count and (start < 0 or start + stride * (count - 1) + item > len(data)):
        raise ValueError("an accessor reaches past the data")
    if stride == item:
        raw = data[start : start + count * item]
    else:
        raw = b"".join(data[start + k * stride : start + k * stride + item] for k in range(count))
    values = array(code)
    values.frombytes(raw)
    if sys.byteorder == "big":
        values.byteswap()
    return values


Matrix = Tuple[Tuple[float, ...], ...]
_UNITY: Matrix = ((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 1, 0))


def _local(node: dict) -> Matrix:
    if "matrix" in node:
        m = node["matrix"]
        return tuple(tuple(m[column * 4 + row] for column in range(4)) for row in range(3))
    x, y, z, w = node.get("rotation", (0, 0, 0, 1))
    sx, sy, sz = node.get("scale", (1, 1, 1))
    tx, ty, tz = node.get("translation", (0, 0, 0))
    return (
        ((1 - 2 * (y * y + z * z)) * sx, 2 * (x * y - z * w) * sy, 2 * (x * z + y * w) * sz, tx),
        (2 * (x * y + z * w) * sx, (1 - 2 * (x * x + z * z)) * sy, 2 * (y * z - x * w) * sz, ty),
        (2 * (x * z - y * w) * sx, 2 * (y * z + x * w) * sy, (1 - 2 * (x * x + y * y)) * sz, tz),
    )


def _times(a: Matrix, b: Matrix) -> Matrix:
    def cell(row: int, column: int) -> float:
        moved = a[row][3] if column == 3 else 0.0
        return sum(a[row][k] * b[k][column] for k in range(3)) + moved

    return tuple(tuple(cell(row, column) for column in range(4)) for row in range(3))


def _placed(points: array, matrix: Matrix) -> array:
    """Points of a node in the room frame."""
    out = array("f", points)
    if matrix != _UNITY:
        xs, ys, zs = points[0::3], points[1::3], points[2::3]
        for axis, (a, b, c, d) in enumerate(matrix):
            moved = [a * x + b * y + c * z + d for x, y, z in zip(xs, ys, zs)]
            out[axis::3] = array("f", moved)
    heights = out[1::3]
    out[1::3] = array("f", [-z + 0.0 for z in out[2::3]])
    out[2::3] = heights
    return out


def _pairs(mode: int, indices: Sequence[int]) -> array:
    if mode == _LINES:
        return array("I", indices)
    pairs = array("I")
    for first, second in zip(indices, indices[1:]):
        pairs.extend((first, second))
    return pairs


def _colour(document: dict, primitive: dict) -> Optional[Tuple[float, float, float, float]]:
    if "material" not in primitive:
        return None
    surface = document["materials"][primitive["material"]].get("pbrMetallicRoughness", {})
    return tuple(float(v) for v in surface.get("baseColorFactor", (1, 1, 1, 1)))  # type: ignore


def _read_node(document: dict, data: bytes, index: int, parent: int, matrix: Matrix) -> GlbNode:
    node = document["nodes"][index]
    points, triangles, lines = array("f"), array("I"), array("I")
    colour = None
    primitives = document["meshes"][node["mesh"]]["primitives"] if "mesh" in node else []
    for primitive in primitives:
        own = _values(document, data, primitive["attributes"]["POSITION"])
        count, first = len(own) // 3, len(points) // 3
        indices = primitive.get("indices")
        order = range(count) if indices is None else _values(document, data, indices)
        if any(k >= count for k in order):
            raise ValueError("an index reaches past the points")
        shifted = array("I", [k + first for k in order])
        mode = primitive.get("mode", _TRIANGLES)
        if mode == _TRIANGLES:
            triangles.extend(shifted)
        elif mode in (_LINES, _LINE_STRIP):
            lines.extend(_pairs(mode, shifted))
        else:
            continue
        points.extend(_placed(own, matrix))
        colour = colour or _colour(document, primitive)
    if not primitives:
        points = _placed(array("f", (0, 0, 0)), matrix)
    extras = node.get("extras") if isinstance(node.get("extras"), dict) else {}
    return GlbNode(str(node.get("name", "")), parent, points, triangles, lines, colour, extras)


def read_glb(path: Union[str, Path]) -> List[GlbNode]:
    """Reads a GLB as the program writes it: every node, parents before children.

    A node without a shape has one point: its own place.
    Raises Told glb.missing, glb.broken.
    """
    try:
        raw = Path(path).read_bytes()
    except OSError as fault:
        raise Told(
            "glb.missing", f"The model cannot be read ({fault.strerror}).", str(path)
        ) from None
    place = f"{Path(path).parent.name}/{Path(path).name}"
    document, data = _split(raw, place)
    nodes: List[GlbNode] = []
    try:
        scene = document["scenes"][document.get("scene", 0)]
        waiting = [(index, -1, _UNITY) for index in reversed(scene.get("nodes", []))]
        total = len(document.get("nodes", []))
        while waiting:
            index, parent, above = waiting.pop()
            if len(nodes) >= total:
                raise ValueError("a node has two parents")
            matrix = _times(above, _local(document["nodes"][index]))
            nodes.append(_read_node(document, data, index, parent, matrix))
            here = len(nodes) - 1
            children = document["nodes"][index].get("children", [])
            waiting.extend((child, here, matrix) for child in reversed(children))
    except (KeyError, IndexError, TypeError, ValueError) as fault:
        raise Told("glb.broken", f"This GLB file is broken ({fault}).", place) from None
    return nodes
