#include "drawings/sheets.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <set>

#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

const TextStyle kLabel{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kStrong{1.8, true, false, {0.1, 0.1, 0.1}};
constexpr double kTrunkWidth = 0.9, kRunWidth = 0.5;

const Run& run_of(const DrawingRequest& r, int run) {
  return r.ends.runs[static_cast<std::size_t>(run)];
}

/// The colour of a trunk: that of its service, or near black where it carries several.
Pen trunk_pen(const DrawingRequest& r, const std::vector<int>& runs) {
  const Service first = run_of(r, runs.front()).service;
  const bool mixed = std::any_of(runs.begin(), runs.end(),
                                 [&](int run) { return run_of(r, run).service != first; });
  if (mixed) return {shade(0.15), kTrunkWidth, {}};
  Pen pen = pen_of(first, kTrunkWidth);
  for (double& length : pen.dash_mm) length *= 1.5;
  return pen;
}

Vec2 middle_of_longest(const View& view, const std::vector<Vec3>& line) {
  double most = -1;
  Vec2 middle;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec2 a = view(line[i]);
    const Vec2 b = view(line[i + 1]);
    if (norm(b - a) <= most) continue;
    most = norm(b - a);
    middle = 0.5 * (a + b);
  }
  return middle;
}

double drawn_length(const View& view, const std::vector<Vec3>& line) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) sum += norm(view(line[i + 1]) - view(line[i]));
  return sum;
}

}  // namespace

std::vector<Vec2> on_paper(const View& view, const Ring& ring, const Frame& frame) {
  std::vector<Vec2> points;
  for (const Vec2& p : ring) points.push_back(view(frame.to_world(p)));
  return points;
}

void extend(Vec2& low, Vec2& high, const Vec2& p) {
  low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  high = {std::max(high.x, p.x), std::max(high.y, p.y)};
}

void draw_stretch(Work& work, const Stretch& stretch, bool labelled, bool hidden) {
  const DrawingRequest& r = work.request;
  const std::vector<std::string> ids = run_ids(stretch.runs, r.ends);
  const bool bundle = stretch.runs.size() > 1;
  Pen pen = bundle ? trunk_pen(r, stretch.runs)
                   : pen_of(run_of(r, stretch.runs.front()).service, kRunWidth);
  if (hidden) pen.dash_mm = pen_of(LineKind::dashed).dash_mm;
  std::vector<Vec2> line;
  for (const Vec3& p : stretch.line) line.push_back(work.view(p));
  const std::string name = stretch.trunk >= 0 ? trunk_name(stretch.trunk) : shortened(ids, 4);
  work.draft.path(line, pen, (bundle ? "Trunk " : "Run ") + name);
  if (!labelled) return;
  const std::string text =
      stretch.trunk >= 0 ? name + " × " + std::to_string(ids.size()) : shortened(ids, 4);
  TextStyle style = bundle ? kStrong : kLabel;
  if (!bundle) style.colour = pen.colour;
  style.colour = readable(style.colour);
  work.draft.label({text, middle_of_longest(work.view, stretch.line), style, 0.9, {}, name});
}

std::vector<char> label_choice(const std::vector<const Stretch*>& stretches) {
  std::map<std::vector<int>, std::size_t> longest;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const auto [found, fresh] = longest.try_emplace(stretches[i]->runs, i);
    if (!fresh && line_length(*stretches[i]) > line_length(*stretches[found->second]))
      found->second = i;
  }
  std::vector<char> chosen(stretches.size(), 0);
  for (const auto& [runs, index] : longest) chosen[index] = 1;
  return chosen;
}

void draw_stretches(Work& work, const Trunks& trunks, const std::vector<const Stretch*>& stretches,
                    std::size_t hidden_from) {
  const std::vector<char> labelled = label_choice(stretches);
  std::set<int> shown;
  std::set<Service> services;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const Stretch& stretch = *stretches[i];
    const bool seen = drawn_length(work.view, stretch.line) > 0.4;
    if (!seen && stretch.trunk < 0) continue;
    draw_stretch(work, stretch, labelled[i] != 0 && seen, i >= hidden_from);
    if (stretch.trunk >= 0) shown.insert(stretch.trunk);
    for (const int run : stretch.runs) services.insert(run_of(work.request, run).service);
  }
  if (!shown.empty()) work.rows.push_back({"Trunks: runs drawn as one line", true, {}});
  for (const int trunk : shown) {
    const std::vector<int>& runs = trunks.sets[static_cast<std::size_t>(trunk)];
    std::string text = trunk_name(trunk) + " × " + std::to_string(runs.size()) + ":";
    for (const std::string& id : run_ids(runs, work.request.ends)) text += " " + id;
    work.rows.push_back({text, false, trunk_pen(work.request, runs)});
  }
  if (!services.empty()) work.rows.push_back({"Runs by themselves", true, {}});
  for (const Service service : services)
    work.rows.push_back({to_string(service), false, pen_of(service, kRunWidth)});
}

