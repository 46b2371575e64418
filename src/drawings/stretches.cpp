#include "drawings/stretches.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr double kTrunkWidth = 0.9, kRunWidth = 0.5;
constexpr double kLabelClear_mm = 0.9;
constexpr double kStub_mm = 16;         // of a line on paper, beside an end that names it
constexpr double kShortStub_mm = 6;     // beside a hole whose row tells it
constexpr double kLeastDrawn_mm = 0.4;  // what is seen end on is no line
constexpr double kBelow_m = 0.001;      // what touches is not hidden

const Run& run_of(const DrawingRequest& r, int run) {
  return r.ends.runs[static_cast<std::size_t>(run)];
}

Pen trunk_pen(const DrawingRequest& r, const std::vector<int>& runs) {
  const Service first = run_of(r, runs.front()).service;
  const bool mixed = std::any_of(runs.begin(), runs.end(),
                                 [&](int run) { return run_of(r, run).service != first; });
  if (mixed) return {shade(0.15), kTrunkWidth, {}};
  Pen pen = pen_of(first, kTrunkWidth);
  for (double& length : pen.dash_mm) length *= 1.5;
  return pen;
}

/// Where its name may stand: the middle of its longest segment, then other points of that.
std::vector<Vec2> stands_of(const View& view, const std::vector<Vec3>& line) {
  double most = -1;
  Vec2 from;
  Vec2 to;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec2 a = view(line[i]);
    const Vec2 b = view(line[i + 1]);
    if (norm(b - a) <= most) continue;
    most = norm(b - a);
    from = a;
    to = b;
  }
  std::vector<Vec2> stands;
  for (const double share : {0.5, 0.35, 0.65, 0.2, 0.8})
    stands.push_back(from + share * (to - from));
  return stands;
}

double drawn_length(const View& view, const std::vector<Vec3>& line) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) sum += norm(view(line[i + 1]) - view(line[i]));
  return sum;
}

struct Shown {
  const Stretch* stretch;
  bool hidden, labelled;
};

/// The longest of each set of runs, as drawn, carries their name on this sheet.
void choose_labels(std::vector<Shown>& all, const ShownStretches& shown, const View& view) {
  std::map<std::vector<int>, std::size_t> longest;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].stretch->runs.size() > 1 && all[i].stretch->trunk < 0) continue;
    const auto [found, fresh] = longest.try_emplace(all[i].stretch->runs, i);
    if (!fresh && drawn_length(view, all[i].stretch->line) >
                      drawn_length(view, all[found->second].stretch->line))
      found->second = i;
  }
  for (const auto& [runs, index] : longest) {
    const double drawn = drawn_length(view, all[index].stretch->line);
    const int first = runs.front();
    const bool stub =
        runs.size() == 1 && ((drawn < kStub_mm && shown.named_at_ends.count(first) > 0) ||
                             (drawn < kShortStub_mm && shown.told_by_holes.count(first) > 0));
    all[index].labelled = !stub && drawn > kLeastDrawn_mm;
  }
}

void draw_stretch(Work& work, const Trunks& trunks, const Shown& shown,
                  const std::vector<Cover>& covers) {
  const DrawingRequest& r = work.request;
  const Stretch& stretch = *shown.stretch;
  const std::vector<std::string> ids = run_ids(stretch.runs, r.ends);
  const bool bundle = stretch.runs.size() > 1;
  const Pen pen = bundle ? trunk_pen(r, stretch.runs)
                         : pen_of(run_of(r, stretch.runs.front()).service, kRunWidth);
  Pen hidden_pen = pen;
  hidden_pen.dash_mm = pen_of(LineKind::dashed).dash_mm;
  const std::string name =
      stretch.trunk >= 0 ? trunks.name(stretch.trunk) : shortened(ids, ids.size());
  const std::string drawn_name = (bundle ? "Trunk " : "Run ") + name;
  for (const LinePart& part : parts_of(stretch.line, work.view, covers)) {
    std::vector<Vec2> line;
    for (const Vec3& p : part.line) line.push_back(work.view(p));
    work.draft.path(line, shown.hidden || part.hidden ? hidden_pen : pen, drawn_name);
  }
  if (!shown.labelled) return;
  const std::string text = stretch.trunk >= 0 ? name + " × " + std::to_string(ids.size()) : name;
  TextStyle style{1.8, bundle, false, shade(0.1)};
  if (!bundle) style.colour = readable(pen.colour);
  std::vector<Vec2> stands = stands_of(work.view, stretch.line);
  Label label{text, stands.front(), style, kLabelClear_mm + pen.width_mm / 2, {}, drawn_name};
  label.also.assign(stands.begin() + 1, stands.end());
  work.draft.label(std::move(label));
}

