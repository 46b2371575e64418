#include "annotate/tags.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

constexpr double kLetterWidth = 0.85;  // heights of a capital; generous, so that tags stay apart
constexpr double kLineHeight = 1.7;
constexpr double kOffSurface = 0.012;  // metres: in front of raceway and ends
constexpr int kRings = 24;

struct Size {
  double width = 0, height = 0;
};

// Counts characters, not bytes, of UTF-8.
Size size_of(const std::string& text, double height_m) {
  int lines = 1;
  int widest = 0;
  int here = 0;
  for (const char c : text) {
    if (c == '\n') {
      ++lines;
      here = 0;
    } else if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) {
      widest = std::max(widest, ++here);
    }
  }
  return {widest * kLetterWidth * height_m, (1 + (lines - 1) * kLineHeight) * height_m};
}

struct Plane {
  Vec3 right, up, out;
};

// Upright where the surface is; on floors and ceilings the reader faces the room's +Y.
Plane reading_plane(const Vec3& outward) {
  Vec3 out = normalized(outward);
  if (norm(out) < 0.5) out = {0, -1, 0};
  Vec3 up = Vec3{0, 0, 1} - out.z * out;
  if (norm(up) < 0.1) up = Vec3{0, 1, 0} - out.y * out;
  up = normalized(up);
  return {cross(up, out), up, out};
}

Box3 box_of(const Vec3& low_left, const Plane& plane, const Size& size) {
  Box3 box;
  for (const double x : {0.0, size.width})
    for (const double y : {0.0, size.height}) box.add(low_left + x * plane.right + y * plane.up);
  return box.grown(0.004);
}

bool inside(const Box3& room, const Box3& box) {
  const Box3 grown = room.grown(0.05);
  return room.empty() || (grown.contains(box.low) && grown.contains(box.high));
}

}  // namespace

bool TagBoard::is_free(const Box3& box) const {
  return std::none_of(taken_.begin(), taken_.end(),
                      [&](const Box3& other) { return other.overlaps(box); });
}

TagBoard::Placed TagBoard::place(const std::string& text, const Vec3& at, const Vec3& outward,
                                 double height_m) {
  const Plane plane = reading_plane(outward);
  const Size size = size_of(text, height_m);
  const Vec3 near = at + kOffSurface * plane.out;
  const double gap = 0.4 * height_m;
  // Right above, right below, left above, left below; then further up and down.
  Vec3 chosen = near + gap * (plane.right + plane.up);
  const auto first_free = [&]() -> bool {
    for (int ring = 0; ring < kRings; ++ring) {
      for (const double side : {1.0, -1.0}) {
        for (const double rise : {1.0, -1.0}) {
          const double y =
              rise > 0 ? gap + ring * (size.height + gap) : -(ring + 1) * (size.height + gap);
          const double x = side > 0 ? gap : -gap - size.width;
          const Vec3 corner = near + x * plane.right + y * plane.up;
          const Box3 box = box_of(corner, plane, size);
          if (!inside(room_, box)) continue;
          chosen = corner;
          if (is_free(box)) return true;
        }
      }
    }
    return false;
  };
  first_free();
  taken_.push_back(box_of(chosen, plane, size));

  Placed placed;
  const double first_line = size.height - height_m;  // the origin is the first line's base
  placed.tag = {text, chosen + first_line * plane.up, plane.right, plane.up, height_m};
  const Vec3 middle_left = chosen + 0.5 * size.height * plane.up;
  const Vec3 middle_right = middle_left + size.width * plane.right;
  const Vec3 edge =
      distance(near, middle_left) < distance(near, middle_right) ? middle_left : middle_right;
  if (distance(near, edge) > 2 * (size.height + gap)) placed.leader = Line3{near, edge};
  return placed;
}

}  // namespace roomloom