void draw_end(Work& work, int index) {
  const DrawingRequest& r = work.request;
  const End& end = r.ends.ends[static_cast<std::size_t>(index)];
  std::vector<std::string> ids;
  std::optional<Service> service;
  for (const Run& run : r.ends.runs) {
    if (run.from != index && run.to != index) continue;
    ids.push_back(plain_text(run.id, 16));
    service = run.service;
  }
  const Vec2 at = work.view(end.place.position);
  const Pen pen = service ? Pen{pen_of(*service, 0.35).colour, 0.35, {}} : pen_of(LineKind::wide);
  const std::string id = plain_text(end.id, 24);
  work.draft.circle(at, 1.5, pen, std::nullopt, "End " + id);
  work.draft.path({at - Vec2{1.06, 1.06}, at + Vec2{1.06, 1.06}}, pen);
  work.draft.path({at - Vec2{1.06, -1.06}, at + Vec2{1.06, -1.06}}, pen);
  std::string text = id;
  if (!ids.empty()) text += " · " + shortened(ids, 4);
  if (end.state == EndState::coiled) text += " · coiled";
  work.draft.label({text, at, kLabel, 2.2, {}, id});
}

void draw_hole(Work& work, const HoleShape& hole) {
  const Vec2 at = work.view(hole.centre);
  const double radius = std::max(0.35, work.view.mm(hole.diameter_m / 2));
  const double reach = radius + 1.4;
  const Pen thin = {shade(0.1), 0.13, {}};
  const std::string name = plain_text(hole.name, 16);
  work.draft.circle(at, radius, Pen{shade(0), 0.35, {}}, std::nullopt, "Hole " + name);
  work.draft.path({at - Vec2{reach, 0}, at + Vec2{reach, 0}}, thin);
  work.draft.path({at - Vec2{0, reach}, at + Vec2{0, reach}}, thin);
  const std::string size = dimension(hole.diameter_m, work.request.job.units);
  work.draft.label({name + " ⌀" + size, at, kStrong, radius + 1.2, {}, "Hole " + name});
}

void draw_gear_outline(Work& work, const GearBox& gear) {
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (int i = 0; i < 8; ++i) {
    extend(low, high,
           work.view(gear.frame.to_world(Vec3{(i & 1) != 0 ? gear.size.x : 0.0,
                                              (i & 2) != 0 ? gear.size.y : 0.0,
                                              (i & 4) != 0 ? gear.size.z : 0.0})));
  }
  const std::string name = plain_text(gear.id, 24);
  work.draft.shape({low, {high.x, low.y}, high, {low.x, high.y}},
                   pen_of(LineKind::double_chain, shade(0.3)), std::nullopt, "Gear " + name);
  work.draft.label({name, 0.5 * (low + high), {1.8, false, false, shade(0.3)}, 0, {}, name});
}

std::string stem_of(const std::string& name) {
  std::string stem;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80 && std::isalnum(byte) != 0) {
      stem += static_cast<char>(std::tolower(byte));
    } else if (!stem.empty() && stem.back() != '-') {
      stem += '-';
    }
    if (stem.size() >= 30) break;
  }
  while (!stem.empty() && stem.back() == '-') stem.pop_back();
  return stem.empty() ? "sheet" : stem;
}

std::vector<Page> draw_sheets(const DrawingRequest& request, const Lettering& lettering) {
  const Trunks trunks = trunks_of(request);
  std::vector<Page> pages;
  draw_void_plans(pages, request, trunks, lettering);
  draw_ceilings(pages, request, trunks, lettering);
  draw_elevations(pages, request, trunks, lettering);
  draw_sections(pages, request, trunks, lettering);
  draw_gear_ends(pages, request, lettering);
  draw_lists(pages, request, trunks, lettering);
  add_title_blocks(pages, request, lettering);
  return pages;
}

}  // namespace roomloom
