#include "pipeline/random_rooms.h"
#include "report/sheets_as_csv.h"

namespace roomloom::testing {
namespace {

class WorkbookOf : public ::testing::TestWithParam<const char*> {};

// Each list of a written plan, as LibreOffice shows its sheet and as its own CSV file has it.
TEST_P(WorkbookOf, ShowsInLibreOfficeTheCellsOfEveryList) {
  if (!has_libreoffice()) GTEST_SKIP() << "LibreOffice is not installed";
  const PlannedRoom* planned = planned_by_name(GetParam());
  ASSERT_NE(planned, nullptr);
  const TestFolder folder;
  WriteOptions options;
  options.drawings = options.report = false;
  const auto written = write_plan(*planned, folder / "out", options);
  ASSERT_TRUE(written) << to_text(written.error());
  ASSERT_TRUE(sheets_as_csv(folder / "out" / "roomloom.xlsx", folder.path()));
  const CsvRows contents = csv_rows(file_text(folder / "roomloom-Contents.csv"));
  const std::vector<Table>& tables = planned->takeoff.tables;
  ASSERT_EQ(contents.size(), tables.size() + 1);
  for (std::size_t i = 0; i < tables.size(); ++i) {
    SCOPED_TRACE(tables[i].id);
    const CsvRows shown = csv_rows(file_text(folder / ("roomloom-" + contents[i + 1][0] + ".csv")));
    const std::string own = file_text(folder / "out" / (tables[i].id + ".csv"));
    ASSERT_FALSE(own.empty());
    expect_same_cells(shown, csv_rows(own.rfind("\xEF\xBB\xBF", 0) == 0 ? own.substr(3) : own));
  }
}

INSTANTIATE_TEST_SUITE_P(Demo, WorkbookOf, ::testing::Values("alder-hall", "attic-studio"),
                         [](const auto& info) {
                           return std::string(info.index == 0 ? "Metric" : "FeetAndInches");
                         });

}  // namespace
}  // namespace roomloom::testing
