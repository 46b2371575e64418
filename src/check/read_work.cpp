#include <algorithm>

#include "check/csv_table.h"
#include "check/work_list.h"

namespace roomloom::check {
namespace {

/// What is listed with `between` between. Names may hold that themselves: the longest of `known`
/// is it.
Names names_in(const std::string& cell, const Names& known, const std::string& between = ", ") {
  Names names;
  std::string rest = cell;
  if (!rest.empty() && rest.front() == '\'') rest.erase(0, 1);  // made harmless for spreadsheets
  while (!rest.empty()) {
    std::size_t length = std::min(rest.size(), rest.find(between));
    for (const std::string& name : known)
      if (name.size() > length && rest.compare(0, name.size(), name) == 0 &&
          (name.size() == rest.size() || rest.compare(name.size(), between.size(), between) == 0))
        length = name.size();
    names.push_back(rest.substr(0, length));
    rest.erase(0, length + between.size());
  }
  return names;
}

std::string plain(const std::string& cell) {
  return !cell.empty() && cell.front() == '\'' ? cell.substr(1) : cell;
}

/// The columns of a list by their headings; a list that lacks one is told.
class Columns {
 public:
  Columns(const CsvTable& table, const std::string& file, const Names& headings, Findings& findings)
      : table_(table) {
    for (const std::string& heading : headings) {
      const std::size_t column = table.column(heading);
      if (column == CsvTable::npos) {
        wrong_work(file, "cannot be followed: its column \"" + heading + "\" is missing", findings);
        whole_ = false;
      }
      columns_[heading] = column;
    }
  }
  explicit operator bool() const { return whole_; }
  std::string text(std::size_t row, const std::string& heading) const {
    return plain(table_.row(row)[columns_.at(heading)]);
  }
  double number(std::size_t row, const std::string& heading) const {
    return number_in(text(row, heading)).value_or(0);
  }
  double metres(std::size_t row, const std::string& heading) const {
    return table_.length_m(table_.row(row), columns_.at(heading)).value_or(0);
  }
  /// The list has lengths to five digits of its unit.
  double rounding_m(const std::string& heading) const {
    return 0.5e-5 * table_.unit_m(columns_.at(heading));
  }

