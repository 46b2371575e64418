#include "job/read_model.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "geometry/polygon.h"

namespace roomloom {
namespace {

constexpr double kAnywhere = -10000;
constexpr double kFlat_m = 0.005;      ///< corners of one face lie this near to one plane
constexpr double kSmallest_m2 = 0.01;  ///< of a stated face
constexpr double kShortest_m = 0.005;  ///< side of a stated face
constexpr double kLowest_m = 0.3;      ///< of a stated room

/// Normal times twice the area (Newell); exact for flat rings, fair for nearly flat ones.
Vec3 area_normal(const std::vector<Vec3>& points) {
  Vec3 sum;
  for (std::size_t i = 0; i < points.size(); ++i)
    sum += cross(points[i] - points.front(), points[(i + 1) % points.size()] - points.front());
  return sum;
}

double turn(const Vec2& a, const Vec2& b, const Vec2& c) { return cross(b - a, c - a); }

bool sides_cross(const std::vector<Vec2>& ring) {
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 2; j < n; ++j) {
      if (i == 0 && j == n - 1) continue;
      const Vec2 &a = ring[i], &b = ring[(i + 1) % n], &c = ring[j], &d = ring[(j + 1) % n];
      if (turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0) return true;
      const double nearest = std::min({segment_distance(c, a, b), segment_distance(d, a, b),
                                       segment_distance(a, c, d), segment_distance(b, c, d)});
      if (nearest < 1e-6) return true;
    }
  }
  return false;
}

/// The corners in their own plane.
std::vector<Vec2> flattened(const std::vector<Vec3>& points, const Vec3& n) {
  const Vec3 u = normalized(cross(std::abs(n.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0}, n));
  const Vec3 v = cross(n, u);
  std::vector<Vec2> plane;
  for (const Vec3& p : points) plane.push_back({dot(p, u), dot(p, v)});
  return plane;
}

/// True where the points span a face; else says what is wrong with them.
bool is_sound(const StatedFace& face, const Field& field) {
  const Vec3 normal = area_normal(face.points);
  if (face.points.size() < 3 || norm(normal) / 2 < kSmallest_m2) {
    field.problem("job.face", "These points lie on one line: they give no plane.",
                  "Take three points that are well apart, not all along one edge.");
    return false;
  }
  for (std::size_t i = 0; i < face.points.size(); ++i) {
    if (distance(face.points[i], face.points[(i + 1) % face.points.size()]) > kShortest_m) continue;
    field.problem("job.face", "Two corners in a row are in one place.", "Leave one of them out.");
    return false;
  }
  const Vec3 n = normalized(normal);
  for (const Vec3& p : face.points) {
    const double off = std::abs(dot(p - face.points.front(), n));
    if (off <= kFlat_m) continue;
    field.problem("job.face",
                  "These corners are not flat: one is " + format_number(off * 1000, 0) +
                      " mm off the plane of the others.",
                  "Measure again, or split the face in two.");
    return false;
  }
  if (!face.whole_plane && sides_cross(flattened(face.points, n))) {
    field.problem("job.face", "Sides of this outline cross each other.",
                  "List the corners in order, once round.");
    return false;
  }
  return true;
}

std::vector<Vec3> read_points(const Field& field) {
  std::vector<Vec3> points;
  for (const Field& point : field.items()) point.read_point(points.emplace_back());
  return points;
}

void read_face(const Field& field, ModelInput& model) {
  StatedFace face;
  face.pointer = field.pointer();
  field["name"].read(face.name);
  face.role = role_from(field["is"].text()).value_or(Role::wall);
  const Field plane = field["plane"], corners = field["corners"];
  if (plane.given() == corners.given())
    return field.problem("job.face", "A face is given by its plane or by its corners.",
                         "Give \"plane\": three points, or \"corners\": all of them in order.");
  face.whole_plane = plane.given();
  const Field& points = face.whole_plane ? plane : corners;
  face.points = read_points(points);
  if (is_sound(face, points)) model.faces.push_back(std::move(face));
}

/// The room's outline as faces: a wall a side, floor and ceiling.
void read_outline(const Field& outline, ModelInput& model) {
  std::vector<Vec2> corners;
  for (const Field& corner : outline["corners"].items()) {
    const std::vector<Field> axes = corner.items();
    if (axes.size() != 2) return;  // the schema has said so
    Vec2& p = corners.emplace_back();
    axes[0].read_length(p.x, kAnywhere);
    axes[1].read_length(p.y, kAnywhere);
  }
  double floor = 0, height = 0;
  outline["floor"].read_length(floor, kAnywhere);
  outline["height"].read_length(height, kLowest_m);
  if (corners.size() < 3 || height <= 0) return;
  const auto level = [&](double z, const char* name, Role role) {
    StatedFace face{name, role, {}, false, outline.pointer()};
    for (const Vec2& p : corners) face.points.push_back({p.x, p.y, z});
    return face;
  };
  StatedFace bottom = level(floor, "Stated floor", Role::floor);
  if (!is_sound(bottom, outline["corners"])) return;
  model.faces.push_back(std::move(bottom));
  model.faces.push_back(level(floor + height, "Stated ceiling", Role::ceiling));
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vec2 &a = corners[i], &b = corners[(i + 1) % corners.size()];
    model.faces.push_back({"Stated wall " + std::to_string(i + 1),
                           Role::wall,
                           {{a.x, a.y, floor},
                            {b.x, b.y, floor},
                            {b.x, b.y, floor + height},
                            {a.x, a.y, floor + height}},
                           false,
                           outline.pointer()});
  }
}

}  // namespace

ModelInput read_model_input(const Field& field) {
  ModelInput model;
  field["file"].read(model.file);
  if (std::erase(model.file, '\0') > 0)
    field["file"].problem("job.file", "A file's name holds no null character.",
                          "Give the model's path.");
  if (field["unit"].given())
    model.unit_m =
        word_or<double>(field["unit"], 1.0,
                        {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}, {"in", 0.0254}, {"ft", 0.3048}});
  if (field["up"].given()) model.up = word_or<char>(field["up"], 'z', {{"y", 'y'}, {"z", 'z'}});
  if (field["seed"].given()) {
    model.seed = Vec3{};
    field["seed"].read_point(*model.seed);
  }
  for (const Field& face : field["faces"].items()) read_face(face, model);
  if (field["outline"].given()) read_outline(field["outline"], model);
  return model;
}

}  // namespace roomloom
