#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "check/csv_table.h"
#include "check/work_list.h"

// How much of each task ladder.csv holds, against what the other lists ask for, and its minutes.

namespace roomloom::check {
namespace {

constexpr double kShown = 0.05;  // minutes: the list has one digit

class Amounts {
 public:
  Amounts(const WorkList& work, const Written& written, Findings& findings)
      : work_(work), written_(written), findings_(findings) {}

  void compare() {
    for (std::size_t i = 0; i < work_.rows.size(); ++i) hold(work_.rows[i], i + 1);
    const double hooks = bought(
        [](const std::string& item) { return item.rfind("hook ", 0) == 0 || item == "support"; });
    same("fix a support", hooks, things_of("fix a support"), "shopping.csv");
    const double fittings = sum_of(written_.raceway_fittings, "Count");
    same("fit a raceway fitting", fittings, by_minutes("fit a raceway fitting"),
         "raceway_fittings.csv");
    const double ties = bought([](const std::string& item) { return item == "hook-and-loop tie"; });
    same("tie a bundle", ties, by_minutes("tie a bundle"), "shopping.csv");
    double metres_of_ramp = 0;  // whole ones
    for (const auto& [name, ramp] : work_.ramps)
      metres_of_ramp += ramp.there ? 0 : std::ceil(ramp.length_m - 1e-4);
    same("lay a metre of ramp", metres_of_ramp,
         bought([](const std::string& item) { return item.rfind("floor cable ramp", 0) == 0; }),
         "ramps.csv");
    compare_sum();
  }

 private:
  /// Of what a task is counted in.
  struct Amount {
    double count = 0;
    double rounding = 0;  ///< of lengths as their lists have them
  };

  void add_length(const std::string& thing, Amount& metres) const {
    const auto add = [&](const auto& list) {
      const auto one = list.find(thing);
      if (one == list.end()) return false;
      metres.count += one->second.length_m;
      metres.rounding += one->second.rounding_m;
      return true;
    };
    if (!add(work_.pieces)) add(work_.ramps);
  }

  /// None where the row does not name it.
  std::optional<Amount> amount(const LadderRow& row) const {
    if (row.task == "tie a bundle" || row.task == "fit a raceway fitting") return std::nullopt;
    if (row.task == "move the ladder") return Amount{1};
    if (row.task == "label an end") return Amount{2 * static_cast<double>(row.runs.size())};
    Amount metres;
    if (row.task == "pull a metre of cable") {
      for (const ListedRun& run : written_.plan.runs)
        metres.count +=
            static_cast<double>(std::count(row.runs.begin(), row.runs.end(), run.id)) * run.cut_m;
      return metres;
    }
    if (row.task == "fit a connector") return Amount{connectors(row)};
    if (row.task.find(" a metre of ") != std::string::npos) {
      for (const std::string& thing : row.things) add_length(thing, metres);
      return metres;
    }
    const bool by_run = row.task == "pass a cable on" || row.task == "lead a lying cable on" ||
                        row.task == "test a run" || row.task == "lay a cord" ||
                        row.task == "coil and hang a cable";
    return Amount{static_cast<double>((by_run ? row.runs : row.things).size())};
  }

  double connectors(const LadderRow& row) const {
    double count = 0;
    for (const WorkedEnd& end : work_.ends)
      for (std::size_t i = 0; i < std::min(row.runs.size(), row.things.size()); ++i)
        if (row.runs[i] == end.run && row.things[i] == end.end) count += end.connectors;
    return count;
  }

  void hold(const LadderRow& row, std::size_t number) {
    const auto task = work_.minutes.find(row.task);
    if (task == work_.minutes.end())
      return wrong_work(row.task, "has a task that minutes.csv does not time", findings_);
    const TaskMinutes& each = task->second;
    const std::optional<Amount> named = amount(row);
    const auto [count, rounding] = named.value_or(Amount{});
    for (const auto& [listed, one] :
         {std::pair{row.minutes, each.each}, {row.least, each.least}, {row.most, each.most}}) {
      const double right = count * one;
      const double play = kShown + count * each.rounding + rounding * one + 1e-6 * (1 + right);
      if (named ? std::abs(listed - right) > play : one > 0 && listed <= 0)
        return wrong_work("step " + std::to_string(number) + ", " + row.task,
                          "gives " + format_number(listed, 1) + " minutes to what takes " +
                              format_number(right, 1),
                          findings_);
    }
  }

  double things_of(const std::string& task) const {
    double count = 0;
    for (const LadderRow& row : work_.rows)
      if (row.task == task) count += static_cast<double>(row.things.size());
    return count;
  }

  /// How often a task is done, told by its minutes; with the play that rounding leaves.
  double by_minutes(const std::string& task) {
    double minutes = 0, rows = 0;
    for (const LadderRow& row : work_.rows)
      if (row.task == task) {
        minutes += row.minutes;
        ++rows;
      }
    const auto each = work_.minutes.find(task);
    if (each == work_.minutes.end() || each->second.each <= 0) {
      play_ = 1e30;  // nobody told how long it takes
      return 0;
    }
    const double count = minutes / each->second.each;
    play_ = (kShown * rows + count * each->second.rounding) / each->second.each + 1e-6;
    return count;
  }

  double bought(const auto& is_it) const {
    const CsvTable table(written_.shopping);
    const std::size_t item = table.column("Item"), count = table.column("Count");
    double sum = 0;
    if (std::max(item, count) == CsvTable::npos) return sum;
    for (std::size_t i = 0; i < table.row_count(); ++i)
      if (is_it(table.row(i)[item])) sum += number_in(table.row(i)[count]).value_or(0);
    return sum;
  }

  static double sum_of(const std::vector<std::vector<std::string>>& rows, const char* heading) {
    const CsvTable table(rows);
    const std::size_t column = table.column(heading);
    double sum = 0;
    for (std::size_t i = 0; column != CsvTable::npos && i < table.row_count(); ++i)
      sum += number_in(table.row(i)[column]).value_or(0);
    return sum;
  }

  void same(const std::string& task, double wanted, double found, const std::string& list) {
    if (std::abs(wanted - found) > std::exchange(play_, 1e-6))
      wrong_work(task,
                 "does " + format_number(found, 1) + " times what " + list + " has " +
                     format_number(wanted, 1) + " times",
                 findings_);
  }

  /// shopping.csv tells the minutes of all the work.
  void compare_sum() {
    const CsvTable table(written_.shopping);
    const std::size_t kind = table.column("Kind"), count = table.column("Count");
    double minutes = 0;
    for (const LadderRow& row : work_.rows) minutes += row.minutes;
    for (std::size_t i = 0; std::max(kind, count) != CsvTable::npos && i < table.row_count(); ++i)
      if (table.row(i)[kind] == "Work") {
        play_ = 0.5 + kShown * static_cast<double>(work_.rows.size());
        same("all minutes", number_in(table.row(i)[count]).value_or(-1), minutes, "shopping.csv");
        return;
      }
    wrong_work("shopping.csv", "has no sum of its minutes", findings_);
  }

  const WorkList& work_;
  const Written& written_;
  Findings& findings_;
  double play_ = 1e-6;  ///< of the next comparison
};

}  // namespace

void check_work_amounts(const WorkList& work, const Written& written, Findings& findings) {
  Amounts(work, written, findings).compare();
}

}  // namespace roomloom::check
