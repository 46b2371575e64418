#include <algorithm>
#include <map>

#include "pipeline/random_rooms.h"
#include "report/sheets_as_csv.h"

namespace roomloom::testing {
namespace {

class WorkbookOf : public ::testing::TestWithParam<const char*> {};

// Each CSV of a written folder, as LibreOffice shows the sheet that the workbook's contents name
// for it.
TEST_P(WorkbookOf, ShowsInLibreOfficeTheCellsOfEveryCsvInTheFolder) {
  if (!has_libreoffice()) GTEST_SKIP() << "LibreOffice is not installed";
  const PlannedRoom* planned = planned_by_name(GetParam());
  ASSERT_NE(planned, nullptr);
  const TestFolder folder;
  WriteOptions options;
  options.drawings = options.report = false;
  const auto written = write_plan(*planned, folder / "out", options);
  ASSERT_TRUE(written) << to_text(written.error());
  ASSERT_TRUE(sheets_as_csv(folder / "out" / "roomloom.xlsx", folder.path()));
  std::map<std::string, std::string> titles{{"checks", "Checks"}};
  for (const Table& table : planned->takeoff.tables) titles[table.id] = table.title;
  std::map<std::string, std::string> sheets;  // by the list's title
  const CsvRows contents = csv_rows(file_text(folder / "roomloom-Contents.csv"));
  for (std::size_t i = 1; i < contents.size(); ++i) sheets[contents[i][1]] = contents[i][0];
  EXPECT_EQ(sheets.size() + 1, contents.size());
  std::size_t compared = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder / "out")) {
    if (entry.path().extension() != ".csv") continue;
    const std::string id = entry.path().stem().string();
    SCOPED_TRACE(id);
    ASSERT_EQ(sheets.count(titles[id]), 1U) << "no sheet";
    const std::string own = file_text(entry.path());
    ASSERT_FALSE(own.empty());
    expect_same_cells(csv_rows(file_text(folder / ("roomloom-" + sheets[titles[id]] + ".csv"))),
                      csv_rows(own.rfind("\xEF\xBB\xBF", 0) == 0 ? own.substr(3) : own));
    ++compared;
  }
  EXPECT_EQ(compared, sheets.size()) << "a sheet for every CSV, and a CSV for every sheet";
}

std::string name_of_room(const ::testing::TestParamInfo<const char*>& info) {
  std::string name = info.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Demo, WorkbookOf,
                         ::testing::Values("alder-hall", "attic-studio", "classroom"),
                         name_of_room);

}  // namespace
}  // namespace roomloom::testing
