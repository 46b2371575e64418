#include <algorithm>
#include <map>
#include <set>

#include "check/work_list.h"

// ladder.csv followed step by step, as one who works by it would: nothing is done before what it
// needs, and in the evening nothing is open.

namespace roomloom::check {
namespace {

class Worker {
 public:
  Worker(const WorkList& work, const Written& written, const Job& job, Findings& findings)
      : work_(work), written_(written), job_(job), findings_(findings) {
    const std::vector<HoleRecord> records = hole_records(written.plan, job);
    for (std::size_t i = 0; i < records.size(); ++i)
      if (records[i].is_cut) recorded_.insert(written.plan.holes[i].name);
  }

  void work() {
    int day = 0;
    for (std::size_t i = 0; i < work_.rows.size(); ++i) {
      const LadderRow& step = work_.rows[i];
      if (step.day < day) wrong("ladder.csv", "goes back to an earlier day");
      if (step.day != day) evening(day);
      day = step.day;
      number_ = static_cast<int>(i) + 1;
      one(step);
    }
    evening(day);
    left_undone();
  }

 private:
  void wrong(const std::string& subject, const std::string& what) {
    wrong_work(subject, what, findings_);
  }

  const ListedRun* run_named(const std::string& id) const {
    for (const ListedRun& run : written_.plan.runs)
      if (run.id == id) return &run;
    return nullptr;
  }
  bool lies(const ListedRun& run) const { return lies_before(run, job_); }
  bool is_told_cut(const ListedHole& hole) const {
    return hole.existing || recorded_.count(hole.name) != 0 || cut_.count(hole.name) != 0;
  }
  /// What a lying run passes is there, whether a record tells of it or not.
  bool is_cut(const ListedHole& hole) const {
    return is_told_cut(hole) ||
           std::any_of(hole.runs.begin(), hole.runs.end(), [&](const std::string& id) {
             const ListedRun* run = run_named(id);
             return run != nullptr && run->takes_over.empty() && lies(*run);
           });
  }

  void one(const LadderRow& step) {
    stand(step);
    if (step.task == "label an end") labelled_.insert(step.runs.begin(), step.runs.end());
    if (step.task == "pass a cable on")
      for (const std::string& run : step.runs) handle(run).stands.push_back(step.place);
    if (step.task == "pull a metre of cable" || step.task == "lay a cord") pull(step);
    if (step.task == "lead a lying cable on") led_on_.insert(step.runs.begin(), step.runs.end());
    if (step.task == "test a run")
      for (const std::string& run : step.runs) test(run);
    if (step.task == "fit a connector") fit(step);
    if (step.task == "coil and hang a cable" && step.runs.size() == 1 && step.things.size() == 1)
      hung_.insert({step.runs.front(), step.things.front()});
    for (const std::string& thing : step.things) {
      if (step.task == "lift a tile" && !lifted_.insert(thing).second)
        wrong(thing, "lifts a tile that is lifted already");
      if (step.task == "put a tile back" && lifted_.erase(thing) == 0)
        wrong(thing, "puts a tile back that is not lifted");
      if (step.task == "cut a hole") cut(thing);
      if (step.task == "mount a box" && !mounted_.insert(thing).second)
        wrong(thing, "mounts a box twice");
      if (step.task == "lay a metre of ramp") {
        uncovered_.erase(thing);
        laid_.insert(thing);
      }
      if (work_.pieces.count(thing) != 0) raceway(step.task, thing);
    }
    if (step.task == "put a tile back" || step.task == "close a metre of raceway") closed_ = true;
  }

  /// What is done at a place is done standing there.
  void stand(const LadderRow& step) {
    if (step.task == "move the ladder") {
      if (step.place == at_) wrong(step.place, "moves the ladder to where it stands");
      at_ = step.place;
    } else if (step.place.rfind("at ", 0) != 0 && step.place.rfind("from ", 0) != 0 &&
               step.place != at_) {
      wrong(step.place, "works from a place that the ladder was not moved to");
    }
  }

  /// The day and step that first handle a run, and where it is handed on.
  struct Handled {
    int day = 0, step = 0;
    Names stands;
  };
  Handled& handle(const std::string& run) {
    return handled_.try_emplace(run, Handled{work_.rows[number()].day, number_, {}}).first->second;
  }
  std::size_t number() const { return static_cast<std::size_t>(number_ - 1); }

