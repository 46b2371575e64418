#include "drawings/pointed.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <optional>

#include "drawings/checks.h"
#include "geometry/polygon.h"

namespace roomloom::testing {
namespace {

constexpr double kOn_mm = 0.05;

/// All that is drawn under one name: the segments of lines, or a circle.
struct Thing {
  std::vector<std::pair<Vec2, Vec2>> segments;
  std::vector<CircleMark> circles;
};
using Things = std::map<std::string, Thing>;

/// "Trunk T3" and "Run S4" are of one kind, as are all ends, all holes, all ports.
std::string kind_of(const std::string& name) {
  const std::string word = name.substr(0, name.find(' '));
  for (const char* line : {"Trunk", "Run"})
    if (word == line) return "line";
  for (const char* circle : {"End", "Hole", "Port"})
    if (word == circle) return word;
  return "";
}

Things things_on(const Page& page) {
  Things things;
  for (const Mark& mark : page.marks) {
    if (const auto* path = std::get_if<PathMark>(&mark); path && kind_of(path->name) == "line")
      for (std::size_t i = 0; i + 1 < path->points.size(); ++i)
        things[path->name].segments.emplace_back(path->points[i], path->points[i + 1]);
    if (const auto* circle = std::get_if<CircleMark>(&mark); circle && kind_of(circle->name) != "")
      things[circle->name].circles.push_back(*circle);
  }
  return things;
}

/// From the middle of a line or of a circle.
double away(const Thing& thing, const Vec2& p) {
  double least = 1e30;
  for (const auto& [a, b] : thing.segments) least = std::min(least, segment_distance(p, a, b));
  for (const CircleMark& circle : thing.circles) least = std::min(least, norm(p - circle.centre));
  return least;
}

Vec2 nearest_in(const PaperBox& box, const Vec2& p) {
  return {std::clamp(p.x, box.low.x, box.high.x), std::clamp(p.y, box.low.y, box.high.y)};
}

/// From a box to the nearest of many points along a thing.
double away(const Thing& thing, const PaperBox& box) {
  constexpr int kPoints = 400;
  double least = 1e30;
  for (const auto& [a, b] : thing.segments) {
    for (int i = 0; i <= kPoints; ++i) {
      const Vec2 p = a + static_cast<double>(i) / kPoints * (b - a);
      least = std::min(least, norm(p - nearest_in(box, p)));
    }
  }
  for (const CircleMark& circle : thing.circles)
    least = std::min(least, norm(circle.centre - nearest_in(box, circle.centre)));
  return least;
}

/// What the words name: "T3 × 4", "S4", "left · S4", "H1 ⌀25".
std::optional<std::string> named_by(const std::string& words, const Things& things) {
  if (words.find(": ") != std::string::npos) return std::nullopt;  // a row of the key
  for (const auto& [name, thing] : things) {
    const std::string id = name.substr(name.find(' ') + 1);
    const bool trunk = name.rfind("Trunk", 0) == 0;
    const bool hole = name.rfind("Hole", 0) == 0;
    const bool end = name.rfind("End", 0) == 0;
    const std::string start = id + (trunk ? " × " : hole ? " ⌀" : end ? " · " : "");
    if (trunk || hole || end ? words.rfind(start, 0) == 0 || (end && words == id) : words == id)
      return name;
  }
  return std::nullopt;
}

/// The text that a leader ends at; that of its row where it is a number in a circle.
std::string words_at(const Page& page, const std::vector<TextMark>& texts, const Vec2& end) {
  for (const Mark& mark : page.marks) {
    const auto* circle = std::get_if<CircleMark>(&mark);
    if (circle == nullptr || circle->name.rfind("Number ", 0) != 0) continue;
    if (std::abs(norm(end - circle->centre) - circle->radius_mm) > kOn_mm) continue;
    const std::string number = circle->name.substr(7) + ": ";
    for (const TextMark& text : texts) {
      if (text.text.rfind(number, 0) != 0) continue;
      const std::size_t place = text.text.find(", at ");
      return text.text.substr(number.size(), place - number.size());
    }
  }
  for (const TextMark& text : texts)
    if (norm(end - nearest_in(text.box, end)) < kOn_mm) return text.text;
  return "";
}

void expect_tip_on(const Page& page, const Things& things, const std::string& name,
                   const Vec2& tip) {
  const Thing& own = things.at(name);
  const double from = away(own, tip);
  const double radius = own.circles.empty() ? 0 : own.circles.front().radius_mm;
  EXPECT_LE(from, radius + kOn_mm) << page.title << ": the leader to " << name << " ends off it";
  for (const auto& [other, thing] : things) {
    if (other == name || kind_of(other) != kind_of(name)) continue;
    EXPECT_GE(away(thing, tip), from - 1e-6)
        << page.title << ": the leader to " << name << " points at " << other;
  }
}

bool cross_each_other(const PathMark& one, const PathMark& other) {
  const auto apart = [](const PathMark& line, const PathMark& ends) {
    const Vec2 way = line.points[1] - line.points[0];
    return cross(way, ends.points[0] - line.points[0]) *
               cross(way, ends.points[1] - line.points[0]) <
           0;
  };
  return apart(one, other) && apart(other, one);
}

}  // namespace

void expect_no_leaders_cross(const Page& page) {
  std::vector<PathMark> leaders;
  for (const Mark& mark : page.marks)
    if (const auto* path = std::get_if<PathMark>(&mark); path && path->name.rfind("Leader", 0) == 0)
      leaders.push_back(*path);
  for (std::size_t i = 0; i < leaders.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      EXPECT_FALSE(cross_each_other(leaders[i], leaders[k]))
          << page.title << ": " << leaders[i].name << " crosses " << leaders[k].name;
}

void expect_labels_point(const Page& page, Pointed& pointed) {
  const Things things = things_on(page);
  const std::vector<TextMark> texts = texts_of(page);
  std::map<std::string, int> led;
  for (const Mark& mark : page.marks) {
    const auto* leader = std::get_if<PathMark>(&mark);
    if (leader == nullptr || leader->name.rfind("Leader", 0) != 0) continue;
    const auto name = named_by(words_at(page, texts, leader->points.back()), things);
    if (!name) continue;
    expect_tip_on(page, things, *name, leader->points.front());
    ++pointed.leaders;
    ++led[*name];
  }
  for (const TextMark& text : texts) {
    const auto name = named_by(text.text, things);
    // In tables the ids of ports stand once more.
    if (!name || led.count(*name) > 0 || kind_of(*name) == "Port") continue;
    constexpr double kNearer_mm = 0.3;
    const double own = away(things.at(*name), text.box);
    for (const auto& [other, thing] : things) {
      if (other == *name || kind_of(other) != kind_of(*name)) continue;
      EXPECT_GE(away(thing, text.box), own - kNearer_mm)
          << page.title << ": " << text.text << " stands nearer to " << other;
    }
    ++pointed.beside;
  }
}

void expect_ports_clear(const Page& page) {
  for (const auto& [name, thing] : things_on(page)) {
    if (kind_of(name) != "Port") continue;
    for (const CircleMark& port : thing.circles) {
      const double least = port.radius_mm - kOn_mm;
      for (const TextMark& text : texts_of(page))
        EXPECT_GE(norm(port.centre - nearest_in(text.box, port.centre)), least)
            << page.title << ": " << text.text << " lies on " << name;
      for (const Mark& mark : page.marks) {
        const auto* leader = std::get_if<PathMark>(&mark);
        if (leader == nullptr || leader->name.rfind("Leader", 0) != 0) continue;
        const Vec2& tip = leader->points.front();
        if (norm(tip - port.centre) < 3 * port.radius_mm) continue;  // its own, or one beside it
        EXPECT_GE(segment_distance(port.centre, tip, leader->points.back()), least)
            << page.title << ": " << leader->name << " passes " << name;
      }
    }
  }
}

void expect_no_line_covered(const Page& page) {
  for (const auto& [name, thing] : things_on(page)) {
    if (thing.segments.empty()) continue;
    for (const TextMark& text : texts_of(page))
      EXPECT_GT(away(thing, text.box), 0) << page.title << ": " << text.text << " lies on " << name
                                          << " at " << text.at.x << ", " << text.at.y;
  }
}

}  // namespace roomloom::testing
