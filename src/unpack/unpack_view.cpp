#include "unpack/unpack_view.h"

#include <meshoptimizer.h>

namespace roomloom {
namespace {

/// Sixteen equal bytes are packed into two bits (EXT_meshopt_compression, attributes, mode 0): no
/// packed view can hold more, so what claims more need not be given memory.
constexpr std::size_t kMostGrowth = 64;
constexpr std::size_t kLargestStride = 256;

bool holds_together(const PackedView& view) {
  if (view.count == 0 || view.stride == 0 || view.stride > kLargestStride) return false;
  switch (view.mode) {
    case PackedMode::attributes:
      if (view.stride % 4 != 0 || view.count > view.bytes.size() * kMostGrowth / view.stride + 256)
        return false;
      break;
    case PackedMode::triangles:  // at least a byte for each
      if (view.count % 3 != 0 || view.count / 3 > view.bytes.size()) return false;
      break;
    case PackedMode::indices:
      if (view.count > view.bytes.size()) return false;
      break;
  }
  if (view.mode != PackedMode::attributes)
    return (view.stride == 2 || view.stride == 4) && view.filter == PackedFilter::none;
  switch (view.filter) {
    case PackedFilter::octahedral:
      return view.stride == 4 || view.stride == 8;
    case PackedFilter::quaternion:
      return view.stride == 8;
    default:
      return true;
  }
}

int decode(const PackedView& view, std::string& out) {
  const auto* bytes = reinterpret_cast<const unsigned char*>(view.bytes.data());
  switch (view.mode) {
    case PackedMode::triangles:
      return meshopt_decodeIndexBuffer(out.data(), view.count, view.stride, bytes,
                                       view.bytes.size());
    case PackedMode::indices:
      return meshopt_decodeIndexSequence(out.data(), view.count, view.stride, bytes,
                                         view.bytes.size());
    case PackedMode::attributes:
      break;
  }
  return meshopt_decodeVertexBuffer(out.data(), view.count, view.stride, bytes, view.bytes.size());
}

void undo_filter(const PackedView& view, std::string& out) {
  switch (view.filter) {
    case PackedFilter::octahedral:
      return meshopt_decodeFilterOct(out.data(), view.count, view.stride);
    case PackedFilter::quaternion:
      return meshopt_decodeFilterQuat(out.data(), view.count, view.stride);
    case PackedFilter::exponential:
      return meshopt_decodeFilterExp(out.data(), view.count, view.stride);
    case PackedFilter::none:
      return;
  }
}

}  // namespace

std::optional<std::string> unpack_view(const PackedView& view) {
  if (!holds_together(view)) return std::nullopt;
  std::string out(view.count * view.stride, '\0');
  if (decode(view, out) != 0) return std::nullopt;
  undo_filter(view, out);
  return out;
}

}  // namespace roomloom