  void fit(const LadderRow& step) {
    for (std::size_t i = 0; i < std::min(step.runs.size(), step.things.size()); ++i) {
      if (!fitted_.insert({step.runs[i], step.things[i]}).second)
        wrong(step.runs[i], "fits the connector at " + step.things[i] + " twice");
      for (const WorkedEnd& end : work_.ends)
        if (end.run == step.runs[i] && end.end == step.things[i] && !end.box.empty() &&
            mounted_.count(end.box) == 0)
          wrong(end.run, "fits a connector into box " + end.box + " before that is mounted");
    }
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

  void pull(const LadderRow& step) {
    for (const std::string& id : step.runs) {
      if (run_named(id) == nullptr) wrong(id, "pulls a run that the plan has not");
      if (!pulled_.insert(id).second) wrong(id, "pulls a run twice");
      if (labelled_.count(id) == 0) wrong(id, "pulls a run that is not labelled");
      today_.insert(id);
      handle(id);
      for (const ListedHole& hole : written_.plan.holes)
        if (std::find(hole.runs.begin(), hole.runs.end(), id) != hole.runs.end()) pass(id, hole);
      for (const auto& [name, piece] : work_.pieces)
        if (piece.runs.count(id) != 0) lay(name, piece);
      for (const auto& [name, ramp] : work_.ramps)
        if (ramp.runs.count(id) != 0) uncovered_.insert(name);
    }
    for (const std::string& name : step.things)
      if (const auto piece = work_.pieces.find(name); piece != work_.pieces.end())
        lay(name, piece->second);
  }

  void pass(const std::string& id, const ListedHole& hole) {
    if (!is_cut(hole)) wrong(id, "pulls a run through hole " + hole.name + " before it is cut");
    if (hole.crossing.rfind("tile ", 0) == 0 && handle(id).stands.empty())
      wrong(id, "hands a run on nowhere, which passes " + hole.name);
  }

  void lay(const std::string& name, const LaidPiece& piece) {
    if (open_.count(name) == 0 || (!piece.there && based_.count(name) == 0))
      wrong(name, "lays cable in raceway that is not fixed, or closed");
  }

  void test(const std::string& id) {
    const ListedRun* run = run_named(id);
    if (run == nullptr) return wrong(id, "tests a run that the plan has not");
    if (!lies(*run) && today_.erase(id) == 0) wrong(id, "tests a run that was not pulled that day");
    if (closed_) wrong(id, "closes what it opened before a run is tested");
    tested_.insert(id);
    for (const WorkedEnd& end : work_.ends)
      if (end.run == id && end.connectors > 0 && fitted_.count({id, end.end}) == 0)
        wrong(id, "tests a run whose connector at " + end.end + " is not fitted");
  }

  void raceway(const std::string& task, const std::string& name) {
    if (task == "cut raceway" && !cut_pieces_.insert(name).second)
      wrong(name, "cuts a piece of raceway twice");
    if (task == "fix a metre of raceway") base(name);
    if (task == "open raceway" && !open_.insert(name).second)
      wrong(name, "opens raceway that is open");
    if (task == "close a metre of raceway" && open_.erase(name) == 0)
      wrong(name, "closes raceway that is not open");
    if (task != "fit a raceway fitting") return;
    const LaidPiece& piece = work_.pieces.at(name);
    if (!piece.there && based_.count(name) == 0)
      wrong(name, "puts fittings on raceway that is not fixed");
    if (open_.count(name) != 0) wrong(name, "puts fittings on raceway that is open");
    for (const ListedHole& hole : written_.plan.holes)
      if (!is_cut(hole) && piece.ends.find(" " + hole.name + ",") != std::string::npos)
        wrong(name, "covers hole " + hole.name + " before it is cut");
  }

  void base(const std::string& name) {
    const LaidPiece& piece = work_.pieces.at(name);
    if (piece.there) wrong(name, "fixes a piece of raceway that is there already");
    if (cut_pieces_.count(name) == 0) wrong(name, "fixes a piece of raceway that is not cut");
    if (!based_.insert(name).second) wrong(name, "fixes a piece of raceway twice");
    std::set<std::string> boxes;
    for (const WorkedEnd& end : work_.ends)
      if (!end.box.empty() && mounted_.count(end.box) == 0 &&
          piece.ends.find("into box " + end.box + " ") != std::string::npos &&
          boxes.insert(end.box).second)
        wrong(name, "fixes raceway up to box " + end.box + " before that is mounted");
  }

  void evening(int day) {
    const std::string of = " open after day " + std::to_string(day);
    for (const std::string& tile : lifted_) wrong(tile, "leaves a tile" + of);
    for (const std::string& piece : open_) wrong(piece, "leaves raceway" + of);
    for (const std::string& run : today_) wrong(run, "tests a run not on the day of its pull");
    for (const std::string& ramp : uncovered_) wrong(ramp, "leaves cable on the floor bare" + of);
    lifted_.clear();
    open_.clear();
    today_.clear();
    uncovered_.clear();
    at_.clear();
    closed_ = false;
  }

  void left_undone() {
    for (const ListedRun& run : written_.plan.runs) {
      if (!run.routed) continue;
      if (!lies(run) && pulled_.count(run.id) == 0) wrong(run.id, "never pulls a run");
      if (!run.takes_over.empty() && (led_on_.count(run.id) == 0 || labelled_.count(run.id) == 0))
        wrong(run.id, "never leads a lying cable on");
      if (!run.takes_over.empty() && tested_.count(run.id) == 0) wrong(run.id, "never tests a run");
    }
    for (const auto& [name, piece] : work_.pieces)
      if (!piece.there && based_.count(name) == 0) wrong(name, "never fixes a piece of raceway");
    for (const auto& [name, ramp] : work_.ramps)
      if (!ramp.there && laid_.count(name) == 0) wrong(name, "never lays a ramp");
    for (const WorkedEnd& end : work_.ends) ended(end);
    for (const ListedHole& hole : written_.plan.holes)
      if (!is_cut(hole)) wrong(hole.name, "never cuts a hole");
    pulled_as_listed();
  }

  void ended(const WorkedEnd& end) {
    if (end.connectors > 0 && fitted_.count({end.run, end.end}) == 0)
      wrong(end.run, "never fits the connector at " + end.end);
    if (end.state == "fit now" && tested_.count(end.run) == 0) wrong(end.run, "never tests a run");
    if (end.state == "leave coiled" && hung_.count({end.run, end.end}) == 0)
      wrong(end.run, "never hangs the coil at " + end.end);
    if (!end.box.empty() && mounted_.count(end.box) == 0) wrong(end.box, "never mounts a box");
  }

  /// pull_order.csv tells the same days, steps and hand-ons.
  void pulled_as_listed() {
    for (const auto& [run, listed] : work_.pulled)
      if (handled_.count(run) == 0) wrong(run, "never pulls a run of pull_order.csv");
    for (const auto& [run, handled] : handled_) {
      const auto listed = work_.pulled.find(run);
      std::string stands;
      for (const std::string& place : handled.stands)
        stands += (stands.empty() ? "" : ", ") + place;
      if (listed == work_.pulled.end() || listed->second.day != handled.day ||
          listed->second.step != handled.step || listed->second.stands != stands)
        wrong(run, "handles a run otherwise than pull_order.csv has it");
    }
  }

  const WorkList& work_;
  const Written& written_;
  const Job& job_;
  Findings& findings_;
  int number_ = 0;  ///< of the row
  std::string at_;  ///< where the ladder stands
  std::set<std::string> lifted_, open_, today_, cut_, pulled_, based_, cut_pieces_, labelled_,
      led_on_, tested_, mounted_, laid_;
  std::set<std::string> uncovered_;  ///< ramps under which cable was laid that day
  std::set<std::pair<std::string, std::string>> fitted_, hung_;  ///< run and end
  std::map<std::string, Handled> handled_;
  std::set<std::string> recorded_;  ///< holes that are cut by the record
  bool closed_ = false;             ///< something was closed that day
};

}  // namespace

void check_work(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  if (const std::optional<WorkList> work = read_work(written, job, findings)) {
    Worker(*work, written, job, findings).work();
    check_work_amounts(*work, written, findings);
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
