#include "pipeline/planning.h"
#include "pipeline/roomloom.h"

// A job's contradictions come all at once, whether the job's text or the model tells them.
namespace roomloom {
namespace {

using testing::TestFolder;

constexpr const char* kRoom = R"({ "name": "Box", "height": "2.6 m",
  "outline": { "width": "4 m", "depth": "5 m" } })";

std::string problems_of(const std::string& job, const std::string& model_ending = ".glb") {
  const TestFolder folder;
  testing::sketch_model(kRoom, folder, model_ending);
  const auto planned = testing::plan(job, folder);
  if (planned) {
    ADD_FAILURE() << "planned all the same";
    return {};
  }
  return to_text(planned.error());
}

TEST(Problems, OfTheJobAndOfTheModelComeTogetherWithLines) {
  const std::string told = problems_of(R"({
  "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.5, 0.4, 1], "at": "Wall frnt", "from_left": 1,
              "ports": ["1..6"] } ],
  "layout": { "listener": { "xyz": [20, 2, 1.2] } },
  "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 1 },
            { "id": "b", "at": "Wall left", "from_left": 1, "up": 1 },
            { "id": "c", "at": "Wall right", "from_left": 9, "up": 1 } ],
  "cables": [ { "id": "short", "like": "cat6", "put_ups": ["2 m"] } ],
  "runs": [ { "id": "S1", "from": "a", "to": "a", "cable": "cat6" },
            { "id": "S2", "from": "a", "to": "nobody", "cable": "cat6" },
            { "id": "S3", "from": "a", "to": "d", "cable": "short",
              "end": { "at": "Wall right", "from_left": 1, "up": 1 } } ] })");
  for (const char* part : {"/runs/0/to", "to itself", "/runs/1/to", "nobody", "/gear/0/at",
                           "Wall front", "/layout/listener", "outside the room", "/ends/1",
                           "same place as \"a\"", "/ends/2", "/runs/2/cable", "crow flies"})
    EXPECT_NE(told.find(part), std::string::npos) << part << "\n" << told;
  EXPECT_NE(told.find("job.json:3:"), std::string::npos) << told;
  EXPECT_EQ(told.find("rack\" has no place"), std::string::npos) << "a consequence\n" << told;
}

TEST(Problems, OfAnEntryThatIsFaultyByItselfComeOnce) {
  const std::string told = problems_of(R"({ "model": { "file": "room.glb" },
  "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 1 } ],
  "runs": [ { "id": "S1", "from": "a", "to": "a", "cable": "cat9" } ] })");
  std::size_t times = 0;
  for (std::size_t at = told.find("\"cat9\""); at != std::string::npos;
       at = told.find("\"cat9\"", at + 1))
    ++times;
  EXPECT_EQ(times, 1U) << told;
}

TEST(Problems, IncludeAModelThatCannotBeRead) {
  const std::string told = problems_of(R"({ "model": { "file": "gone.glb" },
  "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 1 } ],
  "runs": [ { "id": "S1", "from": "a", "to": "a", "cable": "cat6" } ] })");
  EXPECT_NE(told.find("gone.glb"), std::string::npos) << told;
  EXPECT_NE(told.find("to itself"), std::string::npos) << told;
}

}  // namespace
}  // namespace roomloom
