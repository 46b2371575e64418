#include "drawings/svg_sheet.h"

#include <algorithm>
#include <cstdlib>

namespace roomloom::testing {
namespace {

/// XML 1.0, section 4.6: the five entities that there are without declaring them, and &#39;.
std::string unescaped(std::string text) {
  for (const auto& [entity, plain] :
       {std::pair{"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}}) {
    for (std::size_t at = 0; (at = text.find(entity, at)) != std::string::npos; ++at)
      text.replace(at, std::string(entity).size(), plain);
  }
  return text;
}

std::string attribute(const std::string& tag, const std::string& key) {
  const std::string start = " " + key + "=\"";
  const std::size_t at = tag.find(start);
  if (at == std::string::npos) return {};
  const std::size_t from = at + start.size();
  return unescaped(tag.substr(from, tag.find('"', from) - from));
}

double number(const std::string& tag, const std::string& key) {
  return std::strtod(attribute(tag, key).c_str(), nullptr);
}

SvgPath path_of(const std::string& tag) {
  SvgPath path;
  path.name = attribute(tag, "data-name");
  path.dashed = !attribute(tag, "stroke-dasharray").empty();
  const std::string way = attribute(tag, "d");
  path.closed = !way.empty() && way.back() == 'Z';
  const char* at = way.c_str();
  while (*at == 'M' || *at == 'L') {
    char* end = nullptr;
    const double x = std::strtod(at + 1, &end);
    path.points.push_back({x, std::strtod(end, &end)});
    at = end;
  }
  return path;
}

template <typename T>
std::vector<const T*> named(const std::vector<T>& all, const std::string& start) {
  std::vector<const T*> found;
  for (const T& one : all)
    if (one.name.rfind(start, 0) == 0) found.push_back(&one);
  return found;
}

}  // namespace

std::vector<const SvgPath*> SvgSheet::paths_named(const std::string& start) const {
  return named(paths, start);
}
std::vector<const SvgCircle*> SvgSheet::circles_named(const std::string& start) const {
  return named(circles, start);
}

SvgSheet read_svg(const std::string& svg) {
  SvgSheet sheet;
  for (std::size_t at = 0; (at = svg.find('<', at)) != std::string::npos;) {
    const std::size_t end = svg.find('>', at);
    if (end == std::string::npos) break;
    const std::string tag = svg.substr(at, end - at);
    if (tag.rfind("<path ", 0) == 0) sheet.paths.push_back(path_of(tag));
    if (tag.rfind("<circle ", 0) == 0)
      sheet.circles.push_back(
          {attribute(tag, "data-name"), {number(tag, "cx"), number(tag, "cy")}, number(tag, "r")});
    if (tag.rfind("<text ", 0) == 0)
      sheet.texts.push_back({unescaped(svg.substr(end + 1, svg.find('<', end) - end - 1)),
                             {number(tag, "x"), number(tag, "y")}});
    at = end;
  }
  return sheet;
}

std::pair<Vec2, Vec2> bounds_of(const std::vector<Vec2>& points) {
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : points) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  return {low, high};
}

}  // namespace roomloom::testing
