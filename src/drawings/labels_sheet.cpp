#include <algorithm>
#include <array>

#include "base/utf8.h"
#include "drawings/page_files.h"
#include "drawings/words.h"
#include "drawings/work_sheets.h"

namespace roomloom {
namespace {

constexpr double kInch = 25.4;
constexpr double kEdge_mm = 2;

std::string cell_text(const Table& table, const std::vector<Cell>& row, const std::string& key) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i].key == key)
      if (const auto* text = std::get_if<std::string>(&row[i])) return *text;
  return "";
}

/// Heights of capitals that are tried, the largest first; smaller ones nobody reads on a cable.
constexpr std::array kCode_mm{2.4, 2.1, 1.8, 1.5, 1.2};
constexpr std::array kText_mm{1.8, 1.6, 1.4, 1.2, 1.0};
constexpr double kLine = 1.75;          ///< from base line to base line, in heights of capitals
constexpr std::size_t kMostText = 240;  ///< of a name; no label has room for more
constexpr std::size_t kCutText = 64;    ///< of a name where not all that is told has room
constexpr const char* kWhole = "names in full: labels.csv";

/// What stands on a label, in lines that are as wide as it is.
struct LabelText {
  std::vector<std::string> code, names;
  double code_mm = 0, names_mm = 0;
  double height_mm() const {
    return kLine * (code_mm * static_cast<double>(code.size()) +
                    names_mm * static_cast<double>(names.size()));
  }
};

/// @param most  characters of each name; shorter than all of it where the label says so
LabelText text_of(const Lettering& lettering, const Table& table, const std::vector<Cell>& row,
                  double width_mm, std::size_t size, std::size_t most) {
  LabelText text;
  text.code_mm = kCode_mm[size];
  text.names_mm = kText_mm[size];
  text.code = lines_of(lettering, plain_text(cell_text(table, row, "label"), most), text.code_mm,
                       true, width_mm);
  const auto add = [&](const std::string& name) {
    for (std::string& line :
         lines_of(lettering, plain_text(name, most), text.names_mm, false, width_mm))
      text.names.push_back(std::move(line));
  };
  add("here " + cell_text(table, row, "end"));
  add("to " + cell_text(table, row, "far_end"));
  add(cell_text(table, row, "cable"));
  if (most < kMostText) add(kWhole);
  return text;
}

/// In the largest letters in which the code stands in one line and no name is cut; else in the
/// largest in which nothing is cut; else cut, and the label says where all of it is.
LabelText fitted(const Lettering& lettering, const Table& table, const std::vector<Cell>& row,
                 double width_mm, double height_mm) {
  const bool hopeless = std::any_of(row.begin(), row.end(), [](const Cell& cell) {
    const auto* name = std::get_if<std::string>(&cell);
    return name != nullptr && code_points(*name).size() > kMostText - 5;
  });
  for (const bool code_whole : {true, false})
    for (std::size_t size = 0; !hopeless && size < kCode_mm.size(); ++size) {
      LabelText text = text_of(lettering, table, row, width_mm, size, kMostText);
      if (text.height_mm() <= height_mm && (!code_whole || text.code.size() == 1)) return text;
    }
  return text_of(lettering, table, row, width_mm, kCode_mm.size() - 1, kCutText);
}

void write(Page& page, const Lettering& lettering, const std::string& text, Vec2 at, double cap_mm,
           bool bold) {
  TextMark mark;
  mark.text = text;
  mark.at = at;
  mark.cap_mm = cap_mm;
  mark.bold = bold;
  mark.width_mm = lettering.width_mm(mark.text, cap_mm, bold);
  page.marks.emplace_back(mark);
}

void draw_label(Page& page, const Lettering& lettering, const Table& table,
                const std::vector<Cell>& row, Vec2 corner, const LabelSheet& sheet) {
  const double width = sheet.label_mm.x - 2 * kEdge_mm;
  const double height = sheet.label_mm.y - 2 * kEdge_mm;
  const LabelText text = fitted(lettering, table, row, width, height);
  // What is over parts the lines.
  const auto lines = static_cast<double>(text.code.size() + text.names.size());
  const double spare = std::min((height - text.height_mm()) / lines, 1.5);
  const double left = corner.x + kEdge_mm;
  double base = corner.y + kEdge_mm;
  const auto write_all = [&](const std::vector<std::string>& all, double cap_mm, bool bold) {
    for (const std::string& line : all) {
      base += spare + kLine * cap_mm;
      write(page, lettering, line, {left, base - 0.4 * cap_mm}, cap_mm, bold);
    }
  };
  write_all(text.code, text.code_mm, true);
  write_all(text.names, text.names_mm, false);
}

}  // namespace

LabelSheet label_sheet(Paper paper) {
  if (paper == Paper::letter)
    return {{8.5 * kInch, 11 * kInch}, 3, 10, {0.1875 * kInch, 0.5 * kInch}, {2.625 * kInch, kInch},
            {2.75 * kInch, kInch}};
  return {{210, 297}, 5, 13, {4.75, 10.7}, {38.1, 21.2}, {40.6, 21.2}};
}

Result<std::string> labels_pdf(const Table& labels, Paper paper, const std::string& program) {
  const LabelSheet sheet = label_sheet(paper);
  const Lettering lettering;
  std::vector<Page> pages;
  const auto columns = static_cast<std::size_t>(sheet.columns);
  const std::size_t on_a_page = columns * static_cast<std::size_t>(sheet.rows);
  for (std::size_t i = 0; i < labels.rows.size(); ++i) {
    if (i % on_a_page == 0) {
      pages.emplace_back();
      pages.back().title = "Labels";
      pages.back().size_mm = sheet.size_mm;
    }
    const std::size_t place = i % on_a_page;
    const std::size_t whole_rows = place / columns;
    const auto column = static_cast<double>(place % columns);
    const auto row = static_cast<double>(whole_rows);
    draw_label(pages.back(), lettering, labels, labels.rows[i],
               sheet.first_mm + Vec2{column * sheet.pitch_mm.x, row * sheet.pitch_mm.y}, sheet);
  }
  if (pages.empty()) {
    pages.emplace_back();
    pages.back().size_mm = sheet.size_mm;
  }
  return pdf_of(pages, lettering, "Labels", program);
}

}  // namespace roomloom
