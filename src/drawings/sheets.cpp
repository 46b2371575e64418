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

constexpr std::size_t kIdsAtEnd = 4;
constexpr double kEnd_mm = 1.5;
constexpr int kPointFirst = -1;  // rank of what is one point; lines have room along them

const TextStyle kLabel{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kStrong{1.8, true, false, {0.1, 0.1, 0.1}};

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
  work.draft.circle(at, kEnd_mm, pen, std::nullopt, "End " + id);
  work.draft.path({at - Vec2{1.06, 1.06}, at + Vec2{1.06, 1.06}}, pen);
  work.draft.path({at - Vec2{1.06, -1.06}, at + Vec2{1.06, -1.06}}, pen);
  std::string text = id;
  if (!ids.empty()) text += " · " + shortened(ids, kIdsAtEnd);
  if (end.state == EndState::coiled) text += " · coiled";
  Label label{text, at, kLabel, 2.2, {}, "End " + id};
  label.edge_mm = kEnd_mm;
  label.rank = kPointFirst;
  work.draft.label(std::move(label));
}

void draw_coil_supports(Work& work, const std::vector<int>& ends) {
  constexpr double kHalf_mm = 1.2, kOver_mm = 1.95, kHigh_mm = 0.45, kBetween_mm = 0.6;
  const std::vector<Vec2> stroke = {
      {-kHalf_mm, kHigh_mm}, {-kHalf_mm, 0}, {kHalf_mm, 0}, {kHalf_mm, kHigh_mm}};
  const DrawingRequest& r = work.request;
  const Pen pen{shade(0), 0.28, {}};
  int count = 0;
  for (const int index : ends) {
    const End& end = r.ends.ends[static_cast<std::size_t>(index)];
    if (end.state != EndState::coiled) continue;
    Vec2 at = work.view(end.place.position) - Vec2{0, kOver_mm};
    for (std::size_t i = 0; i < r.ends.runs.size(); ++i) {
      const Run& run = r.ends.runs[i];
      const RunRow& row = r.takeoff.runs[i];
      if ((run.from != index && run.to != index) || !row.routed || row.lies()) continue;
      std::vector<Vec2> path;
      for (const Vec2& p : stroke) path.push_back(at + p);
      work.draft.path(path, pen, "Support of the coil of " + plain_text(run.id, 16));
      at.y -= kBetween_mm;
      ++count;
    }
  }
  if (count > 0)
    work.rows.push_back({counted(count, "support") +
                             (count == 1 ? " of a coil: a" : " of coils: each a") +
                             " stroke over an end",
                         false, pen, false, false, stroke});
}

std::set<int> named_at(const DrawingRequest& r, const std::vector<int>& ends) {
  std::set<int> named;
  for (const int end : ends) {
    std::vector<int> here;
    for (std::size_t i = 0; i < r.ends.runs.size(); ++i)
      if (r.ends.runs[i].from == end || r.ends.runs[i].to == end)
        here.push_back(static_cast<int>(i));
    if (here.size() <= kIdsAtEnd) named.insert(here.begin(), here.end());
  }
  return named;
}

void draw_hole(Work& work, const HoleShape& hole, const std::string& also) {
  const Vec2 at = work.view(hole.centre);
  const double radius = std::max(0.35, work.view.mm(hole.diameter_m / 2));
  const double reach = radius + 1.4;
  const Pen thin = {shade(0.1), 0.13, {}};
  const std::string name = plain_text(hole.name, 16);
  work.draft.circle(at, radius, Pen{shade(0), 0.35, {}}, std::nullopt, "Hole " + name);
  work.draft.path({at - Vec2{reach, 0}, at + Vec2{reach, 0}}, thin);
  work.draft.path({at - Vec2{0, reach}, at + Vec2{0, reach}}, thin);
  const std::string size = dimension(hole.diameter_m, work.request.job.units);
  Label label{name + " ⌀" + size + also, at, kStrong, radius + 1.2, {}, "Hole " + name};
  label.edge_mm = radius;
  label.rank = kPointFirst;
  work.draft.label(std::move(label));
}

void name_walls(Work& work) {
  constexpr double kReach_mm = 9, kClear_mm = 1.4;
  constexpr int kLast = 9;
  for (const Sheet& sheet : work.request.room.sheets) {
    if (sheet.role != SheetRole::wall || sheet.front_air != work.request.room.main_air) continue;
    Vec2 low{1e30, 1e30};
    Vec2 high{-1e30, -1e30};
    for (const Vec2& p : sheet.region.outline) extend(low, high, p);
    const auto on_line = [&](double share) {
      return work.view(sheet.frame.to_world(Vec2{low.x + share * (high.x - low.x), low.y}));
    };
    const Vec3& n = sheet.frame.n;
    const Vec2 inward{dot(n, work.view.frame.u), -dot(n, work.view.frame.v)};
    Label label{plain_text(sheet.name, 28),
                on_line(0.5),
                {1.8, false, false, shade(0.4)},
                kClear_mm,
                inward,
                "",
                kReach_mm,
                kLast};
    label.also = {on_line(0.3), on_line(0.7), on_line(0.15), on_line(0.85)};
    work.draft.label(std::move(label));
  }
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
  work.draft.label({name, 0.5 * (low + high), {1.8, false, false, shade(0.3)}, 0, {}, ""});
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