void add_rows(Work& work, const Trunks& trunks, const std::set<int>& shown,
              const std::set<Service>& services) {
  if (!shown.empty()) work.rows.push_back({"Trunks: runs drawn as one line", true, {}});
  for (const int trunk : shown) {
    const std::vector<int>& runs = trunks.sets[static_cast<std::size_t>(trunk)];
    std::string text = trunks.name(trunk) + " × " + std::to_string(runs.size()) + ":";
    for (const std::string& id : run_ids(runs, work.request.ends)) text += " " + id;
    work.rows.push_back({text, false, trunk_pen(work.request, runs)});
  }
  if (!services.empty()) work.rows.push_back({"Runs by themselves", true, {}});
  for (const Service service : services)
    work.rows.push_back({to_string(service), false, pen_of(service, kRunWidth)});
}

bool is_hidden(const Vec3& p, const View& view, const std::vector<Cover>& covers) {
  const Vec2 at = view(p);
  const double height = view.frame.height(p);
  return std::any_of(covers.begin(), covers.end(), [&](const Cover& cover) {
    return height < cover.height - kBelow_m && at.x > cover.box.low.x && at.x < cover.box.high.x &&
           at.y > cover.box.low.y && at.y < cover.box.high.y;
  });
}

/// Where the segment passes a side of a cover, as shares of its length, ascending, 0 and 1 too.
std::vector<double> cuts_of(const Vec3& from, const Vec3& to, const View& view,
                            const std::vector<Cover>& covers) {
  const Vec2 a = view(from);
  const Vec2 way = view(to) - a;
  std::vector<double> cuts = {0, 1};
  const auto add = [&](double t) {
    if (t > 0 && t < 1) cuts.push_back(t);
  };
  for (const Cover& cover : covers) {
    for (const double x : {cover.box.low.x, cover.box.high.x})
      if (std::abs(way.x) > 1e-9) add((x - a.x) / way.x);
    for (const double y : {cover.box.low.y, cover.box.high.y})
      if (std::abs(way.y) > 1e-9) add((y - a.y) / way.y);
  }
  std::sort(cuts.begin(), cuts.end());
  return cuts;
}

}  // namespace

std::vector<LinePart> parts_of(const std::vector<Vec3>& line, const View& view,
                               const std::vector<Cover>& covers) {
  std::vector<LinePart> parts;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec3 way = line[i + 1] - line[i];
    const std::vector<double> cuts = cuts_of(line[i], line[i + 1], view, covers);
    for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
      const bool hidden = is_hidden(line[i] + 0.5 * (cuts[k] + cuts[k + 1]) * way, view, covers);
      if (parts.empty() || parts.back().hidden != hidden)
        parts.push_back({{line[i] + cuts[k] * way}, hidden});
      else if (k > 0)
        parts.back().line.pop_back();  // straight on
      parts.back().line.push_back(line[i] + cuts[k + 1] * way);
    }
  }
  return parts;
}

void draw_stretches(Work& work, const Trunks& trunks, const ShownStretches& shown) {
  std::vector<Shown> all;
  for (const Stretch* stretch : shown.seen) all.push_back({stretch, false, false});
  for (const Stretch* stretch : shown.hidden) all.push_back({stretch, true, false});
  choose_labels(all, shown, work.view);
  std::set<int> sets;
  std::set<Service> services;
  for (const Shown& one : all) {
    if (drawn_length(work.view, one.stretch->line) <= kLeastDrawn_mm && one.stretch->trunk < 0)
      continue;
    draw_stretch(work, trunks, one, shown.covers);
    if (one.stretch->trunk >= 0 && one.labelled) sets.insert(one.stretch->trunk);
    if (one.stretch->runs.size() == 1)
      services.insert(run_of(work.request, one.stretch->runs.front()).service);
  }
  add_rows(work, trunks, sets, services);
}

}  // namespace roomloom
