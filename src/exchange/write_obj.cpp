#include "exchange/write_obj.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <set>
#include <tuple>

#include "base/units.h"

namespace roomloom {
namespace {

class ObjText {
 public:
  ObjText(std::string text, const FileFrame& frame) : text_(std::move(text)), frame_(frame) {
    // The names of our materials must be new to the file.
    for (int i = 2; text_.find(prefix_) != std::string::npos; ++i)
      prefix_ = "roomloom" + std::to_string(i) + "_";
    // A hundredth of a micrometre, whatever the unit.
    const double metre = std::log10(std::max(frame.scale, 1e-6));
    decimals_ = std::clamp(8 - static_cast<int>(std::floor(metre + 1e-9)), 1, 12);
  }

  void line(const std::string& content) { text_ += content + "\n"; }
  /// Many readers make one object of those that share a name: the second gets a number.
  void object(const std::string& name) {
    std::string own = obj_name(name);
    for (int i = 2; !taken_.insert(own).second; ++i) own = obj_name(name) + "_" + std::to_string(i);
    line("o " + own);
  }
  /// Holds until the next one, across objects (Wavefront's specification, appendix B1), and stands
  /// before the objects it holds: readers that name things by the latest of `o` and `g` keep the
  /// objects' names.
  void group(const std::string& name) { line("g " + name); }
  /// Names that objects to come must not have.
  void reserve_names(const std::set<std::string>& names) {
    taken_.insert(names.begin(), names.end());
  }
  void release_names(const std::set<std::string>& names) {
    for (const std::string& name : names) taken_.erase(name);
  }
  void use(const Colour& colour) { line("usemtl " + material(colour)); }
  void add_points(const std::vector<Vec3>& points);
  void add_triangles(const std::vector<std::array<std::uint32_t, 3>>& triangles,
                     std::size_t point_count);
  void add_polyline(const std::vector<Vec3>& points);

  std::string take_text() { return std::move(text_); }
  const std::string& materials() const { return materials_; }

 private:
  std::string material(const Colour& colour);
  void append_number(double value);
  void append_back(std::size_t count) {
    std::array<char, 24> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), count).ptr;
    text_ += " -";
    text_.append(digits.data(), end);
  }

  std::string text_;
  std::string prefix_ = "roomloom_";
  std::set<std::string> taken_;
  const FileFrame& frame_;
  int decimals_ = 8;
  std::map<std::tuple<float, float, float, float>, std::string> names_;
  std::string materials_;
};

void ObjText::append_number(double value) {
  std::array<char, 400> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                 std::chars_format::fixed, decimals_)
                       .ptr;
  std::string_view printed(digits.data(), static_cast<std::size_t>(end - digits.data()));
  printed = printed.substr(0, printed.find_last_not_of('0') + 1);
  if (printed.ends_with('.')) printed.remove_suffix(1);
  text_ += ' ';
  text_ += printed == "-0" ? "0" : printed;
}

void ObjText::add_points(const std::vector<Vec3>& points) {
  for (const Vec3& point : points) {
    const Vec3 p = frame_.point(point);
    text_ += 'v';
    append_number(p.x);
    append_number(p.y);
    append_number(p.z);
    text_ += '\n';
  }
}

void ObjText::add_triangles(const std::vector<std::array<std::uint32_t, 3>>& triangles,
                            std::size_t point_count) {
  for (const auto& triangle : triangles) {
    text_ += 'f';
    for (const std::uint32_t corner : triangle) append_back(point_count - corner);
    text_ += '\n';
  }
}

void ObjText::add_polyline(const std::vector<Vec3>& points) {
  add_points(points);
  // A line for each segment: some readers take the first two points of an `l` line only.
  for (std::size_t i = 1; i < points.size(); ++i) {
    text_ += 'l';
    append_back(points.size() - i + 1);
    append_back(points.size() - i);
    text_ += '\n';
  }
}

std::string ObjText::material(const Colour& c) {
  std::string& name = names_[{c.r, c.g, c.b, c.a}];
  if (!name.empty()) return name;
  name = prefix_ + std::to_string(names_.size());
  const auto levels = [](float r, float g, float b) {
    return format_number(r, 4) + " " + format_number(g, 4) + " " + format_number(b, 4);
  };
  materials_ += "newmtl " + name + "\nKd " + levels(c.r, c.g, c.b) + "\nKs 0 0 0\nd " +
                format_number(c.a, 4) + "\nillum 1\n";
  return name;
}

/// Group by group, so that each name stands once.
std::vector<std::size_t> order_by_group(const Annotation& annotation) {
  std::vector<std::size_t> order(annotation.items.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return annotation.items[a].group < annotation.items[b].group;
  });
  return order;
}

