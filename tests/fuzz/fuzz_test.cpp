#include <gtest/gtest.h>

#include <optional>

#include "fuzz/damage.h"
#include "fuzz/seeds.h"
#include "fuzz/small_room.h"
#include "fuzz/targets.h"

// What the fuzz targets found stays found: each kept input is read by its target in every build.
namespace roomloom::fuzz {
namespace {

/// Planned once, before the first test.
class Seeds : public testing::Environment {
 public:
  void SetUp() override { room_.emplace(); }
  void TearDown() override { room_.reset(); }

 private:
  std::optional<SmallRoom> room_;
};
[[maybe_unused]] const testing::Environment* const kSeeds =
    testing::AddGlobalTestEnvironment(new Seeds);

class EveryReader : public testing::TestWithParam<Target> {};

TEST_P(EveryReader, CopesWithAllThatOnceMadeItFail) {
  const auto kept =
      files_in(std::string(ROOMLOOM_SOURCE_DIR "/tests/fuzz/kept/") + GetParam().name);
  for (const auto& [name, bytes] : kept) {
    SCOPED_TRACE(name);
    GetParam().read(bytes);
  }
}

TEST_P(EveryReader, CopesWithItsSeedsCutShortAnywhere) {
  constexpr std::size_t kCuts = 40;
  for (const std::string& seed : GetParam().seeds())
    for (std::size_t cut = 0; cut <= kCuts; ++cut)
      GetParam().read(std::string_view(seed).substr(0, seed.size() * cut / kCuts));
}

TEST_P(EveryReader, CopesWithDamagedSeeds) {
  std::mt19937 random(20260307);
  const int rounds = std::string(GetParam().name) == "survey" ? 20 : 100;
  for (const std::string& seed : GetParam().seeds())
    for (int round = 0; round < rounds; ++round) GetParam().read(mutated(seed, random));
}

INSTANTIATE_TEST_SUITE_P(Fuzz, EveryReader, testing::ValuesIn(targets()),
                         [](const auto& named) { return std::string(named.param.name); });

TEST(FuzzTargets, EveryKeptInputBelongsToATarget) {
  for (const auto& entry :
       std::filesystem::directory_iterator(ROOMLOOM_SOURCE_DIR "/tests/fuzz/kept"))
    if (entry.is_directory()) {
      EXPECT_NE(find_target(entry.path().filename().string()), nullptr) << entry.path();
    }
}

}  // namespace
}  // namespace roomloom::fuzz
