#include <algorithm>
#include <charconv>
#include <cstdint>
#include <map>
#include <numeric>
#include <optional>
#include <set>

#include "base/files.h"
#include "check/written.h"
#include "geometry/arc.h"

/// A reader of the few entities of ISO 10303-21 text that a centreline is made of. It knows nothing
/// of the writer but the standard: names are PRODUCT names, their shapes hang on them by
/// SHAPE_DEFINITION_REPRESENTATION, curves are lines and circles trimmed by points.
namespace roomloom::check {
namespace {

/// One instance: its type and the text between its brackets.
struct Instance {
  std::string type;
  std::string_view body;
};

using Instances = std::map<std::uint64_t, Instance>;

bool is_word(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_'; }

/// Reads "#12=TYPE(...);" statements; strings may hold anything.
class Part21 {
 public:
  explicit Part21(std::string_view text) : text_(text) {}

  Instances read() {
    Instances all;
    while (skip_to_instance()) {
      const std::uint64_t id = number();
      space();
      if (!take('=')) continue;
      space();
      Instance one;
      while (at_ < text_.size() && is_word(text_[at_])) one.type += text_[at_++];
      space();
      if (at_ >= text_.size() || text_[at_] != '(') continue;
      const std::size_t start = at_ + 1;
      if (!skip_brackets()) break;
      one.body = text_.substr(start, at_ - start - 1);
      all[id] = one;
    }
    return all;
  }

 private:
  bool skip_to_instance() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '#') return ++at_, true;
      if (c == '\'') {
        skip_string();
      } else {
        ++at_;
      }
    }
    return false;
  }

  std::uint64_t number() {
    std::uint64_t value = 0;
    const auto done = std::from_chars(text_.data() + at_, text_.data() + text_.size(), value);
    at_ = static_cast<std::size_t>(done.ptr - text_.data());
    return value;
  }

  void space() {
    while (at_ < text_.size() &&
           (text_[at_] == ' ' || text_[at_] == '\n' || text_[at_] == '\r' || text_[at_] == '\t')) {
      ++at_;
    }
  }

  bool take(char c) {
    if (at_ >= text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }

  void skip_string() {
    ++at_;
    while (at_ < text_.size()) {
      if (text_[at_++] != '\'') continue;
      if (at_ >= text_.size() || text_[at_] != '\'') return;
      ++at_;
    }
  }

  bool skip_brackets() {
    int depth = 0;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '\'') {
        skip_string();
        continue;
      }
      ++at_;
      if (c == '(') ++depth;
      if (c == ')' && --depth == 0) return true;
    }
    return false;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

/// Splits a body at the commas of its first level.
std::vector<std::string_view> arguments(std::string_view body) {
  std::vector<std::string_view> all;
  int depth = 0;
  bool quoted = false;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= body.size(); ++i) {
    const char c = i < body.size() ? body[i] : ',';
    if (c == '\'') quoted = !quoted;
    if (quoted) continue;
    if (c == '(') ++depth;
    if (c == ')') --depth;
    if (c != ',' || (depth != 0 && i < body.size())) continue;
    std::string_view piece = body.substr(start, i - start);
    while (!piece.empty() &&
           (piece.front() == ' ' || piece.front() == '\n' || piece.front() == '\r'))
      piece.remove_prefix(1);
    while (!piece.empty() && (piece.back() == ' ' || piece.back() == '\n' || piece.back() == '\r'))
      piece.remove_suffix(1);
    all.push_back(piece);
    start = i + 1;
  }
  return all;
}

std::vector<std::uint64_t> references(std::string_view text) {
  std::vector<std::uint64_t> all;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\'') quoted = !quoted;
    if (quoted || text[i] != '#') continue;
    std::uint64_t id = 0;
    std::from_chars(text.data() + i + 1, text.data() + text.size(), id);
    all.push_back(id);
  }
  return all;
}

std::vector<double> reals(std::string_view text) {
  std::vector<double> all;
  for (std::string_view piece : arguments(text)) {
    double value = 0;
    if (std::from_chars(piece.data(), piece.data() + piece.size(), value).ec == std::errc{}) {
      all.push_back(value);
    }
  }
  return all;
}

void append_utf8(std::uint32_t code, std::string& text) {
  const auto put = [&](std::uint32_t byte) { text += static_cast<char>(byte); };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0U | (code >> 6U));
    put(0x80U | (code & 0x3FU));
  } else if (code < 0x10000) {
    put(0xE0U | (code >> 12U));
    put(0x80U | ((code >> 6U) & 0x3FU));
    put(0x80U | (code & 0x3FU));
  } else {
    put(0xF0U | (code >> 18U));
    put(0x80U | ((code >> 12U) & 0x3FU));
    put(0x80U | ((code >> 6U) & 0x3FU));
    put(0x80U | (code & 0x3FU));
  }
}

