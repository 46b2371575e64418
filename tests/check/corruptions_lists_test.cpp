#include "check/written_result.h"

namespace roomloom::testing {
namespace {

// One changed character in each column of a list, in a row of the seed's choice.
std::vector<Corruption> cell_corruptions(const fs::path& clean, const std::string& file,
                                         const std::set<std::string>& but) {
  std::vector<Corruption> all;
  const std::vector<std::string> headings = ListFile(clean / file).rows.front();
  for (std::size_t column = 0; column < headings.size(); ++column) {
    if (but.count(headings[column]) != 0) continue;
    all.push_back({"a character under " + headings[column] + " in " + file,
                   [=](const fs::path& folder, Random& random) {
                     ListFile list(folder / file);
                     const std::size_t row = 1 + random() % (list.rows.size() - 1);
                     change_cell(list.rows[row][column], random());
                     list.save();
                   }});
  }
  return all;
}

std::vector<Corruption> row_corruptions(const std::string& file) {
  const auto spoil = [=](const std::function<void(ListFile&, std::size_t)>& change) {
    return [=](const fs::path& folder, Random& random) {
      ListFile list(folder / file);
      change(list, 1 + random() % (list.rows.size() - 1));
      list.save();
    };
  };
  return {
      {"a row dropped from " + file, spoil([](ListFile& list, std::size_t row) {
         list.rows.erase(list.rows.begin() + static_cast<std::ptrdiff_t>(row));
       })},
      {"a row doubled in " + file,
       spoil([](ListFile& list, std::size_t row) { list.rows.push_back(list.rows[row]); })},
      {"a cell dropped from " + file,
       spoil([](ListFile& list, std::size_t row) { list.rows[row].pop_back(); })},
      {"the heading changed in " + file,
       spoil([](ListFile& list, std::size_t) { list.rows[0][0] = "Thing"; })},
      {file + " emptied", spoil([](ListFile& list, std::size_t) { list.rows.clear(); })},
  };
}

using Json = nlohmann::ordered_json;

Corruption in_plan(const std::string& name, const std::function<void(Json&, Random&)>& spoil) {
  return {name + " in plan.json", [=](const fs::path& folder, Random& random) {
            Json plan = read_json(folder / "plan.json");
            spoil(plan, random);
            write_json(folder / "plan.json", plan);
          }};
}

Json& any_run(Json& plan, Random& random) { return plan["runs"][random() % plan["runs"].size()]; }

void add(Json& number, double more) { number = number.get<double>() + more; }

std::vector<Corruption> plan_corruptions() {
  return {
      in_plan(
          "a hole removed",
          [](Json& plan, Random& random) { plan["holes"].erase(random() % plan["holes"].size()); }),
      in_plan(
          "a hole moved by 20 mm",
          [](Json& plan, Random& random) { add(plan["holes"][0]["centre"][random() % 2], 0.02); }),
      in_plan("a hole widened",
              [](Json& plan, Random&) { add(plan["holes"][0]["diameter_m"], 0.01); }),
      in_plan("a run taken from a hole",
              [](Json& plan, Random& random) {
                Json& hole = plan["holes"][random() % plan["holes"].size()];
                hole["runs"].erase(0);
              }),
      in_plan(
          "a run removed",
          [](Json& plan, Random& random) { plan["runs"].erase(random() % plan["runs"].size()); }),
      in_plan("a run called not routed",
              [](Json& plan, Random& random) { any_run(plan, random)["routed"] = false; }),
      in_plan("a run renamed",
              [](Json& plan, Random& random) { any_run(plan, random)["id"] = "X1"; }),
      in_plan("a cable type renamed",
              [](Json& plan, Random& random) { any_run(plan, random)["cable"] = "bell wire"; }),
      in_plan("a cable changed for another",
              [](Json& plan, Random& random) { any_run(plan, random)["cable"] = "line coax"; }),
      in_plan("a run turned about",
              [](Json& plan, Random& random) {
                Json& run = any_run(plan, random);
                std::swap(run["from"], run["to"]);
              }),
      in_plan("a drawn length changed by 1 mm",
              [](Json& plan, Random& random) { add(any_run(plan, random)["drawn_m"], 0.001); }),
      in_plan("a cut length changed by 1 mm",
              [](Json& plan, Random& random) { add(any_run(plan, random)["cut_m"], 0.001); }),
      in_plan("an addend changed by 1 mm",
              [](Json& plan, Random& random) {
                add(any_run(plan, random)["addends_m"]["contingency"], 0.001);
              }),
      in_plan("an end moved by 20 mm",
              [](Json& plan, Random& random) {
                for (Json& end : plan["ends"]) {
                  if (end["id"] == "lamp") add(end["at"][random() % 2], 0.02);
                }
              }),
      in_plan("the free zone behind the rack removed",
              [](Json& plan, Random&) { plan["zones"].clear(); }),
      in_plan("the free zone grown into the room",
              [](Json& plan, Random& random) { add(plan["zones"][0]["size"][random() % 3], 0.5); }),
      in_plan("the free zone moved along the wall",
              [](Json& plan, Random& random) {
                add(plan["zones"][0]["origin"][0], random() % 2 == 0 ? 1 : -1);
              }),
      in_plan("a free zone as large as the room",
              [](Json& plan, Random&) {
                Json zone = plan["zones"][0];
                zone["name"] = "room";
                zone["origin"] = {0, 0, 0};
                zone["u"] = {1, 0, 0};
                zone["v"] = {0, 1, 0};
                zone["n"] = {0, 0, 1};
                zone["size"] = {4, 5, 2.9};
                plan["zones"].push_back(zone);
              }),
      in_plan("a sheet of a free zone across the room",
              [](Json& plan, Random&) {
                Json zone = plan["zones"][0];
                zone["name"] = "shelf";
                zone["size"] = {2, 3, 0.05};
                plan["zones"].push_back(zone);
              }),
      in_plan("a piece of raceway removed", [](Json& plan, Random&) { plan["raceways"].erase(0); }),
      in_plan("a piece of raceway of another size",
              [](Json& plan, Random&) { plan["raceways"][0]["size"] = "40 x 25"; }),
      in_plan("a total changed",
              [](Json& plan, Random&) { add(plan["totals"][0]["cut_m"], 0.05); }),
      in_plan("another model's digest",
              [](Json& plan, Random&) { plan["model"]["sha256"] = std::string(64, '0'); }),
      in_plan("another version",
              [](Json& plan, Random&) { plan["version"] = plan["version"].get<int>() + 1; }),
      {"plan.json cut in half",
       [](const fs::path& folder, Random&) {
         fs::resize_file(folder / "plan.json", fs::file_size(folder / "plan.json") / 2);
       }},
  };
}

TEST_F(WrittenResult, LeftAloneGivesNothingThatMustBeMended) {
  EXPECT_EQ(verdict(folder_ / "clean"), "");
  const auto findings = check_result(folder_ / "clean", planned_->scene, planned_->job);
  ASSERT_TRUE(findings);
  for (const Finding& finding : findings->items) {
    EXPECT_FALSE(explain(finding.id).empty()) << finding.id;
  }
}

TEST_F(WrittenResult, SpoiledInAnyColumnOrRowOfAListIsCaught) {
  const fs::path clean = folder_ / "clean";
  expect_all_caught(cell_corruptions(clean, "lengths.csv", {}), 2);
  expect_all_caught(cell_corruptions(clean, "holes.csv", {}));
  // Told to whoever cuts, and held by the digest alone.
  expect_all_caught(
      cell_corruptions(clean, "hole_schedule.csv",
                       {"Counted from the corner of", "First wall", "From the first wall (m)",
                        "Second wall", "From the second wall (m)", "Height above the floor (m)",
                        "Diameter set by", "Grommet", "What may be added later", "Seal", "Done"}));
  expect_all_caught(cell_corruptions(clean, "raceway.csv", {}));
  expect_all_caught(cell_corruptions(clean, "raceway_cuts.csv", {"Done"}), 2);
  expect_all_caught(cell_corruptions(clean, "raceway_fittings.csv", {"Price of one (EUR)"}));
  for (const std::string which : {"first", "second"})
    expect_all_caught({{"a hole 5 mm farther from its " + which + " wall in hole_schedule.csv",
                        [=](const fs::path& folder, Random& random) {
                          ListFile list(folder / "hole_schedule.csv");
                          const auto& headings = list.rows.front();
                          const auto at = std::find(headings.begin(), headings.end(),
                                                    "From the " + which + " wall (m)");
                          ASSERT_NE(at, headings.end());
                          std::string& cell =
                              list.rows[1 + random() % (list.rows.size() - 1)]
                                       [static_cast<std::size_t>(at - headings.begin())];
                          cell = std::to_string(std::stod(cell) + 0.005);
                          list.save();
                        }}});
  for (const char* file : {"lengths.csv", "holes.csv", "hole_schedule.csv", "raceway.csv",
                           "raceway_cuts.csv", "raceway_fittings.csv"}) {
    expect_all_caught(row_corruptions(file));
  }
  expect_all_caught(
      {{"the stock length's heading changed in raceway.csv", [](const fs::path& folder, Random&) {
          ListFile list(folder / "raceway.csv");
          for (std::string& heading : list.rows[0])
            if (heading.starts_with("Stock length")) heading = "Thing";
          list.save();
        }}});
}

TEST_F(WrittenResult, SpoiledInThePlanIsCaught) { expect_all_caught(plan_corruptions(), 2); }

TEST_F(WrittenResult, HeldAgainstAnotherModelOrJobIsCaught) {
  const auto must = [&] {
    const auto findings = check_folder(folder_ / "clean", test_options());
    EXPECT_TRUE(findings) << to_text(findings.error());
    std::set<std::string> ids;
    for (const Finding& finding : findings->items) {
      if (finding.level == Level::must) ids.insert(finding.id);
    }
    return ids;
  };
  EXPECT_EQ(must(), std::set<std::string>{});
  std::string narrower = kRoom;
  narrower.replace(narrower.find("\"width\": 4"), 10, "\"width\": 3");
  sketch_model(narrower, folder_, ".glb");
  EXPECT_EQ(must().count("model-changed"), 1U);
  sketch_model(kRoom, folder_, ".glb");
  std::string other = kJob;
  other.replace(other.find("speaker 2x1.5"), 13, "speaker 2x2.5");
  write_text(folder_ / "job.json", other);
  EXPECT_EQ(must().count("plan-differs"), 1U);
}

}  // namespace
}  // namespace roomloom::testing
