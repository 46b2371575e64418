import json
import unittest

import support
from roomloom_files import (
    BUILDS,
    FIELDS_OF,
    MARK_FIELDS,
    MOUNTS,
    PREFERENCES,
    PRESETS,
    ROLES,
    STATES,
    SYSTEMS,
    Told,
    corners_of,
    end_at,
    end_at_label,
    gear_at,
    in_words,
    job_problems,
    layout_from,
    make_job,
    parse_devices,
    part_rule,
    read_job,
    run_between,
    spool,
    subject_of,
)

SCHEMA = json.loads(
    (support.REPOSITORY / "src" / "job" / "roomloom-job.schema.json").read_text(encoding="utf-8")
)


class Words(unittest.TestCase):
    """The job's schema is the authority on every word that the plug-ins offer."""

    def test_roles_and_builds_are_those_of_the_schema(self):
        part = SCHEMA["$defs"]["part"]["properties"]
        self.assertEqual(set(ROLES) - {"rack"}, set(part["is"]["enum"]) - {"automatic"})
        self.assertEqual(list(BUILDS), part["build"]["enum"])
        self.assertEqual(list(MARK_FIELDS["build"].choices), part["build"]["enum"])

    def test_ends_layouts_and_presets_are_those_of_the_schema(self):
        end = SCHEMA["$defs"]["end"]["properties"]
        self.assertEqual(list(MOUNTS), end["mount"]["enum"])
        self.assertEqual(list(STATES), end["state"]["enum"])
        self.assertEqual(
            list(SYSTEMS), SCHEMA["properties"]["layout"]["properties"]["system"]["enum"]
        )
        self.assertEqual(list(PRESETS), SCHEMA["$defs"]["preset"]["enum"])

    def test_preferences_are_those_of_the_schema(self):
        prefer = SCHEMA["properties"]["prefer"]["anyOf"][1]["properties"]
        keys = {preference.key for preference in PREFERENCES}
        self.assertLessEqual(keys, set(prefer))
        for preference in PREFERENCES:
            said = prefer[preference.key]
            kind = {"length": "#/$defs/length", "share": "#/$defs/share"}.get(preference.kind)
            if kind:
                self.assertEqual(said["$ref"], kind, preference.key)
            if preference.choices:
                self.assertEqual(list(preference.choices), said["enum"])

    def test_every_field_belongs_to_a_role_and_every_key_is_the_schemas(self):
        used = {key for keys in FIELDS_OF.values() for key in keys}
        self.assertEqual(used, set(MARK_FIELDS))
        for role in set(ROLES) - {"rack"}:
            mark = {"is": role, "stud_pitch": 0.4}
            for key in FIELDS_OF[role]:
                mark[key] = {"pair": [0.6, 0.6], "lengths": [1.2], "words": ["cat6"]}.get(
                    MARK_FIELDS[key].kind, 0.1
                )
            rule = part_rule("Name", mark)
            self.assertLessEqual(set(rule), set(SCHEMA["$defs"]["part"]["properties"]), role)


class Marks(unittest.TestCase):
    def test_a_stud_wall_is_spelled_as_the_job_does(self):
        mark = {
            "is": "wall",
            "build": "stud",
            "stud_pitch": 0.4,
            "blocking": (1.25,),
            "fishable": None,
        }
        self.assertEqual(
            part_rule("Wall front", mark),
            {
                "match": "Wall front",
                "is": "wall",
                "build": "stud",
                "studs": {"pitch": 0.4, "blocking": [1.25]},
            },
        )

    def test_what_means_nothing_for_the_role_is_left_out(self):
        self.assertEqual(
            part_rule("Door", {"is": "door", "tile": [0.6, 0.6], "swing": 90}),
            {"match": "Door", "is": "door", "swing": "90 deg"},
        )

    def test_a_rack_is_left_out_of_the_room(self):
        self.assertEqual(part_rule("Rack", {"is": "rack"}), {"match": "Rack", "is": "ignore"})

    def test_mistakes_are_told_with_the_part(self):
        for mark, code in [
            ({"is": "sofa"}, "mark.role"),
            ({"is": "wall", "blocking": [1]}, "mark.studs"),
        ]:
            with self.assertRaises(Told) as raised:
                part_rule("Thing", mark)
            self.assertEqual((raised.exception.code, raised.exception.where), (code, "Thing"))


