#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <sstream>

#include "base/units.h"
#include "check/csv_table.h"
#include "check/drawn_runs.h"

namespace roomloom::check {

void list_differs(const std::string& subject, const std::string& text, Findings& findings) {
  findings.items.push_back({"list-differs", Level::must, text, subject, std::nullopt,
                            "Route again, or restore the file.", "arithmetic"});
}

namespace {

constexpr double kLengthTolerance = 0.0001;
constexpr double kSizeTolerance = 0.00006;  // sizes stand in tenths of a millimetre

/// One row of one list, held against what it must say.
struct Row {
  const CsvTable& table;
  const std::vector<std::string>& cells;
  std::string list, subject;
  Findings& findings;
  DisplayUnits units;

  const std::string* cell(const std::string& heading) const {
    const std::size_t at = table.column(heading);
    if (at != CsvTable::npos) return &cells[at];
    list_differs(subject, list + " lacks a column " + heading + ".", findings);
    return nullptr;
  }

  void wrong(const std::string& heading, const std::string& found,
             const std::string& wanted) const {
    list_differs(subject,
                 list + " says \"" + found + "\" under " + heading + " for " + subject +
                     "; the plan says \"" + wanted + "\".",
                 findings);
  }

  void text(const std::string& heading, const std::string& wanted) const {
    const std::string* found = cell(heading);
    if (found != nullptr && !holds_text(*found, wanted)) wrong(heading, *found, wanted);
  }

  void count(const std::string& heading, int wanted) const {
    text(heading, std::to_string(wanted));
  }

  void length(const std::string& heading, double wanted_m, double tolerance_m) const {
    const std::string* found = cell(heading);
    if (found == nullptr) return;
    const auto value = table.length_m(cells, table.column(heading));
    if (!value || std::abs(*value - wanted_m) > tolerance_m) {
      wrong(heading, *found, length_text(wanted_m, units));
    }
  }

