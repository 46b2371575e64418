#include "drawings/held_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

#include "drawings/page_files.h"

namespace roomloom::testing {
namespace {

/// Of a scale as title blocks have it: "1:25", "2:1".
double metres_per_mm(const std::string& scale) {
  const std::size_t colon = scale.find(':');
  return std::strtod(scale.c_str() + colon + 1, nullptr) / std::strtod(scale.c_str(), nullptr) /
         1000;
}

void lay(HeldSheet& sheet, const std::vector<Vec3>& outline) {
  const auto drawn = sheet.svg.paths_named("Outline");
  ASSERT_EQ(drawn.size(), 1U) << sheet.title << ": outlines";
  double right = 1e30;
  double up = 1e30;
  for (const Vec3& p : outline) {
    right = std::min(right, dot(p, sheet.u));
    up = std::min(up, dot(p, sheet.v));
  }
  sheet.corner = right * sheet.u + up * sheet.v;
  const auto [low, high] = bounds_of(drawn[0]->points);
  sheet.corner_mm = {low.x, high.y};
  EXPECT_TRUE(sheet.has_ring(outline, *drawn[0])) << sheet.title << ": the outline is elsewhere";
}

bool titled(const std::string& title, const std::string& name) {
  return title == name + " from below" || title == name + " from inside" ||
         title == name + " from above";
}

void lay_face(HeldSheet& sheet, const Sheet& face) {
  sheet.kind = HeldSheet::face;
  sheet.u = face.frame.u;
  sheet.v = face.frame.v;
  lay(sheet, in_room(face.region.outline, face.frame));
}

void lay_space(HeldSheet& sheet, const Void& space) {
  sheet.kind = HeldSheet::space;
  sheet.u = {1, 0, 0};
  sheet.v = {0, 1, 0};
  lay(sheet, in_room(space.plan.outline, space.frame));
}

/// Seen from behind: one looks along v, with n up, so that v x n = u is to the right.
void lay_gear(HeldSheet& sheet, const GearBox& gear) {
  const auto found = sheet.svg.paths_named("Gear ");
  if (found.empty()) return;  // a page that goes on with the table
  const auto [low, high] = bounds_of(found[0]->points);
  sheet.kind = HeldSheet::gear;
  sheet.u = cross(gear.frame.v, gear.frame.n);
  sheet.v = gear.frame.n;
  sheet.corner = gear.frame.origin;
  sheet.corner_mm = {low.x, high.y};
  EXPECT_NEAR((high.x - low.x) * sheet.metres, gear.size.x, kTolerance_m) << sheet.title;
  EXPECT_NEAR((high.y - low.y) * sheet.metres, gear.size.z, kTolerance_m) << sheet.title;
}

}  // namespace

Vec2 HeldSheet::mm(const Vec3& p) const {
  return corner_mm + Vec2{dot(p - corner, u) / metres, -dot(p - corner, v) / metres};
}
Vec3 HeldSheet::on_plane(const Vec2& drawn_mm) const {
  const Vec2 from = drawn_mm - corner_mm;
  return corner + from.x * metres * u - from.y * metres * v;
}
double HeldSheet::off(const Vec3& p, const Vec2& drawn_mm) const {
  return norm(mm(p) - drawn_mm) * metres;
}
bool HeldSheet::has_ring(const std::vector<Vec3>& ring, const SvgPath& path) const {
  return std::all_of(ring.begin(), ring.end(), [&](const Vec3& p) {
    return std::any_of(path.points.begin(), path.points.end(),
                       [&](const Vec2& q) { return off(p, q) < kTolerance_m; });
  });
}

std::vector<Vec3> in_room(const Ring& ring, const Frame& frame) {
  std::vector<Vec3> points;
  for (const Vec2& p : ring) points.push_back(frame.origin + p.x * frame.u + p.y * frame.v);
  return points;
}

std::optional<HeldSheet> held(const Page& page, const DrawingRequest& r) {
  if (page.scale.empty()) return std::nullopt;
  HeldSheet sheet;
  sheet.svg = read_svg(svg_of(page));
  sheet.title = page.title;
  sheet.metres = metres_per_mm(page.scale);
  const auto is = [&](const std::string& title) { return page.title == title; };
  for (const Sheet& face : r.room.sheets) {
    if (!titled(page.title, plain_text(face.name, 30))) continue;
    sheet.index = static_cast<int>(&face - r.room.sheets.data());
    lay_face(sheet, face);
    return sheet;
  }
  for (const Void& space : r.room.voids) {
    if (!is("Plan of the void: " + plain_text(space.name, 30))) continue;
    sheet.index = static_cast<int>(&space - r.room.voids.data());
    lay_space(sheet, space);
    return sheet;
  }
  for (const GearBox& gear : r.ends.gear) {
    if (!is("Back of the " + plain_text(gear.id, 24))) continue;
    sheet.index = static_cast<int>(&gear - r.ends.gear.data());
    lay_gear(sheet, gear);
    return sheet;
  }
  EXPECT_EQ(page.title.rfind("Cross-sections", 0), 0U) << "what is sheet " << page.title << "?";
  return sheet;
}

}  // namespace roomloom::testing