class Jobs(unittest.TestCase):
    def job(self, **more):
        return make_job(
            "Studio",
            "room.glb",
            rules=[
                part_rule("Wall *", {"is": "wall"}),
                part_rule("Wall front", {"is": "wall", "build": "stud"}),
            ],
            gear=[gear_at("rack", (0.6, 0.5, 1), (1, 4.5, 0), devices="amp: S1..S2; switch")],
            ends=[end_at("left", (0, 2, 1.200000001), may_move=0.3, state="coiled")],
            runs=[
                run_between("S1", "amp.S1", "left", "speaker 2x2.5", provision=True, via=["Floor"])
            ],
            **more,
        )

    def test_exact_names_stand_before_patterns_since_the_first_match_wins(self):
        self.assertEqual([rule["match"] for rule in self.job()["parts"]], ["Wall front", "Wall *"])

    def test_only_what_is_said_is_written(self):
        job = self.job(prefer="least seen", units="metric")
        self.assertEqual(
            job["ends"],
            [
                {
                    "id": "left",
                    "xyz": [0.0, 2.0, 1.2],
                    "state": "coiled",
                    "may_move": {"radius": 0.3},
                }
            ],
        )
        self.assertEqual(
            job["gear"][0]["holds"], [{"id": "amp", "ports": ["S1..S2"]}, {"id": "switch"}]
        )
        self.assertEqual(job["runs"][0]["provision"], True)
        self.assertNotIn("layout", job)
        self.assertNotIn("stock", job)

    def test_every_key_is_one_of_the_schema(self):
        job = self.job(
            layout=layout_from("4+5+0", (2, 2, 1.2), "Wall front"),
            spools=[spool("cat6", 100.0, "blue", 2)],
            prefer={"preset": "balanced", "sag": 0.03},
            seed=(1, 1, 1),
        )
        self.assertLessEqual(set(job), set(SCHEMA["properties"]))
        for section, kind in [
            ("parts", "part"),
            ("gear", "gear"),
            ("ends", "end"),
            ("runs", "run"),
        ]:
            for item in job[section]:
                self.assertLessEqual(set(item), set(SCHEMA["$defs"][kind]["properties"]))
        self.assertEqual(
            job["stock"]["spools"],
            [{"cable": "cat6", "length": 100.0, "colour": "blue", "count": 2}],
        )

    def test_an_angle_for_facing_is_written_with_its_unit(self):
        self.assertEqual(layout_from("", (0, 0, 1), -90.0)["facing"], "-90 deg")

    def test_a_base_is_kept_behind_and_replaced_by_id(self):
        base = {
            "parts": [{"match": "Duct *", "is": "obstacle"}, {"match": "Wall *", "is": "ceiling"}],
            "runs": [{"id": "S1", "from": "x", "to": "y", "cable": "cat6"}, {"id": "S9"}],
            "cables": [{"id": "mine"}],
            "stock": {"spools": [{"cable": "cat6", "length": 5}]},
            "prefer": "least work",
        }
        job = self.job(base=base, spools=[spool("mine", 10)])
        self.assertEqual(
            [rule["match"] for rule in job["parts"]], ["Wall front", "Wall *", "Duct *"]
        )
        self.assertEqual([run["id"] for run in job["runs"]], ["S1", "S9"])
        self.assertEqual(job["runs"][0]["from"], "amp.S1")
        self.assertEqual(len(job["stock"]["spools"]), 2)
        self.assertEqual((job["cables"], job["prefer"]), ([{"id": "mine"}], "least work"))

    def test_a_sound_job_has_no_problem(self):
        self.assertEqual(job_problems(self.job()), [])

    def test_what_can_be_seen_beforehand_is_told_with_its_place(self):
        job = self.job()
        job["ends"].append(end_at_label("amp", "M+030"))
        job["runs"].append(run_between("S1", "", "left", ""))
        told = {(problem.code, problem.where) for problem in job_problems(job)}
        self.assertEqual(
            told,
            {
                ("job.id", "/ends/1"),
                ("job.id", "/runs/1"),
                ("job.reference", "/runs/1"),
                ("job.cable", "/runs/1"),
            },
        )
        self.assertEqual(job_problems({})[0].code, "job.runs")

    def test_devices_are_typed_on_one_line(self):
        self.assertEqual(
            parse_devices(" amp : S1..S9 , net ; player: out;; shelf "),
            [
                {"id": "amp", "ports": ["S1..S9", "net"]},
                {"id": "player", "ports": ["out"]},
                {"id": "shelf"},
            ],
        )

    def test_a_curve_is_reduced_to_its_corners(self):
        points = [(x / 10, 0.001 * (x % 2), 0) for x in range(20)] + [
            (2, y / 10, 0) for y in range(9)
        ]
        corners = corners_of(points)
        self.assertEqual(corners, [(0, 0, 0), (2, 0, 0), (2, 0.8, 0)])
        self.assertEqual(corners_of(points[:2]), points[:2])
        run = run_between("S1", "a", "b", "cat6", way=corners)
        self.assertEqual(run["way"][1], [2, 0, 0])


