#include "report/workbook.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

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

std::string contents(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

/// RFC 4180 with either line end.
std::vector<std::vector<std::string>> rows_of(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row{""};
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
      row.back() += text[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && c == ',') {
      row.emplace_back();
    } else if (!quoted && c == '\r') {
      continue;
    } else if (!quoted && c == '\n') {
      rows.push_back(row);
      row = {""};
    } else {
      row.back() += c;
    }
  }
  return rows;
}

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

/// Opens a workbook and writes each sheet as CSV, as shown.
bool converted(const fs::path& book, const fs::path& folder) {
  const std::string command =
      "timeout 120 soffice -env:UserInstallation=file://" + (folder / "profile").string() +
      " --headless --convert-to "
      "'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1' --outdir " +
      folder.string() + " " + book.string() + " >/dev/null 2>&1";
  return std::system(command.c_str()) == 0;
}

TEST(Workbook, OpensInLibreOfficeWithTheCellsOfTheCsv) {
  if (std::system("command -v soffice >/dev/null 2>&1") != 0)
    GTEST_SKIP() << "LibreOffice is not installed";
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    const Folder folder;
    const TableStyle style{units, "EUR"};
    const std::vector<Table> tables = some_tables();
    ASSERT_TRUE(write_workbook(tables, style, folder.path / "book.xlsx"));
    ASSERT_TRUE(converted(folder.path / "book.xlsx", folder.path));
    const auto shown = rows_of(contents(folder.path / "book-Pieces.csv"));
    auto wanted = rows_of(table_csv(tables[0], style));
    ASSERT_EQ(shown.size(), wanted.size());
    for (std::size_t r = 0; r < wanted.size(); ++r) {
      ASSERT_EQ(shown[r].size(), wanted[r].size()) << r;
      for (std::size_t c = 0; c < wanted[r].size(); ++c) {
        std::string& cell = wanted[r][c];
        if (!cell.empty() && cell.front() == '\'') cell.erase(0, 1);  // a CSV's guard only
        EXPECT_EQ(shown[r][c], cell) << r << ", " << c;
      }
    }
  }
}

TEST(Workbook, IsTheSameFileForTheSameLists) {
  const Folder folder;
  ASSERT_TRUE(write_workbook(some_tables(), {}, folder.path / "a.xlsx"));
  ASSERT_TRUE(write_workbook(some_tables(), {}, folder.path / "b.xlsx"));
  EXPECT_EQ(contents(folder.path / "a.xlsx"), contents(folder.path / "b.xlsx"));
  EXPECT_FALSE(contents(folder.path / "a.xlsx").empty());
}

TEST(Workbook, SaysWhyItCannotBeWritten) {
  const Status written = write_workbook(some_tables(), {}, "/nowhere/at/all/book.xlsx");
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "file.unwritable");
}

}  // namespace
}  // namespace roomloom