  void names(const std::string& heading, const std::set<std::string>& wanted) const {
    const std::string* found = cell(heading);
    if (found == nullptr) return;
    std::set<std::string> listed;
    std::stringstream words(*found);
    for (std::string word; std::getline(words, word, ';');) {
      word.erase(0, word.find_first_not_of(" '"));
      listed.insert(word);
    }
    if (listed != wanted) wrong(heading, *found, std::to_string(wanted.size()) + " names");
  }
};

std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

// The columns from Drawn to Cut sum up, whatever they are called.
void check_sum(const Row& row, const ListedRun& run, Findings& findings) {
  const std::size_t from = row.table.column("Drawn");
  const std::size_t to = row.table.column("Cut");
  if (from == CsvTable::npos || to == CsvTable::npos || from > to) return;
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) {
    sum += row.table.length_m(row.cells, i).value_or(1e9);
  }
  const double cut = row.table.length_m(row.cells, to).value_or(0);
  if (std::abs(sum - cut) <= kLengthTolerance + 0.00005 * static_cast<double>(to - from)) return;
  findings.items.push_back(
      {"cut-sum", Level::must,
       "The cut length of run " + run.id + " in lengths.csv is " + length_text(cut, row.units) +
           "; drawn and addends make " + length_text(sum, row.units) + ".",
       run.id, std::nullopt, "Route again, or restore the file.", "arithmetic"});
}

std::string state_of(const ListedRun& run, const RunSpec* asked) {
  if (asked != nullptr && asked->installed) return "installed";
  if (!run.takes_over.empty()) return "to lead on: the cable of " + run.takes_over;
  return run.provision ? "provision" : "to pull";
}

/// A run of cable that is sold with its connectors on has a whole lead, of a length that is sold or
/// lies on the shelf; any other run has none.
void check_lead(const Row& row, const ListedRun& run, const RunSpec* asked, const Job& job) {
  constexpr const char* kHeading = "Ready-made lead";
  const CableType* cable = job.catalogue.cable(run.cable);
  const bool lies = (asked != nullptr && asked->installed) || !run.takes_over.empty();
  std::vector<double> lengths;
  if (cable != nullptr && cable->head_width_m > 0 && !lies) lengths = cable->put_ups_m;
  for (const SpoolSpec& spool : job.spools)
    if (spool.cable == run.cable && cable != nullptr && cable->head_width_m > 0 && !lies)
      lengths.push_back(spool.length_m);
  std::erase_if(lengths, [&](double length) { return length < run.cut_m - kLengthTolerance; });
  if (lengths.empty()) return row.text(kHeading, "");
  const std::string* found = row.cell(kHeading);
  if (found == nullptr) return;
  const auto lead_m = row.table.length_m(row.cells, row.table.column(kHeading));
  if (!lead_m || std::none_of(lengths.begin(), lengths.end(), [&](double length) {
        return std::abs(length - *lead_m) <= kLengthTolerance;
      }))
    row.wrong(kHeading, *found, "a length that is sold and long enough");
}

void check_run_row(const Written& written, const Row& row, const ListedRun& run,
                   const RunSpec* asked, const Job& job, Findings& findings) {
  row.text("From", run.from);
  row.text("To", run.to);
  row.text("Cable", run.cable);
  row.text("Service", run.service);
  if (const WrittenThing* thing = find_thing(written.glb, "Run " + run.id)) {
    const auto colour = thing->texts.find("colour");
    row.text("Colour", colour == thing->texts.end() ? "" : colour->second);
  }
  row.text("Why that colour", run.colour_why);
  if (!run.routed) {
    if (const std::string* state = row.cell("State"); state && state->rfind("no way", 0) != 0) {
      row.wrong("State", *state, "no way");
    }
    return;
  }
  row.text("State", state_of(run, asked));
  row.length("Way along the tracks", run.track_m, kLengthTolerance);
  row.length("Drawn", run.drawn_m, kLengthTolerance);
  for (const auto& [name, metres] : run.addends_m) {
    row.length(capitalised(name), metres, kLengthTolerance);
  }
  row.length("Cut", run.cut_m, kLengthTolerance);
  check_lead(row, run, asked, job);
  row.count("Bends", run.bends);
  row.count("Tight bends", run.tight_bends);
  row.names("Shares its way with", run.shares);
  check_sum(row, run, findings);
}

void check_run_list(const Written& written, const Job& job, Findings& findings) {
  const CsvTable table(written.lengths);
  const std::size_t key = table.column("Run");
  if (key == CsvTable::npos) {
    return list_differs("lengths.csv", "lengths.csv lacks a column Run.", findings);
  }
  if (table.row_count() != written.plan.runs.size()) {
    list_differs("lengths.csv", "lengths.csv has another number of rows than the plan has runs.",
                 findings);
  }
  for (const ListedRun& run : written.plan.runs) {
    const auto* cells = table.row_of(run.id, key);
    if (cells == nullptr) {
      list_differs(run.id, "lengths.csv has no row, or more than one, for run " + run.id + ".",
                   findings);
      continue;
    }
    const auto asked = std::find_if(job.runs.begin(), job.runs.end(),
                                    [&](const RunSpec& spec) { return spec.id == run.id; });
    check_run_row(written, {table, *cells, "lengths.csv", run.id, findings, written.units}, run,
                  asked == job.runs.end() ? nullptr : &*asked, job, findings);
  }
}

/// A lying run was measured, and may have cut corners: check_record judges its length.
void check_plan_sum(const ListedRun& run, bool lies, DisplayUnits units, Findings& findings) {
  double sum = run.drawn_m;
  for (const auto& [name, metres] : run.addends_m) sum += metres;
  if (!run.routed) return;
  const std::string cut =
      "The cut length of run " + run.id + " in plan.json is " + length_text(run.cut_m, units);
  const auto tell = [&](const std::string& text) {
    findings.items.push_back({"cut-sum", Level::must, text, run.id, std::nullopt,
                              "Route again, or restore the file.", "arithmetic"});
  };
  if (std::abs(sum - run.cut_m) > kLengthTolerance)
    tell(cut + "; drawn and addends make " + length_text(sum, units) + ".");
  else if (!lies && run.cut_m < run.drawn_m)
    tell(cut + ": shorter than its way, which is drawn " + length_text(run.drawn_m, units) +
         " long.");
}

void check_hole_list(const Written& written, const Job& job, Findings& findings) {
  const CsvTable table(written.hole_list);
  const std::size_t key = table.column("Hole");
  const auto& holes = written.plan.holes;
  if (key == CsvTable::npos || table.row_count() != holes.size()) {
    return list_differs("holes.csv",
                        "holes.csv has another number of rows than the plan has holes.", findings);
  }
  const std::vector<HoleRecord> records = hole_records(written.plan, job);
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const ListedHole& hole = holes[i];
    const auto* cells = table.row_of(hole.name, key);
    if (cells == nullptr) {
      list_differs(hole.name, "holes.csv has no row, or more than one, for " + hole.name + ".",
                   findings);
      continue;
    }
    const Row row{table, *cells, "holes.csv", hole.name, findings, written.units};
    row.text("In", hole.crossing);
    row.text("Kind", hole.kind);
    const bool tile = hole.crossing.rfind("tile ", 0) == 0;
    row.text("Tile", tile ? hole.crossing.substr(5) : "");
    row.length("Diameter", hole.diameter_m, kSizeTolerance);
    row.length("Bundle", hole.bundle_m, kSizeTolerance);
    row.length("Thickness", hole.thickness_m, kSizeTolerance);
    row.length("X", hole.centre.x, kLengthTolerance);
    row.length("Y", hole.centre.y, kLengthTolerance);
    row.length("Z", hole.centre.z, kLengthTolerance);
    row.names("Runs", {hole.runs.begin(), hole.runs.end()});
    const std::string* state = row.cell("State");
    const bool too_large = state != nullptr && *state == "larger than allowed here";
    if (!hole.existing && records[i].to_widen())
      row.text("State", "to widen: cut " + format_size(records[i].built_m, written.units, 1));
    else if (hole.existing || records[i].is_cut || !too_large)
      row.text("State", hole.existing ? "exists" : records[i].is_cut ? "cut already" : "to cut");
  }
}

