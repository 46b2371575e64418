#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <unordered_map>
#include <unordered_set>

#include "base/files.h"
#include "check/step_text.h"
#include "check/written.h"
#include "geometry/arc.h"

/// A reader of the few entities of ISO 10303-21 text that our additions are made of. It knows
/// nothing of the writer but the standard: names are PRODUCT names, products hang on each other by
/// NEXT_ASSEMBLY_USAGE_OCCURRENCE and have shapes by SHAPE_DEFINITION_REPRESENTATION, curves are
/// lines and circles trimmed by points.
namespace roomloom::check {
namespace {

constexpr double kTrimTolerance = 1e-5;  // metres

/// Counts how deep instances lead into each other; ours are some ten levels deep.
class Deeper {
 public:
  explicit Deeper(int& depth) : depth_(depth) {
    constexpr int kDeepest = 1000;
    if (++depth_ > kDeepest) throw std::runtime_error("instances lead too deep");
  }
  ~Deeper() { --depth_; }
  Deeper(const Deeper&) = delete;
  Deeper& operator=(const Deeper&) = delete;

 private:
  int& depth_;
};

class Curves {
 public:
  Curves(const Instances& all, const Transform& to_room) : all_(all), to_room_(to_room) {
    scale_ = std::cbrt(std::abs(to_room.determinant()));
    for (const auto& [id, one] : all) {
      for (const std::uint64_t to : references(one.body)) users_[to].push_back(id);
    }
  }

  /// The things in the groups below the product "Roomloom".
  std::vector<WrittenThing> things() {
    for (const auto& [id, one] : all_) {
      if (one.type != "NEXT_ASSEMBLY_USAGE_OCCURRENCE") continue;
      const auto products = references(one.body);  // the one above, the one below
      if (products.size() == 2) children_[products[0]].push_back(products[1]);
    }
    std::vector<WrittenThing> found;
    for (const auto& [id, one] : all_) {
      if (one.type != "PRODUCT" || name_of(id) != "Roomloom") continue;
      for (const std::uint64_t definition : definitions_of(id)) below(definition, {}, found);
    }
    return found;
  }

 private:
  std::string name_of(std::uint64_t product) const {
    const auto args = arguments(all_.at(product).body);
    const std::string name = string_value(args.at(0));
    return name.empty() ? string_value(args.at(1)) : name;
  }

  /// PRODUCT <- PRODUCT_DEFINITION_FORMATION... <- PRODUCT_DEFINITION
  std::vector<std::uint64_t> definitions_of(std::uint64_t product) const {
    std::vector<std::uint64_t> definitions;
    for (const std::uint64_t formation : users(product)) {
      if (all_.at(formation).type.rfind("PRODUCT_DEFINITION_FORMATION", 0) != 0) continue;
      for (const std::uint64_t user : users(formation)) {
        if (all_.at(user).type == "PRODUCT_DEFINITION") definitions.push_back(user);
      }
    }
    return definitions;
  }

  std::uint64_t product_of(std::uint64_t definition) const {
    const std::uint64_t formation = references(all_.at(definition).body).at(0);
    return references(all_.at(formation).body).at(0);
  }

  void below(std::uint64_t definition, const std::vector<std::string>& path,
             std::vector<WrittenThing>& found) {
    const auto children = children_.find(definition);
    if (children == children_.end() || path.size() > 3) return;
    for (const std::uint64_t child : children->second) {
      const std::uint64_t product = product_of(child);
      if (found.size() > all_.size()) throw std::runtime_error("products hang in a circle");
      if (children_.count(child) == 0) {
        found.push_back(thing(product));
        found.back().path = path;
        continue;
      }
      std::vector<std::string> deeper = path;
      deeper.push_back(name_of(product));
      below(child, deeper, found);
    }
  }

  /// The thing that a PRODUCT names: its solid's figures, or every line and arc of its wires.
  WrittenThing thing(std::uint64_t product) {
    WrittenThing thing;
    thing.name = name_of(product);
    const auto shapes = shapes_of(product);
    std::unordered_set<std::uint64_t> measured;
    for (const std::uint64_t shape : shapes) measure(shape, thing, measured);
    if (!thing.points.empty()) return thing;
    std::unordered_set<std::uint64_t> collected;
    for (const std::uint64_t shape : shapes) collect(shape, thing, collected);
    return thing;
  }

