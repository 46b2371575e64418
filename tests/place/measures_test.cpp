#include <gtest/gtest.h>

#include <algorithm>

#include "place/place.h"
#include "place/surfaces.h"
#include "place/tests_place.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

constexpr double kW = 4.2, kD = 5.6, kH = 2.5;

TEST(Measures, AreTakenFromTheLeftEdgeAsSeenFromInsideOnAllFourWalls) {
  const BoxRoom box = box_room(kW, kD, kH);
  const double a = 1.3, up = 0.9;
  const struct {
    const char* wall;
    Vec3 left, right;  // closed form, by hand
  } walls[] = {{"Wall front", {a, kD, up}, {kW - a, kD, up}},
               {"Wall right", {kW, kD - a, up}, {kW, a, up}},
               {"Wall back", {kW - a, 0, up}, {a, 0, up}},
               {"Wall left", {0, a, up}, {0, kD - a, up}}};
  for (const auto& wall : walls) {
    Job job;
    OnPart from_left{wall.wall, a, std::nullopt, up, 0};
    OnPart from_right{wall.wall, std::nullopt, a, up, 0.05};
    add_end(job, "left", from_left);
    add_end(job, "right", from_right);
    const Ends ends = place_ends(box.scene, box.room, job);
    EXPECT_EQ(problems_text(ends), "");
    ASSERT_EQ(ends.ends.size(), 2U);
    expect_near(ends.ends[0].place.position, wall.left);
    const Vec3 inward =
        box.room.sheets[static_cast<std::size_t>(ends.ends[1].place.home.index)].frame.n;
    expect_near(ends.ends[1].place.position, wall.right + 0.05 * inward);
    EXPECT_EQ(box.room.sheets[static_cast<std::size_t>(ends.ends[0].place.home.index)].name,
              wall.wall);
    EXPECT_EQ(ends.ends[0].place.outward, inward);
  }
}

