#include "drawings/shown.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "drawings/checks.h"
#include "drawings/page_files.h"
#include "drawings/text.h"

namespace roomloom::testing {
namespace {

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all.at(static_cast<std::size_t>(index));
}

double distance_mm(const SvgPath& path, const Vec2& p) {
  double least = 1e30;
  for (std::size_t i = 0; i + 1 < path.points.size(); ++i) {
    const Vec2 way = path.points[i + 1] - path.points[i];
    const double t = dot(way, way) > 0 ? dot(p - path.points[i], way) / dot(way, way) : 0;
    least = std::min(least, norm(p - path.points[i] - std::clamp(t, 0.0, 1.0) * way));
  }
  return least;
}

/// Which runs the keys of trunks name, whichever page they stand or go on on: "T3" -> ": S1 S2
/// ...".
using Keys = std::map<std::string, std::string>;

Keys keys_of(const std::vector<Page>& pages) {
  Keys keys;
  std::string open;  // the trunk whose row may go on
  for (const Page& page : pages) {
    bool rows_begun = page.title.find("continued") != std::string::npos;
    for (const SvgText& text : read_svg(svg_of(page)).texts) {
      const std::size_t times = text.text.find(" × ");
      const std::size_t colon = text.text.find(':');
      if (times != std::string::npos && colon != std::string::npos && times < colon) {
        open = text.text.substr(0, times);
        keys[open] += text.text.substr(colon);
        rows_begun = true;
      } else if (rows_begun && !open.empty() && text.text.rfind("  ", 0) == 0) {
        keys[open] += text.text.substr(1);
      } else if (rows_begun && text.text != "Title") {
        open.clear();
        rows_begun = false;
      } else if (text.text == "Title") {
        break;  // what follows is the title block
      }
    }
  }
  return keys;
}

bool drawn_on(const HeldSheet& sheet, const Keys& keys, const std::string& run, const Vec3& p) {
  constexpr double kOnLine_mm = 0.2;
  return std::any_of(sheet.svg.paths.begin(), sheet.svg.paths.end(), [&](const SvgPath& path) {
    const bool trunk = path.name.rfind("Trunk ", 0) == 0;
    if (!trunk && path.name != "Run " + run) return false;
    if (distance_mm(path, sheet.mm(p)) > kOnLine_mm) return false;
    if (!trunk) return true;
    const auto key = keys.find(path.name.substr(6));
    if (key != keys.end()) return holds_word(key->second, run);
    // What goes together for a few centimetres only has no name, and needs no key.
    constexpr double kTooShort_m = 0.05;
    const auto [low, high] = bounds_of(path.points);
    return norm(high - low) * sheet.metres < kTooShort_m && holds_word(path.name, run);
  });
}

bool needs_line(const DrawingRequest& r, const TrackEdge& edge) {
  constexpr double kLeast_m = 0.02;
  const Vec3 way = at(r.tracks.nodes, edge.b).position - at(r.tracks.nodes, edge.a).position;
  if (edge.kind == EdgeKind::crossing || norm(way) < kLeast_m) return false;
  if (edge.home.kind == PlaceKind::zone &&
      std::any_of(r.ends.gear.begin(), r.ends.gear.end(),
                  [&](const GearBox& gear) { return gear.zone == edge.home.index; }))
    return false;
  const Vec3 flat{way.x, way.y, 0};
  return edge.home.kind == PlaceKind::sheet || norm(flat) > kLeast_m;
}

void expect_run_shown(const std::vector<HeldSheet>& sheets, const Keys& keys,
                      const DrawingRequest& r, const PlannedRun& planned) {
  const std::string id = plain_text(at(r.ends.runs, planned.run).id, 16);
  for (const Step& step : planned.steps) {
    const TrackEdge& edge = at(r.tracks.edges, step.edge);
    if (!needs_line(r, edge)) continue;
    const Vec3 middle =
        0.5 * (at(r.tracks.nodes, edge.a).position + at(r.tracks.nodes, edge.b).position);
    EXPECT_TRUE(std::any_of(sheets.begin(), sheets.end(),
                            [&](const HeldSheet& sheet) {
                              return (sheet.kind == HeldSheet::face ||
                                      sheet.kind == HeldSheet::space) &&
                                     drawn_on(sheet, keys, id, middle);
                            }))
        << "run " << id << " is on no sheet at " << middle.x << " " << middle.y << " " << middle.z;
  }
}

}  // namespace

void expect_all_shown(const std::vector<HeldSheet>& sheets, const std::vector<Page>& pages,
                      const DrawingRequest& r) {
  const Keys keys = keys_of(pages);
  for (const PlannedRun& planned : r.plan.runs)
    if (planned.routed) expect_run_shown(sheets, keys, r, planned);
  const auto circle = [&](const std::string& name) {
    return std::any_of(sheets.begin(), sheets.end(), [&](const HeldSheet& sheet) {
      const auto found = sheet.svg.circles_named(name);
      return std::any_of(found.begin(), found.end(),
                         [&](const SvgCircle* one) { return one->name == name; });
    });
  };
  for (const Run& run : r.ends.runs) {
    for (const int index : {run.from, run.to}) {
      const End& end = at(r.ends.ends, index);
      EXPECT_TRUE(circle(end.gear.empty() ? "End " + plain_text(end.id, 24)
                                          : "Port " + plain_text(run.id, 10)))
          << "end " << end.id << " of run " << run.id << " is on no sheet";
    }
  }
  for (const HoleShape& hole : r.shapes.holes)
    EXPECT_TRUE(circle("Hole " + plain_text(hole.name, 16))) << hole.name;
}

}  // namespace roomloom::testing
