#include "base/units.h"
#include "drawings/text_pages.h"
#include "drawings/work_sheets.h"

namespace roomloom {
namespace {

using namespace text_pages;

const Table* quote_of(const Takeoff& takeoff) {
  for (const Table& table : takeoff.tables)
    if (table.id == "quote") return &table;
  return nullptr;
}

/// "6 loudspeaker, 2 network".
std::string runs_words(const Takeoff& takeoff) {
  std::vector<std::pair<std::string, int>> counts;
  for (const RunRow& row : takeoff.runs) {
    if (!row.routed || (row.installed && !row.to_finish)) continue;
    const std::string service = to_string(row.service);
    auto at = counts.begin();
    while (at != counts.end() && at->first != service) ++at;
    if (at == counts.end()) at = counts.insert(at, {service, 0});
    ++at->second;
  }
  std::string text;
  for (const auto& [service, count] : counts)
    text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + service;
  return text.empty() ? "none" : text;
}

/// What the work comes to, in the customer's words: nothing of steps or minutes.
std::vector<std::string> scope_of(const Takeoff& takeoff, DisplayUnits units) {
  double raceway_m = 0;
  int holes = 0, later = 0;
  for (const RacewayPiece& piece : takeoff.raceway_pieces)
    if (!piece.fixed) raceway_m += piece.length_m;
  for (const WorkStep& step : takeoff.steps) holes += step.task == "cut a hole" ? 1 : 0;
  for (const RunRow& row : takeoff.runs)
    later += row.provision && row.routed && !row.lies() ? 1 : 0;
  const std::string runs = runs_words(takeoff);
  std::vector<std::string> lines{"Cables: " + runs + "."};
  if (later > 0)
    lines.push_back(std::to_string(later) +
                    (later == 1 ? " of them lies ready for later and is not connected now."
                                : " of them lie ready for later and are not connected now."));
  if (raceway_m > 0)
    lines.push_back("Surface raceway: " + format_length(raceway_m, units, 1) + ".");
  if (holes > 0)
    lines.push_back("Holes in ceiling tiles and walls: " + std::to_string(holes) + ".");
  for (const RampRow& ramp : takeoff.ramps)
    if (!ramp.there)
      lines.push_back("Ramp over cable on the floor: " + format_length(ramp.length_m, units, 1) +
                      ", from " + ramp.wall + " to " + ramp.end + ".");
  if (takeoff.steps.empty()) return {"Nothing: all of it lies already."};
  if (runs != "none") lines.emplace_back("Every cable is labelled at both ends and tested.");
  return lines;
}

std::string money(const Cell& cell) {
  const auto* number = std::get_if<double>(&cell);
  return number == nullptr ? "" : format_number(*number, 2);
}

}  // namespace

Result<std::string> quote_pdf(const Takeoff& takeoff, const std::string& name,
                              const std::string& currency, DisplayUnits units, Paper paper,
                              const std::string& program) {
  const Lettering lettering;
  const std::string title = plain_text(name, 60) + ": quote";
  TextPages pages(text_paper_mm(paper), title, lettering);
  pages.text(name + ": quote", kTitle_mm, true, 0);
  pages.text(
      "For: ______________________________   Date: ______________   Valid until: "
      "______________",
      kText_mm, false, 6);
  pages.text("What is done", kHead_mm, true, 6, 20);
  for (const std::string& line : scope_of(takeoff, units)) pages.text(line, kText_mm, false, 1);
  pages.text("What it costs, in " + currency, kHead_mm, true, 6, 20);
  const std::vector<double> ends{0.6, 0.8, 1};
  pages.row({"", "Price", "At best", "At worst"}, ends, true);
  if (const Table* quote = quote_of(takeoff)) {
    for (std::size_t i = 0; i < quote->rows.size(); ++i) {
      const auto& row = quote->rows[i];
      const bool sum = i + 1 == quote->rows.size();
      if (sum) pages.rule();
      const auto* what = std::get_if<std::string>(&row[0]);
      pages.row({what == nullptr ? "" : *what, money(row[1]), money(row[2]), money(row[3])}, ends,
                sum);
    }
    pages.text(quote->note, kText_mm, false, 6);
  }
  pages.text(
      "Taxes are as the law asks and not in these figures. The work may turn out longer or "
      "shorter than planned: at best and at worst tell how far.",
      kText_mm, false, 3);
  pages.text("Agreed: ______________________________   Date: ______________", kText_mm, false, 12);
  return pdf_of(pages.take(), lettering, title, program);
}

}  // namespace roomloom
