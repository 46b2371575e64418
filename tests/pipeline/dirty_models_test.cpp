#include <gtest/gtest.h>

#include <map>
#include <sstream>

#include "base/units.h"
#include "pipeline/planning.h"

// What the world's models are like: faces doubled, slivers, edges that three faces share, walls
// that miss each other, walls without thickness, inches. Each is planned and judged, and its
// lengths are those of the clean model.
namespace roomloom::testing {
namespace {

constexpr const char* kRoom = R"({ "name": "Box", "height": 2.6,
  "outline": { "width": 4, "depth": 5 }, "wall_thickness": 0.1 })";

std::string job_in(const std::string& unit) {
  return R"({ "model": { "file": "room.obj", "up": "z", "unit": ")" + unit + R"(" },
  "parts": [ { "match": "Wall*", "is": "wall" }, { "match": "Floor*", "is": "floor" },
             { "match": "Ceiling*", "is": "ceiling" } ],
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.5,
              "off_wall": 0.15, "ports": ["1..3"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1.1, "up": 0.4 },
            { "id": "screen", "at": "Wall left", "from_left": 3.3, "up": 1.5 } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack", "to": "screen", "cable": "cat6" } ] })";
}

/// Plans and judges; drawn metres by run.
std::map<std::string, double> lengths_of(const std::string& obj, const std::string& unit = "m") {
  const TestFolder folder;
  write_text(folder / "room.obj", obj);
  std::map<std::string, double> lengths;
  const auto planned = plan(job_in(unit), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  if (!planned) return lengths;
  WriteOptions what;
  what.drawings = what.report = false;
  const auto findings = write_plan(*planned, folder / "out", what);
  EXPECT_TRUE(findings) << to_text(findings.error());
  if (!findings) return lengths;
  for (const Finding& finding : findings->items)
    EXPECT_NE(finding.level, Level::must) << finding.text;
  for (const roomloom::Run& run : planned->ends.runs) lengths[run.id] = drawn_m(*planned, run.id);
  return lengths;
}

std::string clean_obj() {
  const TestFolder folder;
  sketch_model(kRoom, folder, ".obj");
  return read_text(folder / "room.obj");
}

void expect_near(const std::map<std::string, double>& lengths, double tolerance_m) {
  static const std::map<std::string, double> clean = lengths_of(clean_obj());
  ASSERT_EQ(clean.size(), 2U);
  ASSERT_EQ(lengths.size(), 2U);
  for (const auto& [run, length] : clean) EXPECT_NEAR(lengths.at(run), length, tolerance_m) << run;
}

/// The lines of an OBJ, each seen together with the name of the object that it belongs to.
template <typename Change>
std::string changed(const std::string& obj, Change change) {
  std::istringstream in(obj);
  std::string out, object;
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("o ", 0) == 0) object = line.substr(2);
    out += change(object, line) + "\n";
  }
  return out;
}

bool is_face(const std::string& line) { return line.rfind("f ", 0) == 0; }

