#include "unpack/unpack_mesh.h"

#include <draco/compression/decode.h>

#include <array>
#include <new>

namespace roomloom {
namespace {

Error damaged() { return {"model.syntax", "holds a packed mesh that is damaged", "", ""}; }

Error too_large() { return {"model.too-large", "holds a packed mesh that is too large", "", ""}; }

std::vector<Vec3> points_of(const draco::Mesh& mesh, const draco::PointAttribute& positions) {
  std::vector<Vec3> points;
  points.reserve(mesh.num_points());
  for (draco::PointIndex i(0); i < mesh.num_points(); ++i) {
    std::array<double, 3> value{};
    if (!positions.ConvertValue<double, 3>(positions.mapped_index(i), value.data())) return {};
    points.push_back({value[0], value[1], value[2]});
  }
  return points;
}

Result<UnpackedMesh> unpacked(std::string_view bytes, std::uint32_t position,
                              std::size_t most_points) {
  draco::DecoderBuffer buffer;
  buffer.Init(bytes.data(), bytes.size());
  draco::Decoder decoder;
  const auto read = decoder.DecodeMeshFromBuffer(&buffer);
  if (!read.ok()) return damaged();
  const draco::Mesh& mesh = *read.value();
  if (mesh.num_points() > most_points || mesh.num_faces() > most_points / 3) return too_large();
  const draco::PointAttribute* positions = mesh.GetAttributeByUniqueId(position);
  if (positions == nullptr || positions->num_components() != 3) return damaged();
  UnpackedMesh out;
  out.points = points_of(mesh, *positions);
  if (out.points.empty()) return damaged();
  for (draco::FaceIndex i(0); i < mesh.num_faces(); ++i) {
    for (const draco::PointIndex& corner : mesh.face(i)) {
      if (corner.value() >= out.points.size()) return damaged();
      out.indices.push_back(corner.value());
    }
  }
  return out;
}

}  // namespace

Result<UnpackedMesh> unpack_mesh(std::string_view bytes, std::uint32_t position,
                                 std::size_t most_points) {
  try {
    return unpacked(bytes, position, most_points);
  } catch (const std::bad_alloc&) {
    return too_large();
  } catch (const std::length_error&) {
    return too_large();
  }
}

}  // namespace roomloom