class ReadingJobs(support.InTemporaryFolder):
    def test_a_demo_job_is_read_and_a_broken_one_told(self):
        job = read_job(support.REPOSITORY / "models" / "alder-hall" / "job.json")
        self.assertEqual(job["layout"]["system"], "4+5+0")
        (self.folder / "job.json").write_text("{,}")
        for path, code in [
            (self.folder / "none.json", "job.missing"),
            (self.folder / "job.json", "job.json"),
        ]:
            with self.assertRaises(Told) as raised:
                read_job(path)
            self.assertEqual(raised.exception.code, code)


class Subjects(unittest.TestCase):
    JOB = {
        "parts": [{"match": "Wall *"}],
        "gear": [{"id": "rack"}],
        "ends": [{"id": "left"}],
        "runs": [{"id": "S1"}, {"id": "S2"}],
    }

    def test_a_pointer_names_its_item(self):
        for where, expected in [
            ("job.json:1:20 /runs/1/cable", ("run", "S2")),
            ("/ends/0/xyz", ("end", "left")),
            ("/gear/0", ("gear", "rack")),
            ("/parts/0/studs/pitch", ("part", "Wall *")),
            ("/layout/listener", ("layout", "layout")),
            ("/runs/7", None),
            ("room.glb", None),
        ]:
            with self.subTest(where=where):
                self.assertEqual(subject_of(Told("x", "Something.", where), self.JOB), expected)

    def test_else_the_longest_quoted_part_is_meant(self):
        told = Told("room.x", 'The rule meets "Wall" and "Wall front".')
        self.assertEqual(subject_of(told, self.JOB, ["Wall", "Wall front"]), ("part", "Wall front"))

    def test_places_in_the_jobs_file_become_names(self):
        told = Told(
            "job.problems", "2 problems:\n  job.json:1:2 /runs/1/cable: No.", "job.json /ends/0"
        )
        self.assertEqual(in_words(told, self.JOB), 'End "left": 2 problems:\n  Run "S2": No.')
        self.assertEqual(
            in_words(Told("x", "No.", "job.json /runs/9"), self.JOB), "job.json /runs/9: No."
        )

    def test_the_text_has_place_sentence_and_remedy(self):
        self.assertEqual(Told("c", "What.", "here", "Do.").text(), "here: What. Do.")


if __name__ == "__main__":
    unittest.main()
