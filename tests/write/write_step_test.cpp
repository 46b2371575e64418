#include "exchange/write_step.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>

#include "write/sample.h"
#include "write/step_reading.h"

namespace roomloom {
namespace {

using step_reading::ReadPart;

std::vector<ReadPart> read_back(const std::string& name, const std::string& text) {
  const auto file = sample::fresh_folder(name) / "file.step";
  std::ofstream(file) << text;
  return step_reading::read_parts(file.string());
}

FileFrame millimetres() { return customary_frame(Source{}, ModelFormat::step); }

double true_length(const Tube& tube) {
  double sum = 0;
  for (const Piece& piece : tube.pieces) {
    if (const auto* arc = std::get_if<Arc>(&piece)) sum += arc->length_m();
    if (const auto* line = std::get_if<Line3>(&piece)) sum += distance(line->from, line->to);
  }
  return sum;
}

double area(double diameter) { return kPi / 4 * diameter * diameter; }

// Pappus' second theorem: a circle swept along a smooth curve fills area times length.
TEST(StepTubes, AreValidSolidsOfAreaTimesLength) {
  const Annotation annotation = sample::annotation();
  const auto parts =
      read_back("tubes", step_of_our_own(millimetres(), annotation, {}, "f", "t").text);
  int tubes = 0;
  for (const AnnotationItem& item : annotation.items) {
    const auto* tube = std::get_if<Tube>(&item.shape);
    if (tube == nullptr) continue;
    ++tubes;
    const ReadPart* solid = step_reading::find(parts, item.name);
    const ReadPart* line = step_reading::find(parts, item.name + " centreline");
    ASSERT_NE(solid, nullptr) << item.name;
    ASSERT_NE(line, nullptr) << item.name;
    EXPECT_TRUE(solid->valid);
    EXPECT_EQ(solid->solids, 1);
    const double expected = area(tube->diameter_m) * true_length(*tube);
    EXPECT_NEAR(solid->volume_m3, expected, 1e-6 * expected);
    EXPECT_NEAR(line->edge_length_m, true_length(*tube), 1e-6);
    EXPECT_EQ(line->edges, static_cast<int>(tube->pieces.size()));
  }
  EXPECT_EQ(tubes, 2);
}

TEST(StepParts, KeepNamesGroupsColoursAndLayers) {
  const Annotation annotation = sample::annotation();
  const auto parts =
      read_back("names", step_of_our_own(millimetres(), annotation, {}, "f", "t").text);
  EXPECT_EQ(parts.size(), annotation.items.size() + 2);  // two centrelines
  for (const AnnotationItem& item : annotation.items) {
    const ReadPart* part = step_reading::find(parts, item.name);
    ASSERT_NE(part, nullptr) << item.name;
    EXPECT_TRUE(part->valid) << item.name;
    EXPECT_EQ(part->path, std::string("Roomloom/") + to_string(item.group));
    ASSERT_EQ(part->layers.size(), 1U) << item.name;
    EXPECT_EQ(part->layers[0], item.layer);
    ASSERT_TRUE(part->colour) << item.name;
    EXPECT_NEAR(part->colour->r, item.colour.r, 2e-3);
    EXPECT_NEAR(part->colour->g, item.colour.g, 2e-3);
    EXPECT_NEAR(part->colour->b, item.colour.b, 2e-3);
  }
}

TEST(StepParts, BarsAndRingsHaveTheirVolumes) {
  const auto parts =
      read_back("bars", step_of_our_own(millimetres(), sample::annotation(), {}, "f", "t").text);
  const ReadPart* bar = step_reading::find(parts, "Raceway 1");
  const ReadPart* ring = step_reading::find(parts, "Hole H1");
  ASSERT_TRUE(bar != nullptr && ring != nullptr);
  EXPECT_NEAR(bar->volume_m3, 2.1 * 0.025 * 0.016, 1e-9);
  EXPECT_NEAR(ring->volume_m3, (area(0.042) - area(0.03)) * 0.004, 1e-10);
  EXPECT_NEAR(ring->box.high.x - ring->box.low.x, 0.042, 1e-5);
}

TEST(StepTubes, ABendTighterThanTheTubeIsDrawnInPiecesAndTold) {
  Annotation annotation;
  annotation.items.push_back({});
  annotation.items[0].name = "Run T";
  annotation.items[0].shape =
      Tube{sample::filleted({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}}, 0.004), 0.02};
  const StepFile file = step_of_our_own(millimetres(), annotation, {}, "f", "t");
  ASSERT_EQ(file.notes.size(), 1U);
  EXPECT_NE(file.notes[0].find("Run T"), std::string::npos);
  const auto parts = read_back("tight", file.text);
  int solids = 0;
  for (const ReadPart& part : parts) {
    EXPECT_TRUE(part.valid) << part.name;
    solids += part.solids;
  }
  EXPECT_EQ(solids, 3);
  const ReadPart* line = step_reading::find(parts, "Run T centreline");
  ASSERT_NE(line, nullptr);
  EXPECT_NEAR(line->edge_length_m, 2 - 0.004 * (2 - kPi / 2), 1e-6);
}

TEST(StepTubes, StayValidInEveryTurnOfSpace) {
  Annotation annotation;
  for (int i = 0; i < 12; ++i) {
    const double a = 0.37 * i;
    const Vec3 u{std::cos(a), std::sin(a), 0.3};
    const Vec3 v{-std::sin(a), 0.4, std::cos(2 * a)};
    const Vec3 w{0.2, std::cos(3 * a), std::sin(a)};
    annotation.items.push_back({});
    annotation.items.back().name = "Run " + std::to_string(i);
    annotation.items.back().shape =
        Tube{sample::filleted({{0, 0, 0}, u, u + v, u + v + w, 2 * u + v + w}, 0.02 + 0.005 * i),
             0.006 + 0.001 * i};
  }
  const auto parts =
      read_back("turns", step_of_our_own(millimetres(), annotation, {}, "f", "t").text);
  ASSERT_EQ(parts.size(), 24U);
  for (const AnnotationItem& item : annotation.items) {
    const Tube& tube = std::get<Tube>(item.shape);
    const ReadPart* part = step_reading::find(parts, item.name);
    ASSERT_NE(part, nullptr);
    EXPECT_TRUE(part->valid) << item.name;
    const double expected = area(tube.diameter_m) * true_length(tube);
    EXPECT_NEAR(part->volume_m3, expected, 1e-5 * expected) << item.name;
  }
}

TEST(StepTubes, ArcsMayFollowEachOtherAndTurnHalfRound) {
  const auto half_turn = [](const Vec3& from, const Vec3& centre, const Vec3& axis) {
    return Arc{from, 2 * centre - from, centre, axis, distance(from, centre), kPi};
  };
  // The third leaves square to the second: a corner, told as such.
  const std::vector<Piece> pieces = {half_turn({0, 0, 0}, {0.1, 0, 0}, {0, 0, 1}),
                                     half_turn({0.2, 0, 0}, {0.3, 0, 0}, {0, 0, -1}),
                                     half_turn({0.4, 0, 0}, {0.4, 0, 0.1}, {0, 1, 0})};
  Annotation annotation;
  annotation.items.push_back({});
  annotation.items[0].name = "Run A";
  annotation.items[0].shape = Tube{pieces, 0.01};
  const StepFile file = step_of_our_own(millimetres(), annotation, {}, "f", "t");
  const auto parts = read_back("arcs", file.text);
  const ReadPart* part = step_reading::find(parts, "Run A");
  ASSERT_NE(part, nullptr);
  EXPECT_TRUE(part->valid);
  const double expected = area(0.01) * 3 * kPi * 0.1;
  EXPECT_NEAR(part->volume_m3, expected, 1e-5 * expected);
  EXPECT_EQ(part->solids, 2);
  EXPECT_EQ(file.notes.size(), 1U);
}

TEST(StepTubes, ABendHardlyWiderThanTheTubeIsStillOneValidSolid) {
  Annotation annotation;
  annotation.items.push_back({});
  annotation.items[0].name = "Run A";
  annotation.items[0].shape =
      Tube{sample::filleted({{0, 0, 0}, {0.1, 0, 0}, {0.1, 0.1, 0}}, 0.0031), 0.006};
  const auto parts =
      read_back("narrow", step_of_our_own(millimetres(), annotation, {}, "f", "t").text);
  const ReadPart* part = step_reading::find(parts, "Run A");
  ASSERT_NE(part, nullptr);
  EXPECT_TRUE(part->valid);
  EXPECT_EQ(part->solids, 1);
  const double expected = area(0.006) * (0.2 - 0.0031 * (2 - kPi / 2));
  EXPECT_NEAR(part->volume_m3, expected, 1e-5 * expected);
}

TEST(StepSheets, ArePlanesWithTheirHoles) {
  const SheetPlane wall{"Wall left",
                        {{0, 0, 0}, {0, 3, 0}, {0, 3, 2.5}, {0, 0, 2.5}},
                        {{{0, 1, 0.5}, {0, 2, 0.5}, {0, 2, 2}, {0, 1, 2}}},
                        {}};
  const SheetPlane nothing{"Nothing", {{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}, {}, {}};
  const StepFile file =
      step_of_our_own(millimetres(), sample::annotation(), {wall, nothing}, "f", "t");
  const auto parts = read_back("sheets", file.text);
  const ReadPart* part = step_reading::find(parts, "Wall left");
  ASSERT_NE(part, nullptr);
  EXPECT_TRUE(part->valid);
  EXPECT_EQ(part->faces, 1);
  EXPECT_EQ(part->path, "Room");
  EXPECT_NEAR(part->edge_length_m, 11 + 5, 1e-6);
  EXPECT_EQ(step_reading::find(parts, "Nothing"), nullptr);
  ASSERT_EQ(file.notes.size(), 1U);
}

TEST(StepUnits, OursLieWhereTheRoomIsWhateverTheFileMeasuresIn) {
  for (const double unit : {1.0, 0.01, 0.001, 0.0254, 0.3048, 0.9144}) {
    Source source;
    source.unit_m = unit;
    source.to_room.m = {unit, 0, 0, 0, 0, unit, 0, 0, 0, 0, unit, 0};
    const auto frame = own_frame(source);
    ASSERT_TRUE(frame);
    const auto parts =
        read_back("unit", step_of_our_own(*frame, sample::annotation(), {}, "f", "t").text);
    const ReadPart* line = step_reading::find(parts, "Run S1 centreline");
    ASSERT_NE(line, nullptr) << unit;
    EXPECT_NEAR(line->edge_length_m, 8.672551137, 1e-6) << unit;
    EXPECT_NEAR(line->box.high.x, 3.1, 1e-4) << unit;
  }
}

TEST(StepUnits, AUnitThatTheUserOverruledLeavesOursBesideTheOriginal) {
  const SheetPlane floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  const std::string original = step_of_our_own(millimetres(), {}, {floor}, "f", "t").text;
  Source source;  // the user says that the file's 4,000 units are centimetres: a room of 40 m
  source.unit_m = 0.01;
  source.to_room.m = {0.01, 0, 0, 0, 0, 0.01, 0, 0, 0, 0, 0.01, 0};
  Annotation annotation;
  annotation.items.push_back({});
  annotation.items[0].name = "Run A";
  annotation.items[0].shape = Tube{{Line3{{0, 0, 0}, {40, 0, 0}}}, 0.01};
  const auto file = append_to_step(original, "f", *own_frame(source), annotation);
  ASSERT_TRUE(file) << file.error().what;
  const auto parts = read_back("overruled", file->text);
  const ReadPart* line = step_reading::find(parts, "Run A centreline");
  ASSERT_NE(line, nullptr);
  EXPECT_NEAR(line->edge_length_m, 4, 1e-6);  // as wide as the floor beside it
}

TEST(StepSchemas, WhatAFileDoesNotAllowIsTold) {
  const auto with_schema = [](const std::string& schema) {
    const std::string original = "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('" + schema +
                                 "'));\nENDSEC;\nDATA;\n#1=X();\nENDSEC;\nEND-ISO-10303-21;\n";
    return append_to_step(original, "f", customary_frame(Source{}, ModelFormat::step),
                          sample::annotation())
        ->notes.size();
  };
  EXPECT_EQ(with_schema("AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"), 0U);
  EXPECT_EQ(with_schema("AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 }"), 0U);
  EXPECT_EQ(with_schema("CONFIG_CONTROL_DESIGN"), 2U);
  EXPECT_EQ(with_schema("CONFIG_CONTROL_DESIGN','SHAPE_APPEARANCE_LAYER_MIM"), 1U);
  EXPECT_EQ(with_schema("IFC4"), 1U);
}

}  // namespace
}  // namespace roomloom
