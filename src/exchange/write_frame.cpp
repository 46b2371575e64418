#include "exchange/write_frame.h"

#include <cmath>

namespace roomloom {
namespace {

/// How far a frame's axes may be from square and equally long, relative.
constexpr double kSquareTolerance = 1e-9;

Vec3 column(const Transform& t, std::size_t i) { return {t.m[i], t.m[4 + i], t.m[8 + i]}; }

bool is_similarity(const Transform& t) {
  const double size = norm(column(t, 0));
  if (!(size > 0) || !std::isfinite(size) || t.determinant() <= 0) return false;
  if (!is_finite(column(t, 3))) return false;
  for (std::size_t i = 0; i < 3; ++i) {
    if (std::abs(norm(column(t, i)) - size) > kSquareTolerance * size) return false;
    const double lean = dot(column(t, i), column(t, (i + 1) % 3));
    if (std::abs(lean) > kSquareTolerance * size * size) return false;
  }
  return true;
}

/// Of a similarity: the transposed rotation over the scale.
Transform inverse(const Transform& t) {
  const double size2 = dot(column(t, 0), column(t, 0));
  const Vec3 shift = column(t, 3);
  Transform result;
  for (std::size_t row = 0; row < 3; ++row) {
    const Vec3 axis = column(t, row) / size2;
    result.m[row * 4] = axis.x;
    result.m[row * 4 + 1] = axis.y;
    result.m[row * 4 + 2] = axis.z;
    result.m[row * 4 + 3] = -dot(axis, shift);
  }
  return result;
}

}  // namespace

Vec3 FileFrame::direction(const Vec3& d) const {
  const Transform& t = written.from_room;
  return normalized({t.m[0] * d.x + t.m[1] * d.y + t.m[2] * d.z,
                     t.m[4] * d.x + t.m[5] * d.y + t.m[6] * d.z,
                     t.m[8] * d.x + t.m[9] * d.y + t.m[10] * d.z});
}

Result<FileFrame> own_frame(const Source& source) {
  if (!is_similarity(source.to_room))
    return Error{"write.bad-frame", "Its coordinates are skewed or mirrored against the room's.",
                 source.path, "Export the model again without a skewed or mirrored axis system."};
  FileFrame frame;
  frame.written = {inverse(source.to_room), source.unit_m, source.up};
  frame.scale = 1 / norm(column(source.to_room, 0));
  return frame;
}

FileFrame customary_frame(const Source& source, ModelFormat format) {
  const bool step = format == ModelFormat::step;
  const double unit_m = step ? 0.001 : 1;
  const double k = 1 / unit_m;
  const Vec3 origin = column(source.to_room, 3);
  Transform from_room;
  if (step)
    from_room.m = {k, 0, 0, -k * origin.x, 0, k, 0, -k * origin.y, 0, 0, k, -k * origin.z};
  else
    from_room.m = {k, 0, 0, -k * origin.x, 0, 0, k, -k * origin.z, 0, -k, 0, k * origin.y};
  return {{from_room, unit_m, step ? 'z' : 'y'}, k};
}

}  // namespace roomloom
