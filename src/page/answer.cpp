#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "base/words.h"
#include "page/parts.h"
#include "page/text.h"
#include "types/palette.h"

namespace roomloom::page {
namespace {

/// Totals need no sixteenths: whole feet above ten of them.
std::string metres(double length, const PageRequest& r, int decimals = 1) {
  constexpr double kFoot = 0.3048;
  if (r.job.units == DisplayUnits::feet_and_inches && length > 10 * kFoot)
    return format_number(length / kFoot, 0) + " ft";
  return format_length(length, r.job.units, decimals);
}

double term_amount(const Plan& plan, const std::string& name) {
  for (const Term& term : plan.terms)
    if (term.name == name) return term.amount;
  return 0;
}

double sum_of(const Table& table, const std::string& key) {
  double sum = 0;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    if (table.columns[c].key != key) continue;
    for (const std::vector<Cell>& row : table.rows) {
      if (const auto* value = std::get_if<double>(&row[c])) sum += *value;
    }
  }
  return sum;
}

/// A figure of the answer: like a cable's tag, with its name, its figure and a few words.
std::string tag_html(const std::string& name, const std::string& figure, const std::string& words,
                     const std::string& kind = "") {
  return "<div class=\"tag " + kind + "\"><dt>" + name + "</dt><dd><b>" + figure + "</b>" +
         (words.empty() ? "" : "<br>" + words) + "</dd></div>\n";
}

struct Shelf {
  bool anything_listed = false, enough = true;
  std::vector<std::string> short_of;  ///< cables, in order
};

Shelf shelf_of(const PageRequest& r) {
  Shelf shelf;
  for (const SpoolSpec& spool : r.job.spools) shelf.anything_listed |= spool.on_shelf;
  for (const CableTotal& total : r.takeoff.totals) {
    if (total.runs == 0 || total.shelf_enough) continue;
    shelf.enough = false;
    if (std::find(shelf.short_of.begin(), shelf.short_of.end(), total.cable) ==
        shelf.short_of.end())
      shelf.short_of.push_back(total.cable);
  }
  return shelf;
}

/// A link to a list of this page; nothing where there is no such list.
std::string list_link(const PageRequest& r, const std::string& id, const std::string& words) {
  for (const Table& table : r.takeoff.tables)
    if (table.id == id && !table.rows.empty())
      return "<a href=\"#list-" + slug(id) + "\">" + words + "</a>";
  return "";
}

double price_of(const PageRequest& r) {
  double price = 0;
  for (const CableTotal& total : r.takeoff.totals) price += total.price;
  return price;
}

std::string shelf_tag(const PageRequest& r) {
  const Shelf shelf = shelf_of(r);
  if (r.takeoff.cut_m <= 0) return tag_html("On the shelf", "Nothing to cut", "");
  if (shelf.enough) return tag_html("On the shelf", "Enough", "for every run", "good");
  if (!shelf.anything_listed)
    return tag_html("On the shelf", "Nothing listed",
                    "the job names no spool that you have; all cable counts as to be bought");
  std::string words = "too little of ";
  for (const std::string& cable : shelf.short_of)
    words += (&cable == shelf.short_of.data() ? "" : ", ") + html(cable);
  return tag_html("On the shelf", "Not enough", words, "bad");
}

/// Spools to buy, alike ones together: "2 × 100 m speaker 2x2.5, white".
std::string shopping(const PageRequest& r) {
  std::map<std::tuple<std::string, std::string, double>, int> counts;
  std::vector<std::tuple<std::string, std::string, double>> order;
  for (const Spool& spool : r.takeoff.spools) {
    if (spool.on_shelf) continue;
    const auto key = std::tuple(spool.cable, spool.colour, spool.length_m);
    if (++counts[key] == 1) order.push_back(key);
  }
  std::string out;
  for (const auto& key : order) {
    const auto& [cable, colour, length] = key;
    out += (out.empty() ? "" : "<br>") + std::to_string(counts[key]) + " × " +
           metres(length, r, 0) + " " + html(cable) + (colour.empty() ? "" : ", " + html(colour));
  }
  for (const CableTotal& total : r.takeoff.totals) {
    for (const std::string& run : total.too_long)
      out +=
          (out.empty() ? "" : "<br>") + std::string("no spool is long enough for run ") + html(run);
  }
  return out;
}

std::string buy_tag(const PageRequest& r) {
  std::size_t spools = 0;
  std::size_t leads = 0;
  for (const Spool& spool : r.takeoff.spools)
    if (!spool.on_shelf) ++(spool.lead ? leads : spools);
  if (spools + leads == 0 && price_of(r) <= 0) return tag_html("Cable to buy", "None", shopping(r));
  std::string figure = spools > 0 || leads == 0 ? counted(spools, "spool") : "";
  if (leads > 0) figure += (figure.empty() ? "" : ", ") + counted(leads, "lead");
  if (const double price = price_of(r); price > 0)
    figure += ", " + format_number(price, 2) + " " + html(r.job.currency);
  const std::string more = list_link(r, "shopping", "All there is to buy");
  return tag_html("Cable to buy", figure, shopping(r) + (more.empty() ? "" : "<br>" + more),
                  "broad");
}

std::string holes_tag(const PageRequest& r) {
  std::size_t cut = 0;
  std::size_t there = 0;
  double widest = 0;
  for (const HoleRow& hole : r.takeoff.holes) {
    const bool is_there = hole.existing || hole.cut_already;
    ++(is_there ? there : cut);
    if (!is_there) widest = std::max(widest, hole.diameter_m);
  }
  std::string words;
  if (cut > 0) words = "widest " + format_size(widest, r.job.units);
  if (there > 0) words += (words.empty() ? "" : "; ") + counted(there, "ready hole") + " used";
  return tag_html("Holes to cut", std::to_string(cut), words);
}

std::string raceway_tag(const PageRequest& r) {
  double length = 0;
  const RacewayRow* most = nullptr;
  for (const RacewayRow& row : r.takeoff.raceways) {
    length += row.length_m;
    if (most == nullptr || row.length_m > most->length_m) most = &row;
  }
  std::string words;
  if (most != nullptr)
    words = "in " + counted(r.takeoff.raceways.size(), "size") + ", most of it " +
            html(most->raceway) + " (" + metres(most->length_m, r) + ")";
  return tag_html("Surface raceway", length > 0 ? metres(length, r) : "None", words);
}

std::string work_tag(const PageRequest& r) {
  const auto hours = [](double minutes) {
    return format_number(std::round(minutes / 30) / 2, 1) + " h";
  };
  for (const Table& table : r.takeoff.tables) {
    if (table.id != "ladder") continue;
    return tag_html("Work", "about " + hours(sum_of(table, "minutes")),
                    "from " + hours(sum_of(table, "least")) + " to " +
                        hours(sum_of(table, "most")) + ", step by step in the " +
                        list_link(r, "ladder", "ladder sheet"));
  }
  return tag_html("Work", "about " + hours(term_amount(r.plan, "work")),
                  "at the job's minutes a hole, metre and bend");
}

/// The eye that sees most speaks for all; the others stand below it.
std::string seen_tag(const PageRequest& r) {
  const std::vector<SeenFrom>& seen = r.takeoff.seen;
  if (seen.empty()) {
    const double weighted = term_amount(r.plan, "visible");
    return tag_html("In sight", weighted > 0.005 ? metres(weighted, r) : "Nothing",
                    weighted > 0.005
                        ? "of cable and raceway in the open; edges and corners count less"
                        : "all runs are out of sight");
  }
  const auto most =
      std::max_element(seen.begin(), seen.end(),
                       [](const SeenFrom& a, const SeenFrom& b) { return a.open_m < b.open_m; });
  return tag_html(
      "In sight", most->open_m < 0.05 ? "Nothing" : metres(most->open_m, r),
      html(most->words) + (seen.size() > 1 ? " <a href=\"#in-sight\">All eye points</a>" : ""),
      "broad");
}

std::string seen_html(const PageRequest& r) {
  if (r.takeoff.seen.size() < 2) return "";
  std::string out = "<h3 id=\"in-sight\">What will be seen</h3>\n<ul>\n";
  for (const SeenFrom& one : r.takeoff.seen) out += "<li>" + html(one.words) + "</li>\n";
  return out + "</ul>\n";
}

std::string findings_tag(const PageRequest& r) {
  std::size_t must = 0;
  std::size_t should = 0;
  for (const Finding& finding : r.findings.items) {
    must += finding.level == Level::must ? 1 : 0;
    should += finding.level == Level::should ? 1 : 0;
  }
  const std::string words = "<a href=\"#findings\">" + std::string("read ") +
                            (must + should == 1 ? "it" : "them") + "</a>";
  if (must > 0)
    return tag_html("To decide", std::to_string(must) + " must be settled",
                    (should > 0 ? "and " + std::to_string(should) + " to look at; " : "") + words,
                    "bad");
  if (should > 0) return tag_html("To decide", std::to_string(should), "to look at; " + words);
  return tag_html("To decide", "Nothing", "no conflict found with what was checked", "good");
}

std::string no_way_html(const PageRequest& r) {
  std::string out;
  for (const RunRow& row : r.takeoff.runs) {
    if (row.routed) continue;
    out += "<li>Run " + run_button(row.run, row.id) + " from " + html(row.from) + " to " +
           html(row.to) + ": " + html(row.blocked_by, 400) + "</li>\n";
  }
  return out.empty()
             ? out
             : "<div class=\"alarm\" role=\"note\"><p><b>■ No way was found for</b></p><ul>" + out +
                   "</ul></div>\n";
}

Table cables_table(const PageRequest& r) {
  Table table{"cable", "Cable by type", "", {}, {}};
  table.columns = {
      {"cable", "Cable", ColumnKind::text},       {"service", "For", ColumnKind::text},
      {"colour", "Colour", ColumnKind::text},     {"count", "Runs", ColumnKind::count},
      {"drawn", "Drawn", ColumnKind::length},     {"cut", "To cut", ColumnKind::length},
      {"longest", "Longest", ColumnKind::length}, {"shelf", "On the shelf", ColumnKind::length},
      {"enough", "Enough?", ColumnKind::text}};
  for (const CableTotal& total : r.takeoff.totals) {
    const bool enough = total.runs == 0 || total.shelf_enough;
    const double lacking = total.cut_m - total.shelf_m;
    // Together it may be enough, and no spool long enough for what is left.
    const std::string word = enough        ? "yes"
                             : lacking > 0 ? metres(lacking, r, 2) + " short"
                                           : "no: see how it is cut";
    table.rows.push_back({total.cable, std::string(to_string(total.service)), total.colour,
                          static_cast<double>(total.runs), total.drawn_m, total.cut_m,
                          total.longest_m, total.shelf_m, word});
  }
  return table;
}

std::string optimum_html(const PageRequest& r) {
  std::string out = "<p class=\"hint\">Cost of the plan: " + format_number(r.plan.objective, 2) +
                    " " + html(r.job.currency) +
                    ", work and looks weighed in (built-in prices are invented); ";
  if (r.plan.proven) return out + "proven the least on its track graph.</p>\n";
  const double gap = r.plan.bound > 0 ? (r.plan.objective - r.plan.bound) / r.plan.bound * 100 : 0;
  if (r.plan.bound <= 0) return out + "how near the least is not known.</p>\n";
  return out + "at most " + format_number(gap, 2) + " % above the least possible there.</p>\n";
}

std::string ramps_html(const PageRequest& r) {
  std::string out;
  for (const RampRow& one : r.takeoff.ramps)
    out += "<li>" + html(capitalised(one.name)) + ": " + metres(one.length_m, r, 2) + " over the floor from " +
           html(one.wall) + " to " + html(one.end) + (one.on_walkway ? ", across a walkway" : "") +
           ". Fix it down and mark it: it is a place to trip.</li>\n";
  return out.empty() ? out : "<h3>Ramps over cable on the floor</h3>\n<ul>\n" + out + "</ul>\n";
}

}  // namespace

std::string answer_html(const PageRequest& r) {
  std::size_t routed = 0;
  for (const RunRow& row : r.takeoff.runs) routed += row.routed ? 1 : 0;
  std::string out = "<section id=\"answer\"><h2>The answer</h2>\n" + no_way_html(r) +
                    "<dl class=\"tags\">\n" + shelf_tag(r) + buy_tag(r);
  out += tag_html("Cable in all", metres(r.takeoff.cut_m, r),
                  "in " + counted(routed, "run") + ", bends, slack and loops included");
  out += holes_tag(r) + raceway_tag(r) + work_tag(r) + seen_tag(r) + findings_tag(r) + "</dl>\n";
  if (!r.takeoff.totals.empty()) out += "<h3>Cable by type</h3>\n" + table_html(cables_table(r), r);
  out += seen_html(r) + ramps_html(r);
  return out + optimum_html(r) + "</section>\n";
}

}  // namespace roomloom::page