TEST(Measures, OnFloorAndCeilingCountFromTheNearEdge) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "floor", OnPart{"Floor", 1.0, std::nullopt, 2.0, 0});
  add_end(job, "ceiling", OnPart{"Ceiling", 1.0, std::nullopt, 2.0, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  expect_near(ends.ends[0].place.position, {1.0, 2.0, 0});
  EXPECT_EQ(ends.ends[0].mount, Mount::on_floor);
  expect_near(ends.ends[1].place.position, {1.0, 2.0, kH});  // straight above
  EXPECT_EQ(ends.ends[1].mount, Mount::on_sheet);
}

TEST(Measures, OnFloorAndCeilingAreToldFromTheWallsThatTheyCountFrom) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "sub", OnPart{"Floor", std::nullopt, 0.4, 0.5, 0});
  add_end(job, "top", OnPart{"Ceiling", 1.0, std::nullopt, 2.0, 0});
  add_end(job, "wall", OnPart{"Wall left", 1.0, std::nullopt, 2.0, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_FALSE(ends.guesses.empty());
  EXPECT_EQ(ends.guesses[0].value,
            "\"sub\" 0.40 m from Wall right and 0.50 m from Wall back; "
            "\"top\" 1.00 m from Wall left and 2.00 m from Wall back");
}

// 4 m wide at the back, 1.5 m at the front: there the left edge is that of the front's part.
TEST(Measures, OnAnLShapedFloorCountFromTheEdgeAtThatDepth) {
  BoxRoom box = box_room(4, 5, 3);
  sheet_of(box, "Floor").region.outline = {{0, 0}, {4, 0}, {4, 5}, {2.5, 5}, {2.5, 2}, {0, 2}};
  // Seen from below, v toward the back.
  sheet_of(box, "Ceiling").region.outline = {{0, 3}, {2.5, 3}, {2.5, 0}, {4, 0}, {4, 5}, {0, 5}};
  for (const auto& [part, z] : {std::pair{"Floor", 0.0}, std::pair{"Ceiling", 3.0}}) {
    Job job;
    add_end(job, "back", OnPart{part, 0.5, std::nullopt, 1.0, 0});
    add_end(job, "front", OnPart{part, 0.5, std::nullopt, 4.0, 0});
    add_end(job, "beyond", OnPart{part, 0.5, std::nullopt, 5.5, 0});
    const Ends ends = place_ends(box.scene, box.room, job);
    ASSERT_EQ(ends.ends.size(), 2U) << problems_text(ends);
    expect_near(ends.ends[0].place.position, {0.5, 1.0, z});
    expect_near(ends.ends[1].place.position, {3.0, 4.0, z});
    EXPECT_NE(problems_text(ends).find("It reaches from 0.00 m to 5.00 m from its near edge."),
              std::string::npos)
        << problems_text(ends);
  }
}

// A shed's roof that falls by 20 degrees from the front to the back: a slope, not a level ceiling.
TEST(Measures, OnAShallowSlopeCountUpFromTheFloor) {
  BoxRoom box = box_room(4, 4, 2);
  const double angle = radians(20), rise = 4 * std::tan(angle);
  Sheet& roof = sheet_of(box, "Ceiling");
  roof.role = SheetRole::slope;
  const Vec3 up_it{0, std::cos(angle), std::sin(angle)}, left{-1, 0, 0};
  roof.frame = {{4, 0, 2}, left, up_it, cross(left, up_it)};
  roof.region.outline = rectangle(0, 0, 4, 4 / std::cos(angle));
  ASSERT_LT(roof.frame.n.z, 0);
  Job job;
  add_end(job, "end", OnPart{"Ceiling", 1.0, std::nullopt, 2 + rise / 4, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.ends.size(), 1U);
  expect_near(ends.ends[0].place.position, {3, 1, 2 + rise / 4});
}

// The air above a ceiling over a part of the room is the room's own: both sides are in it, as large
// as each other. So are both sides of a gallery, and the top of a low wall is broader than high.
TEST(Measures, AreTakenOnTheSideOfAPartThatPeopleMean) {
  BoxRoom box = box_room(kW, kD, kH);
  const Vec3 x{1, 0, 0}, y{0, 1, 0}, up{0, 0, 1};
  const auto add_slab = [&](const std::string& name, Role role, double low, double high) {
    add_sheet(box, name, SheetRole::floor, role, {1, 1, high}, x, y, 2, 3);
    add_sheet(box, name, SheetRole::ceiling, role, {1, 4, low}, x, -y, 2, 3);
    box.room.sheets.end()[-2].name += " floor";
    box.room.sheets.back().name += " ceiling";
    box.room.sheets.back().parts = box.room.sheets.end()[-2].parts;
  };
  add_slab("Ceiling tiles", Role::suspended_ceiling, 2.2, 2.22);
  add_slab("Cloud", Role::ceiling, 2.3, 2.32);
  add_slab("Gallery", Role::floor, 1.6, 1.7);
  add_sheet(box, "Low wall", SheetRole::floor, Role::wall, {0, 2, 0.3}, x, y, 3, 0.5);
  add_sheet(box, "Low wall", SheetRole::wall, Role::wall, {0, 2, 0}, x, up, 3, 0.3);
  box.room.sheets.end()[-2].name += " floor";
  box.room.sheets.back().name += " wall";
  const auto side_of = [&](const std::string& part, double up_m) {
    Job job;
    add_end(job, "end", OnPart{part, 1.0, std::nullopt, up_m, 0});
    const Ends ends = place_ends(box.scene, box.room, job);
    EXPECT_EQ(problems_text(ends), "");
    return ends.ends.empty()
               ? std::string()
               : box.room.sheets[static_cast<std::size_t>(ends.ends[0].place.home.index)].name;
  };
  EXPECT_EQ(side_of("Ceiling tiles", 1), "Ceiling tiles ceiling");
  EXPECT_EQ(side_of("Cloud", 1), "Cloud ceiling");
  EXPECT_EQ(side_of("Gallery", 1), "Gallery floor");
  EXPECT_EQ(side_of("Low wall", 0.2), "Low wall wall");
  EXPECT_EQ(side_of("Gallery ceiling", 1), "Gallery ceiling") << "a side by its own name";
  // No other side is in the room's air: what is a ceiling from below may be stood on.
  box.room.sheets[box.room.sheets.size() - 7].front_air = 1;
  EXPECT_EQ(side_of("Ceiling tiles", 1), "Ceiling tiles floor");
}

TEST(Measures, ThatAreMissingAreGuessedAndToldWithHowToOverrule) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "wall", OnPart{"Wall front", std::nullopt, std::nullopt, 0.4, 0});
  add_end(job, "ceiling", OnPart{"Ceiling", 1.0, std::nullopt, std::nullopt, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  expect_near(ends.ends[0].place.position, {kW / 2, kD, 0.4});
  expect_near(ends.ends[1].place.position, {1.0, kD / 2, kH});  // not at a socket's height
  ASSERT_EQ(ends.guesses.size(), 2U);
  EXPECT_EQ(ends.guesses[0].overrule, "\"from_left\": \"1.2 m\"");
  EXPECT_EQ(ends.guesses[1].what, "Distance of /ends/1 from the near edge");
  EXPECT_EQ(ends.guesses[1].overrule, "\"up\": \"1.2 m\"");
}

TEST(Measures, OnAGableCountFromTheEdgeAtThatHeight) {
  BoxRoom box = box_room(4, 5, 3);
  // A gable: upright to 1 m, then 45 degrees to the ridge at 3 m.
  sheet_of(box, "Wall back").region.outline = {{0, 0}, {4, 0}, {4, 1}, {2, 3}, {0, 1}};
  Job job;
  add_end(job, "high", OnPart{"Wall back", 0.5, std::nullopt, 2.0, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  // At 2 m the edge is 1 m in; the wall's u runs toward -x from x = 4.
  expect_near(ends.ends[0].place.position, {4 - 1.5, 0, 2.0});
}

TEST(Measures, AboveAGableAreToldHowFarItReaches) {
  BoxRoom box = box_room(4, 5, 3);
  sheet_of(box, "Wall back").region.outline = {{0, 0}, {4, 0}, {4, 1}, {2, 2.5}, {0, 1}};
  Job job;
  add_end(job, "too high", OnPart{"Wall back", 0.5, std::nullopt, 2.8, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_NE(problems_text(ends).find("It reaches from 0.00 m to 2.50 m above the floor."),
            std::string::npos)
      << problems_text(ends);
}

TEST(Measures, WithoutAHeightAreGuessedAndSaid) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "socket", OnPart{"wall LEFT", 1.0, std::nullopt, std::nullopt, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  expect_near(ends.ends[0].place.position, {0, 1.0, 0.3});
  ASSERT_EQ(ends.guesses.size(), 1U);
  EXPECT_EQ(ends.guesses[0].overrule, "\"up\": \"1.2 m\"");
}

TEST(Points, BelongToTheNearestSurface) {
  BoxRoom box = box_room(kW, kD, kH);
  add_marker(box, "Rear left", {0.04, 1.0, 1.2});
  add_marker(box, "Back box", {1.0, -0.04, 0.3});
  Job job;
  add_end(job, "near the right wall", AtPoint{{kW - 0.1, 2, 1}});
  add_end(job, "marker", AtMarker{"rear left"});
  add_end(job, "let in", AtMarker{"Back box"});
  add_end(job, "named like a part",
          OnPart{"Rear left", std::nullopt, std::nullopt, std::nullopt, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  const auto home = [&](int i) {
    return box.room
        .sheets[static_cast<std::size_t>(ends.ends[static_cast<std::size_t>(i)].place.home.index)]
        .name;
  };
  ASSERT_EQ(ends.ends.size(), 4U);
  EXPECT_EQ(home(0), "Wall right");
  expect_near(ends.ends[0].place.position, {kW - 0.1, 2, 1});
  EXPECT_EQ(home(1), "Wall left");
  expect_near(ends.ends[2].place.position, {1.0, 0, 0.3});  // brought out to the face
  expect_near(ends.ends[3].place.position, {0.04, 1.0, 1.2});
}

TEST(Points, FarFromEverySurfaceAreAProblemUnlessTheyStandOnTheFloor) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "floating", AtPoint{{2, 2, 1.2}});
  add_end(job, "stand", AtPoint{{2, 3, 1.2}}).mount = Mount::on_floor;
  add_end(job, "outside", AtPoint{{9, 9, 1}}).mount = Mount::on_floor;
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/0/xyz"));
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/2/xyz"));
  ASSERT_EQ(ends.ends.size(), 1U);
  EXPECT_EQ(ends.ends[0].mount, Mount::on_floor);
  expect_near(ends.ends[0].place.position, {2, 3, 1.2});
}

TEST(Points, OutsideTheRoomAreCalledSo) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "far", AtPoint{{kW + 12, 2, 1}});
  const std::string told = problems_text(place_ends(box.scene, box.room, job));
  EXPECT_NE(told.find("outside the room"), std::string::npos) << told;
  EXPECT_EQ(told.find("nearest"), std::string::npos) << told;
}

TEST(Points, InFurnitureLieInItsZone) {
  BoxRoom box = box_room(kW, kD, kH);
  Zone zone;
  zone.name = "in Cupboard";
  zone.frame.origin = {1, 1, 0};
  zone.size = {0.8, 0.4, 1.8};
  box.room.zones.push_back(zone);
  Job job;
  add_end(job, "inside", AtPoint{{1.4, 1.2, 0.9}}).mount = Mount::in_furniture;
  add_end(job, "found", AtPoint{{1.3, 1.2, 1.0}});
  add_end(job, "not there", AtPoint{{3, 3, 0.9}}).mount = Mount::in_furniture;
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends.size(), 2U);
  for (const End& end : ends.ends) {
    EXPECT_EQ(end.place.home, (PlaceId{PlaceKind::zone, 0}));
    EXPECT_EQ(end.mount, Mount::in_furniture);
  }
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/2/xyz"));
}

TEST(Measures, ReportUnknownPartsOpeningsAndPlacesOutside) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 1, 1, 1, 1);
  Job job;
  add_end(job, "unknown", OnPart{"Wall lfet", 1.0, std::nullopt, 1.0, 0});
  add_end(job, "in the window", OnPart{"Wall left", 1.2, std::nullopt, 1.5, 0});
  add_end(job, "beyond", OnPart{"Wall left", 6.0, std::nullopt, 1.5, 0});
  add_end(job, "no marker", AtMarker{"nothing"});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(ends.ends.empty());
  EXPECT_TRUE(reports(ends, "place.part", "/ends/0/at"));
  EXPECT_NE(problems_text(ends).find("Did you mean \"Wall left\""), std::string::npos);
  EXPECT_TRUE(reports(ends, "place.opening", "/ends/1"));
  // The window's edge is at 1.00 m; 5 cm off it, in steps of 1 cm from 1.20 m.
  EXPECT_NE(problems_text(ends).find("from_left 0.95 m"), std::string::npos) << problems_text(ends);
  EXPECT_TRUE(reports(ends, "place.outside", "/ends/2"));
  EXPECT_TRUE(reports(ends, "place.marker", "/ends/3/marker"));
}

TEST(Measures, OnAWindowSayThatTheWallIsMeant) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 1, 1, 1, 1);
  Job job;
  add_end(job, "e", OnPart{"Window 1", 0.2, std::nullopt, 1.0, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.part", "/ends/0/at"));
  EXPECT_NE(problems_text(ends).find("the role window"), std::string::npos) << problems_text(ends);
}

TEST(Measures, OfAMirroredRoomAreTheMirroredPlaces) {
  const BoxRoom box = box_room(kW, kD, kH);
  const BoxRoom other = mirrored(box);
  for (const char* wall : {"Wall front", "Wall right", "Wall back", "Wall left"}) {
    Job left, right;
    add_end(left, "e", OnPart{wall, 1.1, std::nullopt, 0.7, 0.02});
    add_end(right, "e", OnPart{wall, std::nullopt, 1.1, 0.7, 0.02});
    const Vec3 p = place_ends(box.scene, box.room, left).ends.at(0).place.position;
    const Vec3 q = place_ends(other.scene, other.room, right).ends.at(0).place.position;
    expect_near(q, {kW - p.x, p.y, p.z});
  }
}

}  // namespace
}  // namespace roomloom