/// 'O''Neill \X2\00E9\X0\' -> UTF-8 (ISO 10303-21, 6.4.3).
std::string string_value(std::string_view literal) {
  std::string text;
  if (literal.size() < 2 || literal.front() != '\'') return text;
  literal = literal.substr(1, literal.size() - 2);
  for (std::size_t i = 0; i < literal.size(); ++i) {
    const bool wide = literal.substr(i, 4) == "\\X2\\" || literal.substr(i, 4) == "\\X4\\";
    if (wide) {
      const std::size_t digits = literal[i + 2] == '2' ? 4 : 8;
      i += 4;
      while (i + digits <= literal.size() && literal[i] != '\\') {
        std::uint32_t code = 0;
        std::from_chars(literal.data() + i, literal.data() + i + digits, code, 16);
        append_utf8(code, text);
        i += digits;
      }
      i += 3;  // \X0\, less the loop's own step
      continue;
    }
    if ((literal[i] == '\'' || literal[i] == '\\') && i + 1 < literal.size() &&
        literal[i + 1] == literal[i]) {
      ++i;
    }
    text += literal[i];
  }
  return text;
}

class Curves {
 public:
  Curves(const Instances& all, const Transform& to_room) : all_(all), to_room_(to_room) {
    scale_ = std::cbrt(std::abs(to_room.determinant()));
    for (const auto& [id, one] : all) {
      for (const std::uint64_t to : references(one.body)) users_[to].push_back(id);
    }
  }

  /// The thing that a PRODUCT names, with every line and arc of its shape.
  WrittenThing thing(std::uint64_t product) {
    WrittenThing thing;
    thing.name = string_value(arguments(all_.at(product).body).at(0));
    if (thing.name.empty()) thing.name = string_value(arguments(all_.at(product).body).at(1));
    std::set<std::uint64_t> seen;
    for (const std::uint64_t shape : shapes_of(product)) collect(shape, thing, seen);
    return thing;
  }

 private:
  const Instance* find(std::uint64_t id) const {
    const auto found = all_.find(id);
    return found == all_.end() ? nullptr : &found->second;
  }

  /// Up from a product to its shape representations.
  std::vector<std::uint64_t> shapes_of(std::uint64_t product) const {
    std::vector<std::uint64_t> open{product};
    std::vector<std::uint64_t> shapes;
    std::set<std::uint64_t> seen;
    while (!open.empty()) {
      const std::uint64_t id = open.back();
      open.pop_back();
      const auto users = users_.find(id);
      if (!seen.insert(id).second || users == users_.end()) continue;
      for (const std::uint64_t user : users->second) {
        const std::string& type = all_.at(user).type;
        if (type.rfind("PRODUCT_DEFINITION", 0) == 0) {
          if (arguments(all_.at(user).body).size() <= 4) open.push_back(user);
        } else if (type == "SHAPE_DEFINITION_REPRESENTATION" ||
                   type == "PROPERTY_DEFINITION_REPRESENTATION") {
          shapes.push_back(user);
        }
      }
    }
    return shapes;
  }

  /// Down from a representation to its curves; across to the representation that it equals.
  void collect(std::uint64_t id, WrittenThing& thing, std::set<std::uint64_t>& seen) {
    const Instance* one = find(id);
    if (one == nullptr || !seen.insert(id).second) return;
    if (one->type == "TRIMMED_CURVE") return trimmed(*one, thing);
    if (one->type == "EDGE_CURVE") return edge(*one, thing);
    if (one->type == "POLYLINE") return polyline(*one, thing);
    if (one->type.rfind("PRODUCT", 0) == 0 || one->type == "ADVANCED_FACE") return;
    for (const std::uint64_t next : references(one->body)) collect(next, thing, seen);
    if (one->type.find("REPRESENTATION") == std::string::npos) return;
    const auto users = users_.find(id);
    if (users == users_.end()) return;
    for (const std::uint64_t user : users->second) {
      if (all_.at(user).type == "SHAPE_REPRESENTATION_RELATIONSHIP") collect(user, thing, seen);
    }
  }

  Vec3 coordinates(std::uint64_t id) const {
    const Instance* one = find(id);
    const auto numbers =
        one == nullptr ? std::vector<double>{} : reals(strip(arguments(one->body).back()));
    return numbers.size() == 3 ? Vec3{numbers[0], numbers[1], numbers[2]} : Vec3{};
  }