/// No two lengths from the shop are half empty; those on the shelf may be short, and one that was
/// cut before may have held little.
double most_stocks(double full, const std::string& size, const Job& job) {
  double most = 2 * full + 1 + (job.as_built.empty() ? 0 : 1);
  for (const RacewayStock& shelf : job.work.raceway)
    if (shelf.raceway == size) most += shelf.count;
  return most;
}

/// Metres and pieces of each size of raceway_pieces.csv.
std::map<std::string, std::pair<double, int>> sizes_of_pieces(const Written& written) {
  std::map<std::string, std::pair<double, int>> sizes;
  const CsvTable table(written.raceway_pieces);
  const std::size_t size = table.column("Size"), length = table.column("Length");
  for (std::size_t i = 0; size != CsvTable::npos && i < table.row_count(); ++i) {
    auto& [metres, pieces] = sizes[table.row(i)[size]];
    metres += table.length_m(table.row(i), length).value_or(0);
    ++pieces;
  }
  return sizes;
}

std::set<std::string> boxes_of_ends(const Written& written) {
  std::set<std::string> boxes;
  const CsvTable table(written.end_list);
  const std::size_t box = table.column("Box");
  for (std::size_t i = 0; box != CsvTable::npos && i < table.row_count(); ++i)
    if (!table.row(i)[box].empty()) boxes.insert(table.row(i)[box]);
  return boxes;
}

