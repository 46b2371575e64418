#include <algorithm>
#include <charconv>
#include <cmath>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kLengthTolerance = 0.0001;
constexpr double kPlaceTolerance = 0.0005;

void differs(const DrawnRun& run, const std::string& what, double a, double b, Findings& findings) {
  findings.items.push_back({"length-differs", Level::must,
                            "Run " + run.id + " is " + millimetres(a) + " long in " + what +
                                ", but " + millimetres(b) + " in routed.step.",
                            run.id, run.line.front(), "Route again, or restore the file.",
                            "geometry"});
}

// The farthest that a polyline's corners lie off another polyline.
double deviation(const std::vector<Vec3>& points, const std::vector<Vec3>& line) {
  double most = 0;
  for (const Vec3& p : points) {
    double nearest = 1e9;
    for (std::size_t i = 0; i + 1 < line.size() && nearest > 1e-7; ++i) {
      nearest = std::min(nearest, point_segment_distance(p, line[i], line[i + 1]));
    }
    most = std::max(most, nearest);
  }
  return most;
}

const WrittenThing* centreline(const WrittenModel& model, const std::string& id) {
  const WrittenThing* thing = find_thing(model, "Run " + id + " centreline");
  if (thing == nullptr || thing->lines.empty()) thing = find_thing(model, "Run " + id);
  return thing != nullptr && !thing->lines.empty() ? thing : nullptr;
}

void check_model(const Written& written, const WrittenModel& model, bool exact, const DrawnRun& run,
                 double step_m, Findings& findings) {
  const WrittenThing* thing = centreline(model, run.id);
  if (thing == nullptr) return;  // told already
  if (thing->lines.size() != 1) {
    findings.items.push_back({"place-differs", Level::must,
                              "Run " + run.id + " is broken into pieces in " + model.file + ".",
                              run.id, run.line.front(), "Route again, or restore the file.",
                              "geometry"});
    return;
  }
  const double length = exact ? thing->curve_m : polyline_length(thing->lines.front());
  if (std::abs(length - step_m) > kLengthTolerance) {
    differs(run, model.file, length, step_m, findings);
  }
  const WrittenThing* step = centreline(written.step, run.id);
  const double off = std::max(deviation(thing->lines.front(), step->lines.front()),
                              deviation(step->lines.front(), thing->lines.front()));
  if (off > kPlaceTolerance) {
    findings.items.push_back({"place-differs", Level::must,
                              "Run " + run.id + " lies " + millimetres(off) + " elsewhere in " +
                                  model.file + " than in routed.step.",
                              run.id, run.line.front(), "Route again, or restore the file.",
                              "geometry"});
  }
}

/// lengths.csv as a table with named columns.
class Table {
 public:
  explicit Table(const std::vector<std::vector<std::string>>& rows) : rows_(rows) {}

  /// The first column whose heading starts with `word`; npos if there is none.
  std::size_t column(const std::string& word) const {
    if (rows_.empty()) return std::string::npos;
    for (std::size_t i = 0; i < rows_[0].size(); ++i) {
      if (rows_[0][i].rfind(word, 0) == 0) return i;
    }
    return std::string::npos;
  }

  /// Metres a unit of a column: its heading ends in "(m)" or "(ft)".
  double unit_m(std::size_t column) const {
    return rows_[0][column].find("(ft)") != std::string::npos ? 0.3048 : 1;
  }

  const std::vector<std::string>* row_of(const std::string& run, std::size_t key) const {
    const std::vector<std::string>* found = nullptr;
    for (std::size_t i = 1; i < rows_.size(); ++i) {
      if (rows_[i][key] != run && rows_[i][key] != "'" + run) continue;
      if (found != nullptr) return nullptr;  // twice
      found = &rows_[i];
    }
    return found;
  }

 private:
  const std::vector<std::vector<std::string>>& rows_;
};

bool number(const std::string& cell, double& value) {
  const auto done = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return done.ec == std::errc{} && done.ptr == cell.data() + cell.size();
}

void list_differs(const std::string& run, const std::string& text, Findings& findings) {
  findings.items.push_back({"list-differs", Level::must, text, run, std::nullopt,
                            "Route again, or restore the file.", "arithmetic"});
}

void check_row(const Table& table, const DrawnRun& run, double step_m, Findings& findings) {
  const std::size_t key = table.column("Run");
  const std::size_t drawn_at = table.column("Drawn");
  const std::size_t cut_at = table.column("Cut");
  if (key == std::string::npos || drawn_at == std::string::npos || cut_at == std::string::npos) {
    return list_differs(run.id, "lengths.csv lacks a column Run, Drawn or Cut.", findings);
  }
  const auto* row = table.row_of(run.id, key);
  if (row == nullptr) {
    return list_differs(run.id, "lengths.csv has no row, or more than one, for run " + run.id + ".",
                        findings);
  }
  double drawn = 0;
  double cut = 0;
  if (!number((*row)[drawn_at], drawn) || !number((*row)[cut_at], cut)) {
    return list_differs(run.id, "lengths.csv holds no numbers for run " + run.id + ".", findings);
  }
  drawn *= table.unit_m(drawn_at);
  cut *= table.unit_m(cut_at);
  if (std::abs(drawn - step_m) > kLengthTolerance)
    differs(run, "lengths.csv", drawn, step_m, findings);
  // The columns between Drawn and Cut are the addends.
  double sum = drawn;
  for (std::size_t i = drawn_at + 1; i < cut_at; ++i) {
    double addend = 0;
    if (!number((*row)[i], addend)) {
      return list_differs(run.id, "lengths.csv holds no number in an addend of run " + run.id + ".",
                          findings);
    }
    sum += addend * table.unit_m(i);
  }
  const double columns = static_cast<double>(cut_at - drawn_at);
  if (std::abs(sum - cut) > kLengthTolerance + columns * 0.00005 ||
      std::abs(cut - run.listed->cut_m) > kLengthTolerance) {
    findings.items.push_back(
        {"cut-sum", Level::must,
         "The cut length of run " + run.id + " in lengths.csv is " + millimetres(cut) +
             "; drawn and addends make " + millimetres(sum) + ".",
         run.id, std::nullopt, "Route again, or restore the file.", "arithmetic"});
  }
  for (const auto& [heading, expected] :
       {std::pair{"From", run.listed->from}, std::pair{"To", run.listed->to},
        std::pair{"Cable", run.listed->cable}}) {
    const std::size_t at = table.column(heading);
    if (at == std::string::npos) continue;
    if ((*row)[at] == expected || (*row)[at] == "'" + expected) continue;
    list_differs(run.id,
                 "lengths.csv says " + (*row)[at] + " where the plan says " + expected +
                     " for run " + run.id + ".",
                 findings);
  }
}

}  // namespace

void check_lengths(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  const std::size_t before = findings.items.size();
  const Table table(written.lengths);
  for (const DrawnRun& run : runs) {
    const WrittenThing* step = centreline(written.step, run.id);
    if (step == nullptr) continue;  // told already
    check_model(written, written.step, true, run, step->curve_m, findings);
    check_model(written, written.runs_step, true, run, step->curve_m, findings);
    check_model(written, written.glb, false, run, step->curve_m, findings);
    check_model(written, written.runs_glb, false, run, step->curve_m, findings);
    check_model(written, written.obj, false, run, step->curve_m, findings);
    if (std::abs(run.listed->drawn_m - step->curve_m) > kLengthTolerance) {
      differs(run, "plan.json", run.listed->drawn_m, step->curve_m, findings);
    }
    check_row(table, run, step->curve_m, findings);
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
