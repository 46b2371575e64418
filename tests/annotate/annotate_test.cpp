#include "annotate/annotate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "annotate/tags.h"
#include "shape/hand_room.h"
#include "shape/shape.h"
#include "takeoff/takeoff.h"
#include "types/palette.h"

namespace roomloom {
namespace {

struct Drawn {
  CableShapes shapes;
  Takeoff takeoff;
  Annotation annotation;
};

Drawn drawn(const testing::HandRoom& hand) {
  Drawn d;
  d.shapes = shape_cables(hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  d.takeoff = take_off(d.shapes, hand.plan, hand.tracks, hand.ends, hand.room, hand.job);
  d.annotation = annotate(d.shapes, d.takeoff, hand.ends, hand.room, hand.job);
  return d;
}

testing::HandRoom room_with_everything() {
  testing::HandRoom hand;
  const PlaceId wall = hand.sheet("Wall left", {0, 0, 0}, {0, 1, 0}, {0, 0, 1}, 5, 3);
  const PlaceId plenum = hand.plenum(4, 5, 2.515, 0.4);
  hand.room.box.add(Vec3{0, 0, 0});
  hand.room.box.add(Vec3{4, 5, 2.5});
  hand.tile_hole({0.008, 1, 2.5}, 0.015, {0, 1});
  hand.edge({0.008, 1, 0.4}, {0.008, 1, 2.5}, Medium::raceway, wall);
  for (int i = 0; i < 4; ++i)
    hand.run(
        "S" + std::to_string(i + 1),
        {{0.008, 1, 0.4}, {0.008, 1, 2.5}, {0.008, 1, 2.515}, {0.008, 1, 2.7}, {3, 1.5 + i, 2.7}},
        i == 3 ? 1 : 0, Medium::support, plenum);
  for (End& end : hand.ends.ends) end.place.outward = {1, 0, 0};
  hand.buy_raceway(1);
  return hand;
}

const AnnotationItem* find(const Annotation& annotation, const std::string& name) {
  for (const AnnotationItem& item : annotation.items)
    if (item.name == name) return &item;
  return nullptr;
}

double luminance(const Colour& c) {
  return 0.2126 * static_cast<double>(c.r) + 0.7152 * static_cast<double>(c.g) +
         0.0722 * static_cast<double>(c.b);
}

}  // namespace

TEST(Annotate, NamesAreUniqueWithinTheirGroup) {
  const Drawn d = drawn(room_with_everything());
  std::set<std::pair<int, std::string>> names;
  for (const AnnotationItem& item : d.annotation.items)
    EXPECT_TRUE(names.insert({static_cast<int>(item.group), item.name}).second) << item.name;
}

TEST(Annotate, EveryRunIsATubeOfItsTrueThicknessWithItsTakeoff) {
  const testing::HandRoom hand = room_with_everything();
  const Drawn d = drawn(hand);
  const AnnotationItem* item = find(d.annotation, "Run S4");
  ASSERT_NE(item, nullptr);
  const Tube& tube = std::get<Tube>(item->shape);
  EXPECT_DOUBLE_EQ(tube.diameter_m, 0.00635);
  double length = 0;
  for (const Piece& piece : tube.pieces) length += length_m(piece);
  EXPECT_NEAR(length, item->numbers.at("drawn_m"), 1e-12);
  double sum = item->numbers.at("drawn_m");
  for (const char* key :
       {"lane_m", "sag_m", "drop_m", "loop_at_from_m", "loop_at_to_m", "termination_m",
        "pull_out_m", "movable_end_m", "contingency_m", "rounding_m", "measured_m"})
    sum += item->numbers.at(key);
  EXPECT_NEAR(sum, item->numbers.at("cut_m"), 1e-12);
  EXPECT_EQ(item->texts.at("from"), "S4.from");
  EXPECT_EQ(item->texts.at("cable"), "network");
  EXPECT_EQ(item->layer, "Runs network");
}

TEST(Annotate, RingsAndBarsHaveTheSizesOfTheTakeoff) {
  const Drawn d = drawn(room_with_everything());
  const AnnotationItem* hole = find(d.annotation, "Hole H1");
  ASSERT_NE(hole, nullptr);
  EXPECT_DOUBLE_EQ(std::get<RingShape>(hole->shape).inner_m, d.shapes.holes[0].diameter_m);
  const AnnotationItem* raceway = find(d.annotation, "Raceway 1");
  ASSERT_NE(raceway, nullptr);
  const Bar& bar = std::get<Bar>(raceway->shape);
  EXPECT_NEAR(dot(bar.width_axis, bar.to - bar.from), 0, 1e-12);
  EXPECT_NEAR(norm(bar.width_axis), 1, 1e-12);
  EXPECT_NEAR(dot(bar.width_axis, Vec3{1, 0, 0}), 0, 1e-12);  // along the wall
  EXPECT_DOUBLE_EQ(bar.width_m, 0.040);
  EXPECT_NE(find(d.annotation, "Support 1"), nullptr);
}

TEST(Annotate, NoTagLiesOnAnotherEvenWhereAllRunsStart) {
  testing::HandRoom hand = room_with_everything();
  const Drawn d = drawn(hand);
  std::vector<Box3> boxes;
  int tags = 0;
  for (const AnnotationItem& item : d.annotation.items) {
    const Tag* tag = std::get_if<Tag>(&item.shape);
    if (tag == nullptr) continue;
    ++tags;
    EXPECT_NEAR(dot(tag->right, tag->up), 0, 1e-12);
    Box3 box;  // 0.7 of the height is what a capital takes at least
    box.add(tag->origin);
    box.add(tag->origin + tag->height_m * tag->up +
            (0.7 * tag->height_m * static_cast<double>(tag->text.size())) * tag->right);
    for (const Box3& other : boxes) EXPECT_FALSE(other.overlaps(box)) << item.name;
    boxes.push_back(box);
  }
  EXPECT_EQ(tags, 4 * 2 + 1);
}

TEST(Annotate, TagsAreReadFromWhereTheEndLooks) {
  TagBoard board({});
  for (const Vec3& outward : {Vec3{1, 0, 0}, Vec3{0, -1, 0}, Vec3{0, 0, -1}, Vec3{0, 0, 1}}) {
    const Tag tag = board.place("S1", {0, 0, 1}, outward, 0.03).tag;
    // Right-handed: seen from outside, `up` lies counter-clockwise of `right`.
    EXPECT_NEAR(dot(cross(tag.right, tag.up), outward), 1, 1e-12);
  }
}

TEST(Annotate, LeavesOutWhatHasNoWay) {
  testing::HandRoom hand = room_with_everything();
  hand.plan.runs[2].routed = false;
  hand.plan.runs[2].steps.clear();
  const Drawn d = drawn(hand);
  EXPECT_EQ(find(d.annotation, "Run S3"), nullptr);
  EXPECT_EQ(find(d.annotation, "Tag S3 to"), nullptr);
}

TEST(Palette, TellsServicesApartByColourAndNoTwoAreTheSame) {
  for (int a = 0; a < kServiceCount; ++a)
    for (int b = a + 1; b < kServiceCount; ++b)
      EXPECT_FALSE(service_colour(static_cast<Service>(a)) ==
                   service_colour(static_cast<Service>(b)));
  // Linear, not sRGB: black is 0 and the yellow of the palette is the brightest.
  EXPECT_EQ(luminance(service_colour(Service::control)), 0);
  for (int a = 0; a < kServiceCount; ++a)
    EXPECT_LE(luminance(service_colour(static_cast<Service>(a))),
              luminance(service_colour(Service::television)));
}

}  // namespace roomloom
