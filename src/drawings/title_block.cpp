#include <vector>

#include "base/sha256.h"
#include "base/units.h"
#include "drawings/layout.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

constexpr double kLeast_mm = 1.8;  // of ISO 3098-1

struct Cell {
  double x, y, width;  ///< shares of the block's width; which row
  const char* field;
  std::string value;
  double cap_mm;
};

/// The same for all sheets of one plan, and another for a plan with other lengths or holes, so that
/// sheets of two plans are not mixed up: "5f1c 09be".
std::string number_of(const Takeoff& takeoff) {
  std::string all;
  for (const RunRow& row : takeoff.runs) all += row.id + "\n" + format_number(row.cut_m, 4) + "\n";
  for (const HoleRow& hole : takeoff.holes) {
    all += hole.name;
    for (const double value : {hole.centre.x, hole.centre.y, hole.centre.z, hole.diameter_m})
      all += " " + format_number(value, 4);
    all += "\n";
  }
  const std::string hash = sha256(all);
  return hash.substr(0, 4) + " " + hash.substr(4, 4);
}

/// Fields of ISO 7200: owner, number, date, sheet, title, approval, creator and document type are
/// the ones that must be there. What only people know is as the job says it, else blank. The field
/// of the approval person has another heading here: no plan of this program calls itself approved.
std::vector<Cell> cells_of(const Page& page, const DrawingRequest& r, const std::string& sheet) {
  const TitleBlock& said = r.job.title_block;
  const std::string creator = said.drawn_by.empty() ? "" : plain_text(said.drawn_by, 24) + " · ";
  const char* paper = r.paper == Paper::a3 ? "A3" : r.paper == Paper::a4 ? "A4" : "Letter";
  return {{0, 0, 1, "Title", plain_text(r.job.name, 42), 2.5},
          {0, 1, 1, "Document type", plain_text(page.title, 48), 2.5},
          {0, 2, 0.24, "Scale", page.scale.empty() ? "none" : page.scale, 2.5},
          {0.24, 2, 0.24, "Sheet", sheet, 2.5},
          {0.48, 2, 0.24, "Size", paper, 2.5},
          {0.72, 2, 0.28, "Language", "en", 2.5},
          {0, 3, 0.48, "Identification number", number_of(r.takeoff), 1.8},
          {0.48, 3, 0.52, "Created by", creator + plain_text(r.program, 20), 1.8},
          {0, 4, 0.34, "Legal owner", plain_text(said.owner, 32), 1.8},
          {0.34, 4, 0.3, "Date of issue", plain_text(said.date, 24), 1.8},
          {0.64, 4, 0.36, "Released by", plain_text(said.approved_by, 32), 1.8}};
}

void draw_title_block(Page& page, const DrawingRequest& r, const Lettering& lettering,
                      const std::string& sheet) {
  const PaperLayout l = layout_of(r.paper);
  constexpr int kRows = 5;
  Draft draft(l.size_mm, l.title, lettering);
  const double row = l.title.height() / kRows;
  for (const Cell& cell : cells_of(page, r, sheet)) {
    const Vec2 low{l.title.low.x + cell.x * l.title.width(), l.title.low.y + cell.y * row};
    const Vec2 high = low + Vec2{cell.width * l.title.width(), row};
    draft.shape({low, {high.x, low.y}, high, {low.x, high.y}}, pen_of(LineKind::narrow),
                std::nullopt);
    draft.write(cell.field, low + Vec2{1.5, 2.7}, {kLeast_mm, false, false, shade(0.35)});
    TextStyle style{cell.cap_mm, cell.y < 2, false, shade(0.05)};
    const double width = high.x - low.x - 3;
    if (draft.text_width(cell.value, style) > width) style.cap_mm = kLeast_mm;
    draft.write(fitting(lettering, cell.value, style.cap_mm, style.bold, width),
                low + Vec2{1.5, row - 1.6}, style);
  }
  for (Mark& mark : draft.page.marks) page.marks.push_back(std::move(mark));
}

}  // namespace

void add_title_blocks(std::vector<Page>& pages, const DrawingRequest& request,
                      const Lettering& lettering) {
  for (std::size_t i = 0; i < pages.size(); ++i) {
    const std::string number = std::to_string(i + 1);
    draw_title_block(pages[i], request, lettering, number + "/" + std::to_string(pages.size()));
    pages[i].stem = "sheet-" + number + "-" + pages[i].stem;
  }
}

}  // namespace roomloom