 private:
  const CsvTable& table_;
  std::map<std::string, std::size_t> columns_;
  bool whole_ = true;
};

bool read_ladder(WorkList& work, const Written& written, Findings& findings) {
  const CsvTable table(written.ladder);
  const Columns in(table, "ladder.csv",
                   {"Day", "Where", "Task", "Cables, in order", "Holes, tiles, pieces", "Minutes",
                    "At best", "At worst"},
                   findings);
  if (!in) return false;
  Names runs, ends;
  for (const ListedRun& run : written.plan.runs) runs.push_back(run.id);
  for (const auto& [end, at] : written.plan.ends) ends.push_back(end);
  for (std::size_t i = 0; i < table.row_count(); ++i)
    work.rows.push_back({static_cast<int>(in.number(i, "Day")), in.text(i, "Where"),
                         in.text(i, "Task"), names_in(in.text(i, "Cables, in order"), runs),
                         names_in(in.text(i, "Holes, tiles, pieces"), ends),
                         in.number(i, "Minutes"), in.number(i, "At best"),
                         in.number(i, "At worst")});
  return true;
}

bool read_pieces(WorkList& work, const Written& written, Findings& findings) {
  const CsvTable table(written.raceway_pieces);
  const Columns in(table, "raceway_pieces.csv",
                   {"Piece", "State", "Length", "Start is", "End is", "Runs"}, findings);
  for (std::size_t i = 0; in && i < table.row_count(); ++i) {
    const Names runs = names_in(in.text(i, "Runs"), {}, "; ");
    work.pieces[in.text(i, "Piece")] = {in.text(i, "Start is") + ", " + in.text(i, "End is") + ",",
                                        {runs.begin(), runs.end()},
                                        in.metres(i, "Length"),
                                        in.rounding_m("Length"),
                                        in.text(i, "State") == "there already"};
  }
  return static_cast<bool>(in);
}

bool read_ends(WorkList& work, const Written& written, Findings& findings) {
  const CsvTable table(written.end_list);
  const Columns in(table, "ends.csv", {"End", "Run", "State", "Count", "Box"}, findings);
  for (std::size_t i = 0; in && i < table.row_count(); ++i)
    work.ends.push_back({in.text(i, "Run"), in.text(i, "End"), in.text(i, "State"),
                         in.text(i, "Box"), in.number(i, "Count")});
  return static_cast<bool>(in);
}

bool read_ramps(WorkList& work, const Written& written, Findings& findings) {
  if (written.ramps.empty()) return true;  // a room without has no such list
  const CsvTable table(written.ramps);
  const Columns in(table, "ramps.csv", {"Ramp", "Length", "State", "Runs"}, findings);
  for (std::size_t i = 0; in && i < table.row_count(); ++i) {
    const Names runs = names_in(in.text(i, "Runs"), {}, "; ");
    work.ramps[in.text(i, "Ramp")] = {in.metres(i, "Length"),
                                      in.rounding_m("Length"),
                                      {runs.begin(), runs.end()},
                                      in.text(i, "State") == "there already"};
  }
  return static_cast<bool>(in);
}

bool read_pull_order(WorkList& work, const Written& written, Findings& findings) {
  const CsvTable table(written.pull_order);
  const Columns in(table, "pull_order.csv",
                   {"Day", "Step of the ladder sheet", "Handed on at", "Run"}, findings);
  for (std::size_t i = 0; in && i < table.row_count(); ++i)
    work.pulled[in.text(i, "Run")] = {static_cast<int>(in.number(i, "Day")),
                                      static_cast<int>(in.number(i, "Step of the ladder sheet")),
                                      in.text(i, "Handed on at")};
  return static_cast<bool>(in);
}

/// As the job has them, or as everybody has them; only what was recorded stands in the list alone.
bool read_minutes(WorkList& work, const Written& written, const Job& job, Findings& findings) {
  constexpr double kRounding = 0.05;
  const CsvTable table(written.minutes);
  const Columns in(table, "minutes.csv", {"Task", "Minutes", "At best", "At worst", "From"},
                   findings);
  for (std::size_t i = 0; in && i < table.row_count(); ++i) {
    const std::string task = in.text(i, "Task"), from = in.text(i, "From");
    TaskMinutes listed{in.number(i, "Minutes"), in.number(i, "At best"), in.number(i, "At worst"),
                       kRounding};
    TaskMinutes known = listed;
    if (from == "invented")
      for (const StandardTask& one : kStandardTasks)
        if (task == one.name) known = {one.minutes, one.least, one.most, 0};
    for (const WorkTask& one : job.work.minutes)
      if (task == one.name) known = {one.minutes, one.least, one.most, 0};
    if (std::abs(known.each - listed.each) > kRounding + 1e-6 ||
        std::abs(known.least - listed.least) > kRounding + 1e-6 ||
        std::abs(known.most - listed.most) > kRounding + 1e-6)
      wrong_work(task, "is timed by other minutes than minutes.csv has", findings);
    work.minutes[task] = known;
  }
  return static_cast<bool>(in);
}

}  // namespace

void wrong_work(const std::string& subject, const std::string& what, Findings& findings) {
  findings.items.push_back({"work-order", Level::must,
                            "The ladder sheet " + what + ": " + subject + ".", subject,
                            std::nullopt, "Route again, or restore the file.", "arithmetic"});
}

std::optional<WorkList> read_work(const Written& written, const Job& job, Findings& findings) {
  WorkList work;
  bool whole = read_ladder(work, written, findings);
  whole = read_pieces(work, written, findings) && whole;
  whole = read_ends(work, written, findings) && whole;
  whole = read_ramps(work, written, findings) && whole;
  whole = read_pull_order(work, written, findings) && whole;
  whole = read_minutes(work, written, job, findings) && whole;
  if (!whole) return std::nullopt;
  return work;
}

bool lies_before(const ListedRun& run, const Job& job) {
  return !run.takes_over.empty() ||
         std::any_of(job.runs.begin(), job.runs.end(),
                     [&](const RunSpec& spec) { return spec.id == run.id && spec.installed; });
}

}  // namespace roomloom::check
