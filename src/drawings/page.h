#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/vec.h"
#include "types/scene.h"

namespace roomloom {

/// sRGB, 0..1.
struct Rgb {
  double r = 0, g = 0, b = 0;
  bool operator==(const Rgb&) const = default;
};
/// From linear light to what screens and printers take. IEC 61966-2-1, section 5.2.
Rgb srgb(const Colour& linear);
/// Mixed with white: 0 leaves it, 1 is white.
Rgb paler(const Rgb& colour, double share);
/// Darkened as far as a line of it is seen on white: to a contrast of 2, which of the palette only
/// yellow lacks. Our own limit: dash and label tell lines apart as well.
Rgb visible(const Rgb& colour);
/// Darkened as far as text of it on white needs for a contrast of 4.5. WCAG 2.2, criterion 1.4.3.
Rgb readable(const Rgb& colour);
/// 0 black .. 1 white.
Rgb shade(double level);

/// Millimetres on paper: x to the right, y down, from the upper left corner.
struct PaperBox {
  Vec2 low, high;
  bool overlaps(const PaperBox& other) const {
    return low.x < other.high.x && other.low.x < high.x && low.y < other.high.y &&
           other.low.y < high.y;
  }
  bool contains(const PaperBox& other) const {
    return low.x <= other.low.x && other.high.x <= high.x && low.y <= other.low.y &&
           other.high.y <= high.y;
  }
  PaperBox grown(double by) const { return {low - Vec2{by, by}, high + Vec2{by, by}}; }
  double width() const { return high.x - low.x; }
  double height() const { return high.y - low.y; }
  Vec2 centre() const { return 0.5 * (low + high); }
};

/// Of a segment.
PaperBox around(const Vec2& a, const Vec2& b);
/// Does the line through two points leave corners of the box on either side?
bool parts_corners(const PaperBox& box, const Vec2& a, const Vec2& b);
/// Does the segment come into the box?
inline bool touches(const PaperBox& box, const Vec2& a, const Vec2& b) {
  return std::max(a.x, b.x) >= box.low.x && std::min(a.x, b.x) <= box.high.x &&
         std::max(a.y, b.y) >= box.low.y && std::min(a.y, b.y) <= box.high.y &&
         parts_corners(box, a, b);
}

struct Pen {
  Rgb colour;
  double width_mm = 0.25;
  std::vector<double> dash_mm;  ///< dash, gap, ...; empty = continuous
};

struct PathMark {
  std::vector<Vec2> points;
  bool closed = false;
  std::optional<Pen> pen;
  std::optional<Rgb> fill;
  std::string name;  ///< what it shows ("Hole H1"); SVG keeps it as data-name
};

struct CircleMark {
  Vec2 centre;
  double radius_mm = 1;
  std::optional<Pen> pen;
  std::optional<Rgb> fill;
  std::string name;
};

struct TextMark {
  std::string text;   ///< one line, already made plain
  Vec2 at;            ///< left end of the base line
  double cap_mm = 2;  ///< height of a capital letter
  bool bold = false;
  bool upright = false;  ///< turned by 90 degrees, read from the right
  Rgb colour;
  double width_mm = 0;
  PaperBox box;  ///< what no other text may touch
};

using Mark = std::variant<PathMark, CircleMark, TextMark>;

/// A sheet of paper with what is drawn on it, in order.
struct Page {
  std::string title;
  std::string stem;   ///< of its files: "sheet-1-void-plan"
  std::string scale;  ///< "1:25"; empty = not to scale
  Vec2 size_mm{420, 297};
  int unnamed = 0;   ///< how many labels stand in the column instead of beside what they name
  int crossed = 0;   ///< how often leaders cross each other
  int covering = 0;  ///< how many labels lie on a run or an outline
  int broken = 0;    ///< how many words of a table are broken over lines
  std::vector<std::string> left_out;  ///< dimensions without a figure: "Dimension H2 from left"
  std::vector<Mark> marks;
};

}  // namespace roomloom
