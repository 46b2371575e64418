#include "exchange/read_gltf_places.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace roomloom::gltf {
namespace {

using Quaternion = std::array<double, 4>;  // x, y, z, w

/// Scaled, then turned, then moved.
Transform placed(const Vec3& t, const Quaternion& r, const Vec3& s, const std::string& pointer) {
  const double length = std::sqrt(r[0] * r[0] + r[1] * r[1] + r[2] * r[2] + r[3] * r[3]);
  if (!(length > 1e-6) || !std::isfinite(length)) throw Fault{pointer, "is not a quaternion"};
  const double x = r[0] / length, y = r[1] / length, z = r[2] / length, w = r[3] / length;
  Transform out;
  out.m = {s.x * (1 - 2 * (y * y + z * z)), s.y * 2 * (x * y - z * w),
           s.z * 2 * (x * z + y * w),       t.x,
           s.x * 2 * (x * y + z * w),       s.y * (1 - 2 * (x * x + z * z)),
           s.z * 2 * (y * z - x * w),       t.y,
           s.x * 2 * (x * z - y * w),       s.y * 2 * (y * z + x * w),
           s.z * (1 - 2 * (x * x + y * y)), t.z};
  return out;
}

/// The accessor that holds one of the instances' attributes; -1 where there is none.
int attribute(const Json& instancing, const char* name, const Accessors& accessors,
              const std::string& pointer) {
  const auto attributes = instancing.find("attributes");
  if (attributes == instancing.end() || !attributes->is_object())
    throw Fault{pointer + "/attributes", "is missing"};
  return index_at(*attributes, name, accessors.size(), pointer + "/attributes");
}

}  // namespace

Transform local_of(const Json& node, const std::string& pointer) {
  const std::vector<double> m = numbers_at(node, "matrix", 16, pointer);
  if (!m.empty()) {  // column by column
    Transform out;
    for (std::size_t row = 0; row < 3; ++row)
      for (std::size_t col = 0; col < 4; ++col) out.m[row * 4 + col] = m[col * 4 + row];
    return out;
  }
  const std::vector<double> t = numbers_at(node, "translation", 3, pointer);
  const std::vector<double> r = numbers_at(node, "rotation", 4, pointer);
  const std::vector<double> s = numbers_at(node, "scale", 3, pointer);
  return placed(t.empty() ? Vec3{} : Vec3{t[0], t[1], t[2]},
                r.empty() ? Quaternion{0, 0, 0, 1} : Quaternion{r[0], r[1], r[2], r[3]},
                s.empty() ? Vec3{1, 1, 1} : Vec3{s[0], s[1], s[2]}, pointer + "/rotation");
}

std::vector<Transform> instances_of(const Json& instancing, Accessors& accessors,
                                    const std::string& pointer) {
  std::optional<std::size_t> count;
  const auto read = [&](const char* name, auto get) {
    const int accessor = attribute(instancing, name, accessors, pointer);
    if (accessor < 0) return decltype(get(accessor)){};
    auto values = get(accessor);
    if (count && *count != values.size())
      throw Fault{pointer + "/attributes/" + name, "has another count than the others"};
    count = values.size();
    return values;
  };
  const auto vectors = [&](int accessor) { return accessors.vectors(accessor); };
  const auto moved = read("TRANSLATION", vectors);
  const auto turned = read("ROTATION", [&](int a) { return accessors.quaternions(a); });
  const auto scaled = read("SCALE", vectors);
  if (!count) throw Fault{pointer + "/attributes", "places no instance"};
  std::vector<Transform> places;
  for (std::size_t i = 0; i < *count; ++i)
    places.push_back(placed(
        moved.empty() ? Vec3{} : moved[i], turned.empty() ? Quaternion{0, 0, 0, 1} : turned[i],
        scaled.empty() ? Vec3{1, 1, 1} : scaled[i], pointer + "/attributes/ROTATION"));
  return places;
}

}  // namespace roomloom::gltf
