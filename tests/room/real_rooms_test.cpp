#include <filesystem>

#include "exchange/read.h"
#include "exchange/read_here.h"
#include "geometry/polygon.h"
#include "rooms.h"

// Rooms that others modelled. What is asserted was measured on the models themselves.
namespace roomloom {
namespace {
using namespace testing_rooms;

#define READ_OR_SKIP(scene, name)                                                             \
  const std::filesystem::path file =                                                          \
      std::filesystem::path(ROOMLOOM_SHARED_DATA) / "rooms" / (name);                         \
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "the model " << file << " is not here"; \
  ReadOptions options;                                                                        \
  options.in_process = &read_model_here;                                                      \
  const Result<Scene> scene_read = read_model(file, options);                                 \
  ASSERT_TRUE(scene_read) << to_text(scene_read.error());                                     \
  const Scene& scene = *scene_read

double area_of_role(const Room& room, SheetRole role) {
  double sum = 0;
  for (const Sheet& sheet : room.sheets)
    if (sheet.role == role) sum += area(sheet.region);
  return sum;
}

TEST(RealRooms, TheKitchenIsFourByFourByThreeMetresAndOpenAbove) {
  READ_OR_SKIP(scene, "interior/occt_kitchen_ap214_mm.step");
  const Room room = room_from(scene);
  EXPECT_NEAR(distance(room.box.size(), {4, 4, 3}), 0, 1e-4);
  EXPECT_NEAR(area_of_role(room, SheetRole::wall), 4 * 12, 1e-3);
  EXPECT_NEAR(area_of_role(room, SheetRole::floor), 16, 1e-3);
  ASSERT_GE(room.main_air, 0);
  EXPECT_EQ(room.airs[static_cast<std::size_t>(room.main_air)].open_sides.size(), 1U);
  EXPECT_NEAR(room.airs[static_cast<std::size_t>(room.main_air)].volume_m3, 48, 1);
}

TEST(RealRooms, TheKitchenInInchesIsTheSameRoom) {
  READ_OR_SKIP(scene, "interior/occt_kitchen_ap203_inch.step");
  const Room room = room_from(scene);
  EXPECT_NEAR(distance(room.box.size(), {4, 4, 3}), 0, 1e-4);
  EXPECT_EQ(room.seams.size(), 12U);
}

TEST(RealRooms, TheHouseUnderTwoRoofsIsClosedByItsWindowsAndDoor) {
  READ_OR_SKIP(scene, "building/openhouse.glb");
  const Room room = room_from(scene);
  ASSERT_GE(room.main_air, 0);
  EXPECT_TRUE(room.airs[static_cast<std::size_t>(room.main_air)].open_sides.empty());
  // Between the inner faces: 9.28 m x 4.64 m.
  EXPECT_NEAR(area_of_role(room, SheetRole::floor), 9.28 * 4.64, 0.01);
  EXPECT_GT(area_of_role(room, SheetRole::slope), 60);  // two roof slopes at 45 degrees
}

TEST(RealRooms, TheDuplexHasTwoFlatsAndTheSeedChooses) {
  READ_OR_SKIP(scene, "building/duplex.glb");
  Job job;
  job.model.seed = Vec3{-4, -5, 1.4};
  const Room one = room_from(scene);
  const Room other = room_from(scene, job);
  ASSERT_GE(one.main_air, 0);
  ASSERT_GE(other.main_air, 0);
  const double a = one.airs[static_cast<std::size_t>(one.main_air)].volume_m3;
  const double b = other.airs[static_cast<std::size_t>(other.main_air)].volume_m3;
  EXPECT_NEAR(a, b, 0.02 * a);  // the two flats are mirror images
  EXPECT_GT(std::abs(one.box.centre().y - other.box.centre().y), 3);
}

TEST(RealRooms, AScannedLivingRoomIsReadFromItsLabels) {
  READ_OR_SKIP(scene, "scan/living_room.glb");
  const Room room = room_from(scene);
  ASSERT_EQ(room.sheets.size(), 8U);  // six walls, floor and ceiling
  EXPECT_EQ(area_of_role(room, SheetRole::open_side), 0);
  EXPECT_NEAR(area_of_role(room, SheetRole::floor), 25.7, 0.3);
  EXPECT_NEAR(room.box.size().z, 3.88, 0.02);
}

TEST(RealRooms, ARawScanGivesPlanesWithTheirResidual) {
  READ_OR_SKIP(scene, "scan/living_room.scan.obj");
  const Room room = room_from(scene);
  EXPECT_LT(room.sheets.size(), 60U);
  EXPECT_NEAR(area_of_role(room, SheetRole::floor), 25.7, 9);
  bool residual = false;
  for (const Sheet& sheet : room.sheets) residual = residual || sheet.residual_m > 0.001;
  EXPECT_TRUE(residual);
}

TEST(RealRooms, EveryModelGivesARoomOrSaysWhyNot) {
  const std::filesystem::path folder = std::filesystem::path(ROOMLOOM_SHARED_DATA) / "rooms";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << folder << " is not here";
  int count = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    if (!entry.is_regular_file() || entry.path().extension() == ".mtl") continue;
    ReadOptions options;
    options.in_process = &read_model_here;
    const Result<Scene> scene = read_model(entry.path(), options);
    if (!scene) continue;  // the reader's own tests judge that
    const Result<Room> room = understand_room(*scene, {});
    ASSERT_TRUE(room) << entry.path() << ": " << to_text(room.error());
    EXPECT_TRUE(room->main_air >= 0 || !room->warnings.empty()) << entry.path();
    EXPECT_LT(room->sheets.size(), 200U) << entry.path();
    ++count;
  }
  EXPECT_GE(count, 10);
}

}  // namespace
}  // namespace roomloom
