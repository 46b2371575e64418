import unittest

import support  # noqa: F401
from roomloom_files import PartNames, matches_pattern, unmatched_patterns


class Patterns(unittest.TestCase):
    def test_a_pattern_takes_any_letters_one_letter_and_ignores_case(self):
        for pattern, name, expected in [
            ("Wall *", "wall front", True),
            ("Wall *", "Wall", False),
            ("W?ll", "WALL", True),
            ("W?ll", "Wll", False),
            ("*", "", True),
            ("*front*", "Wall front 2", True),
            ("a*b*c", "aXbYcZ", False),
            ("a*b*c", "aXbYbc", True),
            ("\u00c4rmel", "\u00e4rmel", True),
            ("\u00d7", "\u00f7", False),
            ("", "", True),
            ("", "x", False),
        ]:
            with self.subTest(pattern=pattern, name=name):
                self.assertEqual(matches_pattern(pattern, name), expected)


class Names(unittest.TestCase):
    def test_a_plain_name_stays_and_leads_back(self):
        names = PartNames()
        self.assertEqual(names.give("Wall front"), "Wall front")
        self.assertEqual(names.host("wall FRONT"), "Wall front")
        self.assertEqual(names.exported("Wall front"), "Wall front")
        self.assertIsNone(names.host("Wall back"))

    def test_a_name_that_would_be_a_pattern_is_spelled_otherwise(self):
        names = PartNames()
        self.assertEqual(names.give("Wall?*"), "Wall__")
        self.assertEqual(names.host("Wall__"), "Wall?*")

    def test_names_that_differ_only_in_case_are_told_apart(self):
        names = PartNames()
        given = [names.give(name) for name in ("Wall", "WALL", "wall")]
        self.assertEqual(given, ["Wall", "WALL 2", "wall 3"])
        self.assertEqual([names.host(name) for name in given], ["Wall", "WALL", "wall"])

    def test_the_same_object_keeps_its_name(self):
        names = PartNames()
        self.assertEqual(names.give("Box001", "Wall"), names.give("Box001", "Another label"))
        self.assertEqual(names.all(), ["Wall"])


class PatternsThatMatchNothing(unittest.TestCase):
    def test_every_place_that_names_a_lost_part_is_listed(self):
        job = {
            "parts": [{"match": "Wall *"}, {"match": "Duct *"}],
            "gear": [{"id": "rack", "at": "Wall south"}],
            "ends": [{"id": "data", "at": "Wall front"}, {"id": "eye", "marker": "Eye"}],
            "layout": {"listener": {"marker": "Seat"}, "facing": "Wall north"},
            "runs": [{"id": "N1", "via": ["Duct *", "tile B2"], "end": {"at": "Shelf"}}],
        }
        found = {entry["where"] for entry in unmatched_patterns(job, ["Wall front", "Seat"])}
        self.assertEqual(
            found,
            {
                "/parts/1/match",
                "/gear/0/at",
                "/ends/1/marker",
                "/layout/facing",
                "/runs/0/end/at",
                "/runs/0/via",
            },
        )

    def test_a_job_that_fits_has_none(self):
        job = {
            "parts": [{"match": "Wall *"}],
            "layout": {"listener": {"xyz": [0, 0, 0]}, "facing": "-90 deg"},
        }
        self.assertEqual(unmatched_patterns(job, ["Wall front"]), [])


if __name__ == "__main__":
    unittest.main()