void check_raceway_list(const Written& written, const Job& job, Findings& findings) {
  const auto sizes = sizes_of_pieces(written);
  std::map<std::string, double> planned;
  for (const ListedRaceway& piece : written.plan.raceways)
    planned[piece.size] += distance(piece.from, piece.to);
  const CsvTable table(written.raceway_list);
  constexpr double kMostOffAtEnds_m = 0.3;
  const std::set<std::string> boxes = boxes_of_ends(written);
  const std::size_t key = table.column("Raceway");
  if (key == CsvTable::npos || table.row_count() != sizes.size()) {
    return list_differs("raceway.csv",
                        "raceway.csv has another number of rows than raceway_pieces.csv has sizes.",
                        findings);
  }
  double widest = 0;
  for (const RacewayType& type : job.catalogue.raceways) widest = std::max(widest, type.width_m);
  for (const auto& [size, total] : sizes) {
    const auto* cells = table.row_of(size, key);
    if (cells == nullptr) {
      list_differs(size, "raceway.csv has no row, or more than one, for " + size + ".", findings);
      continue;
    }
    const Row row{table, *cells, "raceway.csv", size, findings, written.units};
    row.length("Length", total.first, kLengthTolerance * (1 + total.second));
    row.count("Straight pieces", total.second);
    // A piece is longer or shorter than its centreline by at most what its two ends are, and boxes
    // take their own share.
    const double most_off = kMostOffAtEnds_m * (total.second + static_cast<double>(boxes.size()));
    if (std::abs(planned[size] - total.first) > most_off)
      row.wrong("Length", length_text(total.first, written.units),
                length_text(planned[size], written.units));
    for (const RacewayType& type : job.catalogue.raceways) {
      if (type.id != size) continue;
      row.length("Width", type.width_m, kSizeTolerance);
      row.length("Depth", type.depth_m, kSizeTolerance);
      row.length("Stock length", type.stock_length_m, kLengthTolerance);
    }
    // No fewer stocks can hold the length, and no more are needed than there are pieces and metres.
    // At a tee a piece ends at the side of the other, at most half the widest raceway before its
    // centreline.
    // How many are bought is held against the cutting (check_raceway_cuts).
    const std::string* stocks = row.cell("Stocks (upper bound)");
    const auto stock_m = table.length_m(*cells, table.column("Stock length"));
    if (stocks == nullptr || !stock_m || *stock_m <= 0) continue;
    const double full = total.first / *stock_m;
    const double least = std::max(0.0, full - total.second * widest / *stock_m) - 1e-6;
    const double count = number_in(*stocks).value_or(-1);
    if (count < least || count > most_stocks(full, size, job) + 1e-3) {
      row.wrong("Stocks (upper bound)", *stocks,
                format_number(std::ceil(least), 0) + " to " +
                    format_number(std::floor(most_stocks(full, size, job)), 0));
    }
    const std::string* proof = row.cell("Cutting");
    if (proof != nullptr && *proof != "proven least" && *proof != "not proven least") {
      row.wrong("Cutting", *proof, "proven least\" or \"not proven least");
    }
  }
}

void check_totals(const Written& written, const Job& job, Findings& findings) {
  std::map<std::string, std::pair<double, int>> sums;
  for (const ListedRun& run : written.plan.runs) {
    const auto asked = std::find_if(job.runs.begin(), job.runs.end(),
                                    [&](const RunSpec& spec) { return spec.id == run.id; });
    if (!run.routed ||
        (asked != job.runs.end() && (asked->installed || !asked->takes_over.empty())))
      continue;
    sums[run.cable].first += run.cut_m;
    ++sums[run.cable].second;
  }
  for (const ListedTotal& total : written.plan.totals) {
    sums[total.cable].first -= total.cut_m;
    sums[total.cable].second -= total.runs;
  }
  for (const auto& [cable, rest] : sums) {
    if (std::abs(rest.first) <= kLengthTolerance && rest.second == 0) continue;
    list_differs(cable, "The total of " + cable + " in plan.json is not the sum of its runs.",
                 findings);
  }
}

}  // namespace

void check_lists(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  check_run_list(written, job, findings);
  for (const ListedRun& run : written.plan.runs) {
    const bool lies = std::any_of(job.runs.begin(), job.runs.end(), [&](const RunSpec& spec) {
      return spec.id == run.id && spec.installed;
    });
    check_plan_sum(run, lies, written.units, findings);
  }
  check_hole_list(written, job, findings);
  check_raceway_list(written, job, findings);
  check_totals(written, job, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
