#include "drawings/sheets.h"
#include "drawings/table.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

constexpr std::size_t kMostLetters = 40;  // of a name, over as many lines as its cell needs

/// Names of the trunks that a run goes through, in the order of their size.
std::string ways_of(const Trunks& trunks, int run) {
  std::string text;
  for (std::size_t i = 0; i < trunks.sets.size(); ++i) {
    for (const int other : trunks.sets[i]) {
      if (other == run) text += (text.empty() ? "" : " ") + trunks.name(static_cast<int>(i));
    }
  }
  return text;
}

std::string holes_of(const DrawingRequest& r, int run) {
  std::string text;
  for (const HoleShape& hole : r.shapes.holes) {
    for (const int other : hole.runs) {
      if (other == run) text += (text.empty() ? "" : " ") + plain_text(hole.name, 12);
    }
  }
  return text;
}

DrawnTable runs_table(const DrawingRequest& r, const Trunks& trunks) {
  DrawnTable table{{"Run", "From", "To", "Cable", "Cut", "Through", "Trunks", "Kind"},
                   {},
                   {false, false, false, false, true}};
  for (const RunRow& row : r.takeoff.runs) {
    table.rows.push_back({plain_text(row.id, 16), plain_text(row.from, kMostLetters),
                          plain_text(row.to, kMostLetters), plain_text(row.cable, kMostLetters),
                          cut_words(row, r.job.units), holes_of(r, row.run),
                          ways_of(trunks, row.run),
                          row.installed   ? "lies already"
                          : row.lies()    ? "to lead on"
                          : row.provision ? "provision"
                                          : "to pull"});
  }
  return table;
}

std::vector<Page> lists(const DrawingRequest& r, const DrawnTable& table, const Hand& hand) {
  std::vector<Page> pages;
  for (std::size_t done = 0; done < table.rows.size();) {
    Work work(r, hand, "List of runs", "runs");
    const PaperBox area{work.layout.drawing.low,
                        {work.layout.drawing.high.x, work.layout.border.high.y}};
    done += draw_table(work.draft, area, table, done, hand.line_spacing);
    work.rows.push_back({"Where to look", true, {}});
    work.rows.push_back(
        {"Holes on the ceiling's sheet; trunks, the runs drawn as one line, on "
         "their own.",
         false,
         {}});
    work.rows.push_back({"All figures of the cut length are in lengths.csv.", false, {}});
    for (Page& page : finished(work)) pages.push_back(std::move(page));
  }
  return pages;
}

}  // namespace

void draw_lists(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                const Lettering& lettering) {
  const DrawnTable table = without_empty_columns(runs_table(r, trunks));
  append_legible(pages, lettering, [&](const Hand& hand) { return lists(r, table, hand); });
}

}  // namespace roomloom
