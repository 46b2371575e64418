import json
import struct
import unittest
from array import array

import support
from roomloom_files import GlbPart, Told, read_glb, write_glb
from roomloom_files.program import ask_program


class WritingAndReading(support.InTemporaryFolder):
    def parts(self):
        return [
            GlbPart(
                "Wall",
                [0, 0, 0, 2, 0, 0, 2, 0, 3],
                [0, 1, 2],
                colour=(0.2, 0.4, 0.6, 1),
                extras={"build": "stud"},
            ),
            GlbPart("Way", [0, 1, 2, 3, 4, 5], kind="curve"),
            GlbPart("Eye", [1, 2, 1.25], kind="marker"),
        ]

    def test_what_is_written_comes_back(self):
        write_glb(self.folder / "a.glb", self.parts())
        wall, way, eye = read_glb(self.folder / "a.glb")
        self.assertEqual((wall.name, list(wall.points)), ("Wall", [0, 0, 0, 2, 0, 0, 2, 0, 3]))
        self.assertEqual((list(wall.triangles), wall.extras), ([0, 1, 2], {"build": "stud"}))
        self.assertEqual(wall.colour, (0.2, 0.4, 0.6, 1))
        self.assertEqual((list(way.points), list(way.lines)), ([0, 1, 2, 3, 4, 5], [0, 1]))
        self.assertEqual((list(eye.points), eye.parent), ([1, 2, 1.25], -1))

    def test_the_file_is_y_up_and_padded_as_the_format_asks(self):
        write_glb(self.folder / "a.glb", self.parts())
        raw = (self.folder / "a.glb").read_bytes()
        magic, version, length = struct.unpack_from("<4sII", raw)
        self.assertEqual((magic, version, length), (b"glTF", 2, len(raw)))
        size = struct.unpack_from("<I", raw, 12)[0]
        self.assertEqual(size % 4, 0)
        document = json.loads(raw[20 : 20 + size])
        accessor = document["accessors"][0]
        self.assertEqual((accessor["min"], accessor["max"]), ([0, 0, 0], [2, 3, 0]))
        self.assertEqual(document["nodes"][2]["translation"], [1, 1.25, -2])

    def test_the_same_parts_give_the_same_bytes(self):
        for name in ("a.glb", "b.glb"):
            write_glb(self.folder / name, self.parts())
        self.assertEqual((self.folder / "a.glb").read_bytes(), (self.folder / "b.glb").read_bytes())

    def test_transforms_of_parents_are_taken_along(self):
        document = {
            "asset": {"version": "2.0"},
            "scenes": [{"nodes": [0]}],
            "nodes": [
                {
                    "name": "Up",
                    "translation": [0, 10, 0],
                    "rotation": [0, 0.7071067811865476, 0, 0.7071067811865476],
                    "children": [1],
                },
                {"name": "Leaf", "mesh": 0, "scale": [2, 2, 2]},
            ],
            "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "mode": 1}]}],
            "accessors": [{"bufferView": 0, "componentType": 5126, "count": 2, "type": "VEC3"}],
            "bufferViews": [{"buffer": 0, "byteLength": 24}],
        }
        from roomloom_files.glb import _container

        data = array("f", [1, 0, 0, 0, 0, 1]).tobytes()
        (self.folder / "t.glb").write_bytes(_container(document, data))
        up, leaf = read_glb(self.folder / "t.glb")
        # A quarter turn about glTF's y takes x to -z and z to x; Z up: (x, -z, y).
        for got, want in zip(leaf.points, [0, 2, 10, 2, 0, 10]):
            self.assertAlmostEqual(got, want, 5)
        self.assertEqual((list(up.points), leaf.parent), ([0, 0, 10], 0))

    def test_a_shapeless_part_is_told_by_name(self):
        for part in [
            GlbPart("Bare", [0, 0, 0]),
            GlbPart("Dot", [0, 0, 0], kind="curve"),
            GlbPart("No", []),
        ]:
            with self.assertRaises(Told) as raised:
                write_glb(self.folder / "a.glb", [part])
            self.assertEqual(raised.exception.where, part.name)

    def test_damaged_files_are_told_never_read_in_part(self):
        write_glb(self.folder / "a.glb", self.parts())
        raw = (self.folder / "a.glb").read_bytes()
        document = raw.replace(b'"count":3', b'"count":9')
        loop = raw.replace(b'"nodes":[0,1,2]', b'"nodes":[0,1,0]')
        for index, bad in enumerate(
            [
                b"",
                raw[:11],
                raw[:40],
                raw[:-4],
                b"x" * 64,
                document,
                loop.replace(b"[0,1,0]", b"[0,1,9]"),
            ]
        ):
            with self.subTest(index=index):
                (self.folder / "bad.glb").write_bytes(bad)
                with self.assertRaises(Told) as raised:
                    read_glb(self.folder / "bad.glb")
                self.assertEqual(raised.exception.code, "glb.broken")
        with self.assertRaises(Told):
            read_glb(self.folder / "none.glb")

    @support.needs_program
    def test_the_program_reads_names_extras_places_and_markers(self):
        parts = [
            GlbPart(name, [c for corner in corners for c in corner], [0, 1, 2, 0, 2, 3])
            for name, corners in support.box_room()
        ]
        parts.append(GlbPart("Eye", [1, 2, 1.25], kind="marker"))
        parts[2] = parts[2]._replace(extras={"build": "masonry", "is": "wall"})
        write_glb(self.folder / "room.glb", parts)
        status, out, _ = ask_program(
            support.PROGRAM, ["survey", str(self.folder / "room.glb"), "--json"]
        )
        self.assertEqual(status, 0, out)
        survey = json.loads(out)
        said = {part["name"]: part for part in survey["parts"]}
        self.assertEqual(list(said), [part.name for part in parts])
        self.assertEqual(
            (said["Wall front"]["is"], said["Wall front"]["build"]), ("wall", "masonry")
        )
        self.assertEqual(said["Eye"]["at"], [1, 2, 1.25])
        self.assertEqual(survey["floor_z_m"], 0)


if __name__ == "__main__":
    unittest.main()
