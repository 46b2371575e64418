#include "report/workbook.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include "report/sheets_as_csv.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "roomloom-book-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) ADD_FAILURE();
    path = name;
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  fs::path path;
};

std::vector<Table> some_tables() {
  Table table{"pieces",
              "Pieces",
              "A note",
              {{"name", "Name"},
               {"length_m", "Length", ColumnKind::length},
               {"width_m", "Width", ColumnKind::size},
               {"price", "Price", ColumnKind::money},
               {"count", "Count", ColumnKind::count},
               {"done", "Done", ColumnKind::tick}},
              {}};
  table.rows.push_back({std::string("plain"), 1.25, 0.016, 2.5, 3.0, std::string()});
  table.rows.push_back({std::string("=1+1"), 0.3048, 0.0254, 0.0, 0.0, std::string()});
  table.rows.push_back({std::string("Größe \"7\", a"), Cell{}, Cell{}, -0.001, 12.0, Cell{}});
  Table other = table;
  other.id = "others";
  other.title = "Others: a list with a very long name indeed";
  return {table, other};
}

TEST(Workbook, OpensInLibreOfficeWithTheCellsOfTheCsv) {
  if (!testing::has_libreoffice()) GTEST_SKIP() << "LibreOffice is not installed";
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    const Folder folder;
    const TableStyle style{units, "EUR"};
    const std::vector<Table> tables = some_tables();
    ASSERT_TRUE(write_workbook(tables, style, folder.path / "book.xlsx"));
    ASSERT_TRUE(testing::sheets_as_csv(folder.path / "book.xlsx", folder.path));
    const auto shown = testing::csv_rows(testing::file_text(folder.path / "book-Pieces.csv"));
    testing::expect_same_cells(shown, testing::csv_rows(table_csv(tables[0], style)));
  }
}

TEST(Workbook, IsTheSameFileForTheSameLists) {
  const Folder folder;
  ASSERT_TRUE(write_workbook(some_tables(), {}, folder.path / "a.xlsx"));
  ASSERT_TRUE(write_workbook(some_tables(), {}, folder.path / "b.xlsx"));
  EXPECT_EQ(testing::file_text(folder.path / "a.xlsx"), testing::file_text(folder.path / "b.xlsx"));
  EXPECT_FALSE(testing::file_text(folder.path / "a.xlsx").empty());
}

TEST(Workbook, SaysWhyItCannotBeWritten) {
  const Status written = write_workbook(some_tables(), {}, "/nowhere/at/all/book.xlsx");
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "file.unwritable");
}

}  // namespace
}  // namespace roomloom
