"""What the installed plug-ins must agree on, read from their own files without any host."""

import ast
import re
import sys
import unittest
import xml.etree.ElementTree as ElementTree

from support import REPOSITORY

from roomloom_files.program import OLDEST, TOO_NEW

PLUGINS = REPOSITORY / "plugins"
FREECAD = PLUGINS / "freecad" / "Roomloom"
BLENDER = PLUGINS / "blender" / "roomloom"


def imported(path):
    """The first word of every absolute import of a Python file."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(name.name.split(".")[0] for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            found.add(node.module.split(".")[0])
    return found


def metadata():
    """package.xml without its namespace: the text of each element by its last name."""
    root = ElementTree.parse(FREECAD / "package.xml").getroot()
    return {element.tag.split("}")[-1]: (element.text or "").strip() for element in root.iter()}


def manifest():
    """The lines `key = "text"` of Blender's manifest."""
    text = (BLENDER / "blender_manifest.toml").read_text(encoding="utf-8")
    return dict(re.findall(r'^(\w+) = "(.*)"$', text, re.MULTILINE))


def bl_info():
    tree = ast.parse((BLENDER / "__init__.py").read_text(encoding="utf-8"))
    (found,) = (
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign) and node.targets[0].id == "bl_info"
    )
    return ast.literal_eval(found)


class Imports(unittest.TestCase):
    def test_the_shared_code_needs_the_standard_library_alone(self):
        for path in sorted((PLUGINS / "common").rglob("*.py")):
            outside = imported(path) - set(sys.stdlib_module_names)
            self.assertEqual(outside, set(), path.name)

    def test_a_plug_in_needs_its_host_and_the_standard_library_alone(self):
        hosts = {
            BLENDER: {"bpy", "bpy_extras", "mathutils"},
            FREECAD: {
                *("FreeCAD", "FreeCADGui", "Part", "Mesh", "MeshPart", "PySide", "pivy"),
                *("Import", "ImportGui"),
                *("roomloom_files", "roomloom_freecad"),
            },
        }
        for folder, host in hosts.items():
            for path in sorted(folder.rglob("*.py")):
                outside = imported(path) - set(sys.stdlib_module_names) - host
                self.assertEqual(outside, set(), path.relative_to(PLUGINS))


class Metadata(unittest.TestCase):
    def test_every_file_that_tells_the_version_tells_the_projects(self):
        lists = (REPOSITORY / "CMakeLists.txt").read_text(encoding="utf-8")
        version = re.search(r"project\(roomloom VERSION ([\d.]+)", lists).group(1)
        self.assertEqual(manifest()["version"], version)
        self.assertEqual(".".join(map(str, bl_info()["version"])), version)
        self.assertEqual(metadata()["version"], version)
        numbers = tuple(map(int, version.split(".")))
        self.assertTrue(OLDEST <= numbers < TOO_NEW, "the plug-ins refuse their own program")

    def test_each_host_is_told_the_oldest_release_that_may_load_it(self):
        self.assertEqual(bl_info()["blender"], (3, 4, 0))
        self.assertEqual(manifest()["blender_version_min"], "4.2.0")
        self.assertEqual(metadata()["freecadmin"], "0.20.0")

    def test_blenders_manifest_has_what_blender_4_2_asks_for(self):
        # Blender manual, "How to Create Extensions": the required keys; that a tagline and a reason
        # of a permission have at most 64 letters and no stop at the end (these two from memory).
        told = manifest()
        for key in ("schema_version", "id", "version", "name", "tagline", "maintainer", "type"):
            self.assertTrue(told.get(key), key)
        text = (BLENDER / "blender_manifest.toml").read_text(encoding="utf-8")
        self.assertIn('license = ["SPDX:MIT"]', text)
        for key in ("tagline", "files"):
            self.assertLessEqual(len(told[key]), 64, key)
            self.assertRegex(told[key], r"\w$", key)

    def test_freecads_package_names_files_that_are_there(self):
        told = metadata()
        self.assertTrue((FREECAD / told["icon"]).is_file())
        self.assertIn(f"class {told['classname']}", (FREECAD / "InitGui.py").read_text("utf-8"))
        for script in ("Init.py", "InitGui.py"):
            self.assertTrue((FREECAD / script).is_file())


if __name__ == "__main__":
    unittest.main()
