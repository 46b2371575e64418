"""The reader of names in written STEP files; needs no FreeCAD."""

import importlib.util
import pathlib
import unittest

_PATH = (
    pathlib.Path(__file__).resolve().parents[3]
    / "plugins"
    / "freecad"
    / "Roomloom"
    / "roomloom_freecad"
    / "step_structure.py"
)
_SPEC = importlib.util.spec_from_file_location("step_structure", _PATH)
step_structure = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(step_structure)

HEAD = "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n"
TAIL = "ENDSEC;\nEND-ISO-10303-21;\n"


def product(number, name):
    """PRODUCT, formation, definition, as three entities from `number` on; the definition is last."""
    return (
        f"#{number}=PRODUCT('{name}','{name}','',(#1));\n"
        f"#{number + 1}=PRODUCT_DEFINITION_FORMATION('','',#{number});\n"
        f"#{number + 2}=PRODUCT_DEFINITION('design','',#{number + 1},#2);\n"
    )


def member(number, parent, child):
    return f"#{number}=NEXT_ASSEMBLY_USAGE_OCCURRENCE('{number}','','',#{parent},#{child},$);\n"


class StructureOfStep(unittest.TestCase):
    def test_members_come_in_the_files_own_order(self):
        text = (
            HEAD
            + product(10, "Top")
            + product(20, "B")
            + product(30, "A")
            + member(41, 12, 22)
            + member(42, 12, 32)
            + TAIL
        )
        roots = step_structure.read_structure(text)
        self.assertEqual([root.name for root in roots], ["Top"])
        self.assertEqual([item.name for item in roots[0].members], ["B", "A"])

    def test_names_may_hold_quotes_semicolons_number_signs_and_any_letter(self):
        text = HEAD + product(10, "It''s; #5 \\X2\\00FC\\X0\\") + TAIL
        self.assertEqual(step_structure.read_structure(text)[0].name, "It's; #5 \u00fc")

    def test_a_colour_is_found_through_styles_and_representations(self):
        text = (
            HEAD
            + product(10, "Run")
            + (
                "#20=MANIFOLD_SOLID_BREP('',#99);\n"
                "#21=COLOUR_RGB('',0.25,0.5,1.);\n"
                "#22=FILL_AREA_STYLE_COLOUR('',#21);\n"
                "#23=PRESENTATION_STYLE_ASSIGNMENT((#22));\n"
                "#24=STYLED_ITEM('color',(#23),#20);\n"
                "#25=PRODUCT_DEFINITION_SHAPE('','',#12);\n"
                "#26=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#20),#9);\n"
                "#27=SHAPE_DEFINITION_REPRESENTATION(#25,#26);\n"
            )
            + TAIL
        )
        self.assertEqual(step_structure.read_structure(text)[0].colour, (0.25, 0.5, 1.0))

    def test_a_file_that_ends_too_early_is_refused(self):
        text = HEAD + product(10, "Top")
        with self.assertRaises(step_structure.StructureError):
            step_structure.read_structure(text)

    def test_what_is_no_step_file_is_refused(self):
        with self.assertRaises(step_structure.StructureError):
            step_structure.read_structure("<html>")

    def test_a_product_without_its_parts_is_refused(self):
        text = HEAD + "#12=PRODUCT_DEFINITION('design','',#11,#2);\n" + TAIL
        with self.assertRaises(step_structure.StructureError):
            step_structure.read_structure(text)

    def test_groups_in_a_circle_are_refused(self):
        text = (
            HEAD
            + product(10, "Top")
            + product(20, "A")
            + product(30, "B")
            + member(41, 12, 22)
            + member(42, 22, 32)
            + member(43, 32, 22)
            + TAIL
        )
        with self.assertRaises(step_structure.StructureError):
            step_structure.read_structure(text)


if __name__ == "__main__":
    unittest.main()
