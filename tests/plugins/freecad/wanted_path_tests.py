"""A line that the user drew as a run's way, inside FreeCAD without a window."""

import json
import os
import sys

sys.path.insert(0, os.environ["ROOMLOOM_TESTS"])

# pylint: disable=wrong-import-position
import Mesh
import Part
from FreeCAD import Placement, Rotation, Vector

import roomloom_freecad as roomloom
import support
from roomloom_freecad import marks
from support import InFreeCAD

# Along the front, right, back and left walls, 0.70 m above the floor.
LOW_WAY = tuple(
    (x, y, 700) for x, y in ((2000, 4990), (3990, 4990), (3990, 10), (10, 10), (10, 1500))
)
FEW_CENTIMETRES = 50


class WantedPaths(InFreeCAD):
    def setUp(self):
        super().setUp()
        self.whole_room()

    def draw(self, shape):
        """A line that S1 is asked to follow."""
        line = self.document.addObject("Part::Feature", "Wire")
        line.Label, line.Shape = "My way", shape
        self.runs["S1"].WantedPath = line
        return line

    def draw_wire(self, *corners):
        return self.draw(Part.makePolygon([Vector(*corner) for corner in corners]))

    def way(self):
        """The corners that the job gives for S1, in metres."""
        path = self.folder / "result" / "job.json"
        job = json.loads(path.read_text(encoding="utf-8"))
        return next(item for item in job["runs"] if item["id"] == "S1")["way"]

    def told_to_stray(self):
        """How far S1 strays from its line as the result tells it, in mm."""
        runs = {run.RunId: run for run in roomloom.result_runs(self.document)}
        return float(runs["S1"].OffWantedPath)

    def farthest_of_low_way(self):
        """How far LOW_WAY gets from S1's centreline, in mm."""
        name = "Run S1 centreline"
        things = self.document.Objects
        line = next(thing for thing in things if getattr(thing, "PlanName", "") == name)
        points = Part.makePolygon([Vector(*corner) for corner in LOW_WAY]).discretize(200)
        return max(line.Shape.distToShape(Part.Vertex(point))[0] for point in points)

    def test_a_run_follows_a_wire_along_walls_at_the_height_where_it_is_drawn(self):
        self.route()
        self.assertGreater(self.farthest_of_low_way(), 500)
        line = self.draw_wire(*LOW_WAY)
        facts = support.facts_of(line)
        self.route()
        self.assertLess(self.farthest_of_low_way(), FEW_CENTIMETRES)
        self.assertLess(self.told_to_stray(), FEW_CENTIMETRES)
        self.assertEqual(support.facts_of(line), facts)

    def test_a_wire_along_walls_that_are_meshes_is_followed_too(self):
        for label in ("Wall left", "Wall right"):
            mesh = self.document.addObject("Mesh::Feature", "Mesh")
            mesh.Mesh = Mesh.Mesh(self.room[label].Shape.tessellate(1.0))
            marks.mark(mesh, "wall", build="masonry")
            self.document.removeObject(self.room[label].Name)
        self.draw_wire(*LOW_WAY)
        self.route()
        self.assertTrue((self.folder / "result" / "room.obj").is_file())
        self.assertLess(self.farthest_of_low_way(), FEW_CENTIMETRES)

    def test_a_sketch_drawn_backwards_is_followed_too(self):
        sketch = self.document.addObject("Sketcher::SketchObject", "Sketch")
        corners = [Vector(x, y, 0) for x, y, _ in reversed(LOW_WAY)]
        for start, end in zip(corners, corners[1:]):
            sketch.addGeometry(Part.LineSegment(start, end), False)
        sketch.Placement.Base = Vector(0, 0, 700)
        self.document.recompute()
        self.runs["S1"].WantedPath = sketch
        self.route()
        self.assertLess(self.farthest_of_low_way(), FEW_CENTIMETRES)
        self.assertLess(self.told_to_stray(), FEW_CENTIMETRES)

    def test_a_run_that_cannot_follow_a_wire_through_the_air_tells_how_far_it_strays(self):
        # From the middle of the wire no surface is nearer than the floor, 1.2 m below.
        self.draw_wire((2000, 4000, 1200), (2000, 1500, 1200), (500, 1500, 1200))
        self.route()
        self.assertGreater(self.told_to_stray(), 1000)

    def test_the_result_tells_no_straying_once_the_wish_is_gone(self):
        self.draw_wire(*LOW_WAY)
        self.route()
        self.runs["S1"].WantedPath = None
        self.route()
        for run in roomloom.result_runs(self.document):
            self.assertFalse(hasattr(run, "OffWantedPath"))

    def test_a_wire_reaches_the_job_in_metres_at_its_place_in_moved_and_turned_containers(self):
        line = self.draw_wire((0, 0, 0), (1000, 0, 0), (1000, 0, 500))
        line.Placement.Base = Vector(100, 0, 0)
        inner = self.document.addObject("App::Part", "Lines")
        inner.addObject(line)
        outer = self.document.addObject("App::Part", "Storey")
        outer.addObject(inner)
        inner.Placement = Placement(Vector(3990, 2000, 700), Rotation(Vector(0, 0, 1), 90))
        outer.Placement.Base = Vector(0, 500, 0)
        self.document.recompute()
        self.route()
        self.assertEqual(self.way(), [[3.99, 2.6, 0.7], [3.99, 3.6, 0.7], [3.99, 3.6, 1.2]])

    def test_the_corners_of_a_curved_wire_stay_within_two_centimetres_of_it(self):
        bow = Part.Arc(Vector(0, 500, 700), Vector(0, 1000, 1200), Vector(0, 1500, 700))
        backwards = Part.makeLine(Vector(0, 4000, 700), Vector(0, 1500, 700))
        line = self.draw(Part.Wire([bow.toShape(), backwards]))
        self.route()
        corners = self.way()
        self.assertEqual((corners[0], corners[-1]), ([0, 0.5, 0.7], [0, 4, 0.7]))
        self.assertLess(len(corners), 20)
        given = Part.makePolygon([Vector(*corner) * 1000 for corner in corners])
        away = [given.distToShape(Part.Vertex(p))[0] for p in line.Shape.discretize(200)]
        self.assertLess(max(away), 21)  # and 1 mm for the chords

    def test_a_wanted_path_that_is_no_single_line_is_told(self):
        self.runs["S1"].WantedPath = self.room["Wall left"]
        told = self.told(self.route)
        self.assertEqual((told.code, told.where), ("job.path", "Wall left"))
        pieces = ((500, 1500), (2500, 3500))
        lines = [Part.makeLine(Vector(0, a, 700), Vector(0, b, 700)) for a, b in pieces]
        self.draw(Part.makeCompound(lines))
        told = self.told(self.route)
        self.assertEqual((told.code, told.where), ("job.path", "My way"))


support.run(sys.modules[__name__])
