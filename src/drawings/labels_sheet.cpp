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

void write(Page& page, const Lettering& lettering, const std::string& text, Vec2 at, double cap_mm,
           bool bold, double width_mm) {
  TextMark mark;
  mark.text = fitting(lettering, text, cap_mm, bold, width_mm);
  mark.at = at;
  mark.cap_mm = cap_mm;
  mark.bold = bold;
  mark.width_mm = lettering.width_mm(mark.text, cap_mm, bold);
  page.marks.emplace_back(mark);
}

void draw_label(Page& page, const Lettering& lettering, const Table& table,
                const std::vector<Cell>& row, Vec2 corner, const LabelSheet& sheet) {
  const double width = sheet.label_mm.x - 2 * kEdge_mm;
  const double step = (sheet.label_mm.y - 2 * kEdge_mm) / 4;
  const double left = corner.x + kEdge_mm;
  double base = corner.y + kEdge_mm + step - 1;
  write(page, lettering, cell_text(table, row, "label"), {left, base}, 2.4, true, width);
  for (const auto& [before, key] :
       {std::pair{"here ", "end"}, std::pair{"to ", "far_end"}, std::pair{"", "cable"}}) {
    base += step;
    write(page, lettering, before + cell_text(table, row, key), {left, base}, 1.8, false, width);
  }
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
