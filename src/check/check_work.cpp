#include <algorithm>
#include <map>
#include <set>

#include "check/csv_table.h"
#include "check/drawn_runs.h"

// ladder.csv followed step by step, as one who works by it would: nothing is done before what it
// needs, and in the evening nothing is open.

namespace roomloom::check {
namespace {

using Names = std::vector<std::string>;

struct Step {
  int day = 0;
  std::string task;
  Names runs, things;
};

/// What is listed with ", " between. Names may hold that themselves: the longest of `known` is it.
Names names_in(const std::string& cell, const Names& known) {
  Names names;
  std::string rest = cell;
  if (!rest.empty() && rest.front() == '\'') rest.erase(0, 1);  // made harmless for spreadsheets
  while (!rest.empty()) {
    std::size_t length = std::min(rest.size(), rest.find(", "));
    for (const std::string& name : known)
      if (name.size() > length && rest.compare(0, name.size(), name) == 0 &&
          (name.size() == rest.size() || rest.compare(name.size(), 2, ", ") == 0))
        length = name.size();
    names.push_back(rest.substr(0, length));
    rest.erase(0, length + 2);
  }
  return names;
}

class Worker {
 public:
  Worker(const Written& written, const Job& job, Findings& findings)
      : written_(written), job_(job), findings_(findings) {
    const std::vector<HoleRecord> records = hole_records(written.plan, job);
    for (std::size_t i = 0; i < records.size(); ++i)
      if (records[i].is_cut) recorded_.insert(written.plan.holes[i].name);
  }

  void work() {
    const std::vector<Step> steps = listed_steps();
    if (!readable_) return;
    read_pieces();
    int day = 0;
    for (const Step& step : steps) {
      if (step.day < day) wrong("ladder.csv", "goes back to an earlier day");
      if (step.day != day) evening(day);
      day = step.day;
      one(step);
    }
    evening(day);
    left_undone();
  }

 private:
  void wrong(const std::string& subject, const std::string& what) {
    findings_.items.push_back({"work-order", Level::must,
                               "The ladder sheet " + what + ": " + subject + ".", subject,
                               std::nullopt, "Route again, or restore the file.", "arithmetic"});
  }

  std::vector<Step> listed_steps() {
    const CsvTable table(written_.ladder);
    const std::size_t day = table.column("Day"), task = table.column("Task"),
                      runs = table.column("Cables, in order"),
                      things = table.column("Holes, tiles, pieces");
    readable_ = std::max({day, task, runs, things}) != CsvTable::npos;
    Names known;
    for (const ListedRun& run : written_.plan.runs) known.push_back(run.id);
    std::vector<Step> steps;
    if (!readable_) wrong("ladder.csv", "lacks a column");
    for (std::size_t i = 0; readable_ && i < table.row_count(); ++i) {
      const auto& row = table.row(i);
      steps.push_back({static_cast<int>(number_in(row[day]).value_or(0)), row[task],
                       names_in(row[runs], known), names_in(row[things], {})});
    }
    return steps;
  }

  void read_pieces() {
    const CsvTable table(written_.raceway_pieces);
    const std::size_t name = table.column("Piece"), start = table.column("Start is"),
                      end = table.column("End is");
    if (std::max({name, start, end}) == CsvTable::npos) return;  // told by check_raceway_cuts
    for (std::size_t i = 0; i < table.row_count(); ++i)
      pieces_[table.row(i)[name]] = table.row(i)[start] + ", " + table.row(i)[end] + ",";
  }

  const ListedRun* run_named(const std::string& id) const {
    for (const ListedRun& run : written_.plan.runs)
      if (run.id == id) return &run;
    return nullptr;
  }
  bool is_installed(const std::string& id) const {
    return std::any_of(job_.runs.begin(), job_.runs.end(),
                       [&](const RunSpec& spec) { return spec.id == id && spec.installed; });
  }
  bool lies(const ListedRun& run) const { return !run.takes_over.empty() || is_installed(run.id); }
  bool is_told_cut(const ListedHole& hole) const {
    return hole.existing || recorded_.count(hole.name) != 0 || cut_.count(hole.name) != 0;
  }
  /// What a lying run passes is there, whether a record tells of it or not.
  bool is_cut(const ListedHole& hole) const {
    return is_told_cut(hole) ||
           std::any_of(hole.runs.begin(), hole.runs.end(),
                       [&](const std::string& id) { return is_installed(id); });
  }