std::vector<std::string> words_of(const std::string& line) {
  std::istringstream in(line);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

TEST(DirtyModels, FacesThatStandTwiceChangeNothing) {
  expect_near(lengths_of(changed(clean_obj(),
                                 [](const std::string&, const std::string& line) {
                                   return is_face(line) ? line + "\n" + line : line;
                                 })),
              0.001);
}

TEST(DirtyModels, SliversAndFacesWithoutAreaChangeNothing) {
  expect_near(lengths_of(changed(clean_obj(),
                                 [](const std::string&, const std::string& line) {
                                   if (!is_face(line)) return line;
                                   const auto words = words_of(line);
                                   return line + "\nf " + words[1] + " " + words[2] + " " +
                                          words[1];
                                 })),
              0.001);
}

TEST(DirtyModels, EdgesThatThreeFacesShareChangeNothing) {
  // One triangle more in a face of each wall, over its first two: it shares their edges. (A sheet
  // slantwise through the inside of a wall is not covered: it can take the wall's name.)
  std::string object_before;
  std::vector<std::string> first;
  const auto with_fin = [&](const std::string& object, const std::string& line) {
    if (!is_face(line) || object.rfind("Wall", 0) != 0) return line;
    const auto words = words_of(line);
    if (object != object_before) {
      object_before = object;
      first = words;
      return line;
    }
    if (first.empty()) return line;
    const std::string fin = "\nf " + first[1] + " " + first[2] + " " + words.back();
    first.clear();
    return line + fin;
  };
  expect_near(lengths_of(changed(clean_obj(), with_fin)), 0.001);
}

TEST(DirtyModels, AnObjInAnotherHandIsReadAndJudgedAlike) {
  // Tabs, plus signs, comments, lines that go on, and faces before their points.
  std::string faces, points;
  std::istringstream in(clean_obj());
  for (std::string line; std::getline(in, line);) {
    const auto words = words_of(line);
    if (words.empty()) continue;
    if (words[0] == "v")
      points += "v\t" + (words[1][0] == '-' ? words[1] : "+" + words[1]) + "  " + words[2] +
                " \\\r\n\t" + words[3] + " # a point\r\n";
    else
      faces += line + (is_face(line) ? "  # a face" : "") + "\r\n";
  }
  ASSERT_EQ(faces.find(" -"), std::string::npos) << "the faces count back from the points so far";
  expect_near(lengths_of(faces + points), 0.001);
}

TEST(DirtyModels, AModelInTheCoordinatesOfAMapHasTheSameLengths) {
  const auto moved = [](const std::string&, const std::string& line) {
    const auto words = words_of(line);
    if (words.empty() || words[0] != "v") return line;
    return "v " + format_number(std::stod(words[1]) + 450123, 6) + " " +
           format_number(std::stod(words[2]) + 5412345, 6) + " " + words[3];
  };
  expect_near(lengths_of(changed(clean_obj(), moved)), 0.001);
}

TEST(DirtyModels, AWallThatMissesTheOthersByEightMillimetresIsJoined) {
  const auto moved = [](const std::string& object, const std::string& line) {
    const auto words = words_of(line);
    if (words.empty() || words[0] != "v" || object.find("left") == std::string::npos) return line;
    return "v " + format_number(std::stod(words[1]) - 0.008, 6) + " " + words[2] + " " + words[3];
  };
  expect_near(lengths_of(changed(clean_obj(), moved)), 0.06);
}

/// Four walls, floor and ceiling as one quadrilateral each.
std::string single_faces(double unit_m, double gap_m) {
  const double w = 4 / unit_m, d = 5 / unit_m, h = 2.6 / unit_m, g = gap_m / unit_m;
  std::string obj;
  const auto face = [&](const std::string& name, const std::vector<Vec3>& corners) {
    obj += "o " + name + "\n";
    for (const Vec3& p : corners)
      obj += "v " + format_number(p.x, 9) + " " + format_number(p.y, 9) + " " +
             format_number(p.z, 9) + "\n";
    obj += "f -4 -3 -2 -1\n";
  };
  face("Floor", {{g, g, 0}, {w - g, g, 0}, {w - g, d - g, 0}, {g, d - g, 0}});
  face("Ceiling", {{g, g, h}, {w - g, g, h}, {w - g, d - g, h}, {g, d - g, h}});
  face("Wall front", {{g, d, g}, {w - g, d, g}, {w - g, d, h - g}, {g, d, h - g}});
  face("Wall back", {{g, 0, g}, {w - g, 0, g}, {w - g, 0, h - g}, {g, 0, h - g}});
  face("Wall left", {{0, g, g}, {0, d - g, g}, {0, d - g, h - g}, {0, g, h - g}});
  face("Wall right", {{w, g, g}, {w, d - g, g}, {w, d - g, h - g}, {w, g, h - g}});
  return obj;
}

TEST(DirtyModels, WallsWithoutThicknessGiveTheSameLengths) {
  expect_near(lengths_of(single_faces(1, 0)), 0.002);
}

TEST(DirtyModels, TheSameInInchesGivesTheSameLengths) {
  expect_near(lengths_of(single_faces(0.0254, 0), "in"), 0.002);
}

TEST(DirtyModels, WallsWithoutThicknessThatMissEachOtherAreJoined) {
  expect_near(lengths_of(single_faces(1, 0.004)), 0.06);
}

}  // namespace
}  // namespace roomloom::testing