  /// Down from a representation to the vertices and round surfaces of its solids.
  void measure(std::uint64_t id, WrittenThing& thing, std::unordered_set<std::uint64_t>& seen) {
    const Instance* one = find(id);
    if (one == nullptr || !seen.insert(id).second || one->type.rfind("PRODUCT", 0) == 0) return;
    const Deeper level(depth_);
    if (one->type == "VERTEX_POINT") thing.points.push_back(to_room_.apply(vertex(id)));
    const bool round = one->type == "CYLINDRICAL_SURFACE" || one->type == "TOROIDAL_SURFACE";
    if (round) thing.tube_radii_m.push_back(reals(arguments(one->body).back()).at(0) * scale_);
    for (const std::uint64_t next : references(one->body)) measure(next, thing, seen);
  }

  const std::vector<std::uint64_t>& users(std::uint64_t id) const {
    static const std::vector<std::uint64_t> none;
    const auto found = users_.find(id);
    return found == users_.end() ? none : found->second;
  }

  const Instance* find(std::uint64_t id) const {
    const auto found = all_.find(id);
    return found == all_.end() ? nullptr : &found->second;
  }

  /// Up from a product to its shape representations.
  std::vector<std::uint64_t> shapes_of(std::uint64_t product) const {
    std::vector<std::uint64_t> open{product};
    std::vector<std::uint64_t> shapes;
    std::unordered_set<std::uint64_t> seen;
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
  void collect(std::uint64_t id, WrittenThing& thing, std::unordered_set<std::uint64_t>& seen) {
    const Instance* one = find(id);
    if (one == nullptr || !seen.insert(id).second) return;
    const Deeper level(depth_);
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

  Vec3 vertex(std::uint64_t id) const { return coordinates(references(all_.at(id).body).at(0)); }

  void edge(const Instance& one, WrittenThing& thing) {
    const auto args = arguments(one.body);
    const auto refs = references(one.body);
    curve(refs.at(2), vertex(refs.at(0)), vertex(refs.at(1)), args.back() == ".T.", thing);
  }

  /// The point of a line or circle at a parameter (ISO 10303-42, 4.4.2 and 4.4.6), angles in
  /// radians.
  Vec3 at_parameter(const Instance& basis, double t) const {
    const auto refs = references(basis.body);
    if (basis.type == "LINE") {
      const Instance& vector = all_.at(refs.at(1));
      const double length = reals(arguments(vector.body).back()).at(0);
      return coordinates(refs.at(0)) +
             t * length * normalized(coordinates(references(vector.body).at(0)));
    }
    const auto placement = references(all_.at(refs.at(0)).body);
    const double radius = reals(arguments(basis.body).back()).at(0);
    const Vec3 axis = normalized(coordinates(placement.at(1)));
    const Vec3 given = coordinates(placement.at(2));
    const Vec3 x = normalized(given - dot(given, axis) * axis);
    return coordinates(placement.at(0)) + radius * (std::cos(t) * x + std::sin(t) * cross(axis, x));
  }

  /// A trim given by a point, by a parameter, or by both, which then must mean one place: readers
  /// differ on which of them they take.
  std::optional<Vec3> trim(std::string_view list, const Instance& basis) const {
    std::optional<Vec3> point;
    for (const std::uint64_t ref : references(list)) point = coordinates(ref);
    const auto at = list.find("PARAMETER_VALUE(");
    if (at == std::string_view::npos) return point;
    const auto value = reals(list.substr(at + 16, list.find(')', at) - at - 16));
    const Vec3 there = at_parameter(basis, value.at(0));
    if (point && distance(*point, there) * scale_ > kTrimTolerance) {
      throw std::runtime_error("a trim's point and parameter differ");
    }
    return point ? point : there;
  }

  void trimmed(const Instance& one, WrittenThing& thing) {
    const auto args = arguments(one.body);
    const std::uint64_t basis = references(args.at(1)).at(0);
    const Instance* curve_below = find(basis);
    if (curve_below == nullptr) return;
    if (curve_below->type != "LINE" && curve_below->type != "CIRCLE") return;
    const auto from = trim(args.at(2), *curve_below);
    const auto to = trim(args.at(3), *curve_below);
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
    thing.arcs_at.push_back(points[points.size() / 2]);
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
  int depth_ = 0;
  std::unordered_map<std::uint64_t, std::vector<std::uint64_t>> users_;
  std::unordered_map<std::uint64_t, std::vector<std::uint64_t>>
      children_;  ///< of product definitions
};

}  // namespace

Result<WrittenModel> read_written_step(const std::filesystem::path& file,
                                       const Transform& to_room) {
  const auto text = read_file(file);
  if (!text) return text.error();
  const Instances all = read_instances(*text);
  WrittenModel model{file.filename().string(), {}};
  try {
    model.things = Curves(all, to_room).things();
  } catch (const std::exception&) {
    return Error{"check.step", "Its products and curves cannot be followed.", file.string(),
                 "Route again, or restore the file."};
  }
  return model;
}

}  // namespace roomloom::check