  void one(const Step& step) {
    if (step.task == "pull a metre of cable" || step.task == "lay a cord") pull(step);
    if (step.task == "test a run")
      for (const std::string& run : step.runs) test(run);
    for (const std::string& thing : step.things) {
      if (step.task == "lift a tile" && !lifted_.insert(thing).second)
        wrong(thing, "lifts a tile that is lifted already");
      if (step.task == "put a tile back" && lifted_.erase(thing) == 0)
        wrong(thing, "puts a tile back that is not lifted");
      if (step.task == "cut a hole") cut(thing);
      if (pieces_.count(thing) != 0) raceway(step.task, thing);
    }
    if (step.task == "put a tile back" || step.task == "close a metre of raceway") closed_ = true;
  }

  void cut(const std::string& name) {
    const auto& holes = written_.plan.holes;
    const auto hole = std::find_if(holes.begin(), holes.end(),
                                   [&](const ListedHole& one) { return one.name == name; });
    if (hole == holes.end()) return wrong(name, "cuts a hole that the plan has not");
    if (is_told_cut(*hole)) wrong(name, "cuts a hole that is there already");
    if (hole->crossing.rfind("tile ", 0) == 0 && lifted_.count(hole->crossing.substr(5)) == 0)
      wrong(name, "cuts a hole in a tile that is not lifted");
    cut_.insert(name);
  }

  void pull(const Step& step) {
    for (const std::string& id : step.runs) {
      if (run_named(id) == nullptr) wrong(id, "pulls a run that the plan has not");
      if (!pulled_.insert(id).second) wrong(id, "pulls a run twice");
      today_.insert(id);
      for (const ListedHole& hole : written_.plan.holes)
        if (!is_cut(hole) && std::find(hole.runs.begin(), hole.runs.end(), id) != hole.runs.end())
          wrong(id, "pulls a run through hole " + hole.name + " before it is cut");
    }
    for (const std::string& piece : step.things)
      if (open_.count(piece) == 0 || based_.count(piece) + (job_.as_built.empty() ? 0 : 1) == 0)
        wrong(piece, "lays cable in raceway that is not fixed, or closed");
  }

  void test(const std::string& id) {
    const ListedRun* run = run_named(id);
    if (run == nullptr) return wrong(id, "tests a run that the plan has not");
    if (!lies(*run) && today_.erase(id) == 0) wrong(id, "tests a run that was not pulled that day");
    if (closed_) wrong(id, "closes what it opened before a run is tested");
  }

  void raceway(const std::string& task, const std::string& name) {
    if (task == "fix a metre of raceway" && !based_.insert(name).second)
      wrong(name, "fixes a piece of raceway twice");
    if (task == "open raceway" && !open_.insert(name).second)
      wrong(name, "opens raceway that is open");
    if (task == "close a metre of raceway" && open_.erase(name) == 0)
      wrong(name, "closes raceway that is not open");
    if (task != "fit a raceway fitting") return;
    if (job_.as_built.empty() && based_.count(name) == 0)
      wrong(name, "puts fittings on raceway that is not fixed");
    if (open_.count(name) != 0) wrong(name, "puts fittings on raceway that is open");
    for (const ListedHole& hole : written_.plan.holes)
      if (!is_cut(hole) && pieces_[name].find(" " + hole.name + ",") != std::string::npos)
        wrong(name, "covers hole " + hole.name + " before it is cut");
  }

  void evening(int day) {
    const std::string of = " open after day " + std::to_string(day);
    for (const std::string& tile : lifted_) wrong(tile, "leaves a tile" + of);
    for (const std::string& piece : open_) wrong(piece, "leaves raceway" + of);
    for (const std::string& run : today_) wrong(run, "tests a run not on the day of its pull");
    lifted_.clear();
    open_.clear();
    today_.clear();
    closed_ = false;
  }

  void left_undone() {
    for (const ListedRun& run : written_.plan.runs)
      if (run.routed && !lies(run) && pulled_.count(run.id) == 0)
        wrong(run.id, "never pulls a run");
    for (const auto& [piece, ends] : pieces_)
      if (job_.as_built.empty() && based_.count(piece) == 0)
        wrong(piece, "never fixes a piece of raceway");
  }

  const Written& written_;
  const Job& job_;
  Findings& findings_;
  bool readable_ = false;
  std::map<std::string, std::string> pieces_;  ///< what their ends are made of
  std::set<std::string> recorded_;             ///< holes that are cut by the record
  std::set<std::string> lifted_, open_, today_, cut_, pulled_, based_;
  bool closed_ = false;  ///< something was closed that day
};

}  // namespace

void check_work(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  Worker(written, job, findings).work();
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