void add_annotation(ObjText& text, const Annotation& annotation,
                    const std::vector<DrawnItem>& drawings) {
  std::optional<AnnotationGroup> open;
  for (const std::size_t i : order_by_group(annotation)) {
    const AnnotationItem& item = annotation.items[i];
    const DrawnItem& drawing = drawings[i];
    if (open != item.group) text.group(to_string(item.group));
    open = item.group;
    if (!drawing.triangles.empty()) {
      text.object(item.name);
      text.use(item.colour);
      text.line("s off");
      text.add_points(drawing.points);
      text.add_triangles(drawing.triangles, drawing.points.size());
    }
    if (drawing.centreline.size() > 1) {
      text.object(item.name + " centreline");
      text.use(item.colour);
      text.add_polyline(drawing.centreline);
    }
  }
}

void add_part(ObjText& text, const Scene& scene, const Part& part) {
  const auto first = scene.points.begin() + part.first_point;
  const std::vector<Vec3> points(first, first + part.point_count);
  if (part.kind == PartKind::marker || points.empty()) return;
  text.object(part.name.empty() ? "Part" : part.name);
  text.use(part.colour.value_or(Colour{}));
  if (part.kind == PartKind::curve) return text.add_polyline(points);
  std::vector<std::array<std::uint32_t, 3>> triangles;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    auto triangle = scene.triangles[part.first_triangle + i];
    for (std::uint32_t& corner : triangle) corner -= part.first_point;
    triangles.push_back(triangle);
  }
  text.add_points(points);
  text.add_triangles(triangles, points.size());
}

/// The names that our items will have.
std::set<std::string> names_of(const Annotation& annotation) {
  std::set<std::string> names;
  for (const AnnotationItem& item : annotation.items) {
    names.insert(obj_name(item.name));
    if (std::holds_alternative<Tube>(item.shape)) names.insert(obj_name(item.name + " centreline"));
  }
  return names;
}

std::string without_blanks_at_ends(std::string_view text) {
  const std::size_t from = text.find_first_not_of(" \t\r");
  if (from == std::string_view::npos) return {};
  return std::string(text.substr(from, text.find_last_not_of(" \t\r") + 1 - from));
}

/// What follows a keyword on the lines that begin with it, each once, in order.
std::vector<std::string> arguments_of(std::string_view keyword, std::string_view text) {
  std::vector<std::string> all;
  std::set<std::string> seen;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    std::string_view line = text.substr(at, end - at);
    line.remove_prefix(std::min(line.find_first_not_of(" \t"), line.size()));
    at = end + 1;
    if (!line.starts_with(keyword)) continue;
    line.remove_prefix(keyword.size());
    if (line.empty() || (line[0] != ' ' && line[0] != '\t')) continue;
    const std::string argument = without_blanks_at_ends(line);
    if (!argument.empty() && seen.insert(argument).second) all.push_back(argument);
  }
  return all;
}

}  // namespace

std::string obj_name(const std::string& name) {
  std::string result = name;
  for (char& c : result)
    if (static_cast<unsigned char>(c) <= ' ' || c == 0x7F) c = '_';
  return result;
}

ObjFile append_to_obj(std::string_view original, const FileFrame& frame,
                      const Annotation& annotation, const std::vector<DrawnItem>& drawings,
                      const std::string& library) {
  ObjText text(std::string(original), frame);
  if (!original.empty() && original.back() != '\n') text.line("");
  text.line("mtllib " + library);
  const auto theirs = arguments_of("o", original);
  text.reserve_names({theirs.begin(), theirs.end()});
  add_annotation(text, annotation, drawings);
  ObjFile file;
  file.materials = text.materials();
  file.text = text.take_text();
  return file;
}

ObjFile obj_of_our_own(const FileFrame& frame, const Annotation& annotation,
                       const std::vector<DrawnItem>& drawings, const Scene& scene,
                       const std::string& library, const std::string& generator) {
  ObjText text("", frame);
  text.line("# " + obj_name(generator) + ": metres, Y up");
  text.line("mtllib " + library);
  const std::set<std::string> ours = names_of(annotation);
  text.reserve_names(ours);
  text.group("Room");
  for (const Part& part : scene.parts) add_part(text, scene, part);
  text.release_names(ours);
  add_annotation(text, annotation, drawings);
  ObjFile file;
  file.materials = text.materials();
  file.text = text.take_text();
  return file;
}

std::vector<std::string> obj_libraries(std::string_view original) {
  return arguments_of("mtllib", original);
}

}  // namespace roomloom
