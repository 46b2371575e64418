#pragma once

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

/// A workbook as LibreOffice shows it, to be held against the CSV lists.
namespace roomloom::testing {

using CsvRows = std::vector<std::vector<std::string>>;

inline bool has_libreoffice() { return std::system("command -v soffice >/dev/null 2>&1") == 0; }

inline std::string file_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

/// RFC 4180 with either line end.
inline CsvRows csv_rows(const std::string& text) {
  CsvRows rows;
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

/// Opens a workbook and writes each sheet as CSV into `folder`, as shown: "book-Sheet.csv".
inline bool sheets_as_csv(const std::filesystem::path& book, const std::filesystem::path& folder) {
  const std::string command =
      "timeout 120 soffice -env:UserInstallation=file://" + (folder / "profile").string() +
      " --headless --convert-to "
      "'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1' --outdir " +
      folder.string() + " " + book.string() + " >/dev/null 2>&1";
  return std::system(command.c_str()) == 0;
}

/// Cell by cell; a CSV guards what looks like a formula by an apostrophe, a workbook need not.
inline void expect_same_cells(const CsvRows& shown, CsvRows wanted) {
  ASSERT_EQ(shown.size(), wanted.size());
  for (std::size_t r = 0; r < wanted.size(); ++r) {
    ASSERT_EQ(shown[r].size(), wanted[r].size()) << r;
    for (std::size_t c = 0; c < wanted[r].size(); ++c) {
      std::string& cell = wanted[r][c];
      if (!cell.empty() && cell.front() == '\'') cell.erase(0, 1);
      EXPECT_EQ(shown[r][c], cell) << r << ", " << c;
    }
  }
}

}  // namespace roomloom::testing