  static std::string_view strip(std::string_view list) {
    return list.size() >= 2 && list.front() == '(' ? list.substr(1, list.size() - 2) : list;
  }

  Vec3 vertex(std::uint64_t id) const {
    const auto point = references(find(id)->body);
    return coordinates(point.at(0));
  }

  void edge(const Instance& one, WrittenThing& thing) {
    const auto args = arguments(one.body);
    const auto refs = references(one.body);
    curve(refs.at(2), vertex(refs.at(0)), vertex(refs.at(1)), args.back() == ".T.", thing);
  }

  /// A trim given by a point, or by a parameter on a line (an arc's must be a point).
  std::optional<Vec3> trim(std::string_view list, std::uint64_t basis) const {
    for (const std::uint64_t ref : references(list)) return coordinates(ref);
    const auto at = list.find("PARAMETER_VALUE(");
    const Instance* line = find(basis);
    if (at == std::string_view::npos || line == nullptr || line->type != "LINE")
      return std::nullopt;
    const auto value = reals(list.substr(at + 16, list.find(')', at) - at - 16));
    const auto refs = references(line->body);
    const Instance* vector = find(refs.at(1));
    const double length = reals(arguments(vector->body).back()).at(0);
    return coordinates(refs.at(0)) +
           value.at(0) * length * normalized(coordinates(references(vector->body).at(0)));
  }

  void trimmed(const Instance& one, WrittenThing& thing) {
    const auto args = arguments(one.body);
    const std::uint64_t basis = references(args.at(1)).at(0);
    const auto from = trim(args.at(2), basis);
    const auto to = trim(args.at(3), basis);
    if (from && to) curve(basis, *from, *to, args.at(4) == ".T.", thing);
  }

  void polyline(const Instance& one, WrittenThing& thing) {
    const auto points = references(one.body);
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      line(coordinates(points[i]), coordinates(points[i + 1]), thing);
    }
  }

  void curve(std::uint64_t basis, const Vec3& from, const Vec3& to, bool same_sense,
             WrittenThing& thing) {
    const Instance* one = find(basis);
    if (one == nullptr) return;
    if (one->type == "LINE") return line(from, to, thing);
    if (one->type != "CIRCLE") return;
    const auto placement = references(all_.at(references(one->body).at(0)).body);
    const double radius = reals(arguments(one->body).back()).at(0);
    const Vec3 centre = coordinates(placement.at(0));
    Vec3 axis = normalized(coordinates(placement.at(1)));
    if (!same_sense) axis = -axis;
    const Vec3 a = from - centre;
    const Vec3 b = to - centre;
    double angle = std::atan2(dot(axis, cross(a, b)), dot(a, b));
    if (angle < 0) angle += 2 * kPi;
    const Arc arc{from, to, centre, axis, radius, angle};
    std::vector<Vec3> points;
    for (const Vec3& p : arc_points(arc, 1e-6 / scale_)) points.push_back(to_room_.apply(p));
    join(std::move(points), thing);
    thing.curve_m += arc.length_m() * scale_;
    thing.radii_m.push_back(radius * scale_);
  }

  void line(const Vec3& from, const Vec3& to, WrittenThing& thing) {
    join({to_room_.apply(from), to_room_.apply(to)}, thing);
    thing.curve_m += distance(from, to) * scale_;
  }

  static void join(std::vector<Vec3> points, WrittenThing& thing) {
    if (!thing.lines.empty() && distance(thing.lines.back().back(), points.front()) < 1e-6) {
      thing.lines.back().insert(thing.lines.back().end(), points.begin() + 1, points.end());
    } else {
      thing.lines.push_back(std::move(points));
    }
  }

  const Instances& all_;
  const Transform& to_room_;
  double scale_ = 1;
  std::map<std::uint64_t, std::vector<std::uint64_t>> users_;
};

}  // namespace

Result<WrittenModel> read_written_step(const std::filesystem::path& file,
                                       const Transform& to_room) {
  const auto text = read_file(file);
  if (!text) return text.error();
  const Instances all = Part21(*text).read();
  WrittenModel model{file.filename().string(), {}};
  try {
    Curves curves(all, to_room);
    for (const auto& [id, one] : all) {
      if (one.type != "PRODUCT") continue;
      const auto args = arguments(one.body);
      const std::string name = args.size() < 2 ? "" : string_value(args[0]) + string_value(args[1]);
      if (name.find("centreline") != std::string::npos) model.things.push_back(curves.thing(id));
    }
  } catch (const std::exception&) {
    return Error{"check.step", "Its centrelines cannot be followed.", file.string(),
                 "Route again, or restore the file."};
  }
  return model;
}

}  // namespace roomloom::check
