#pragma once

#include "base/result.h"
#include "exchange/write.h"

namespace roomloom {

/// Room frame to file coordinates: a rotation, a scale and a shift.
struct FileFrame {
  WrittenFrame written;
  double scale = 1;  ///< file units a metre

  Vec3 point(const Vec3& p) const { return written.from_room.apply(p); }
  /// A unit direction stays one.
  Vec3 direction(const Vec3& d) const;
  double length(double metres) const { return metres * scale; }
};

/// The original's own coordinates: the inverse of Source::to_room.
/// @error `write.bad-frame`
Result<FileFrame> own_frame(const Source& source);

/// The original's origin, with the unit and up axis that are the custom of another format.
FileFrame customary_frame(const Source& source, ModelFormat format);

}  // namespace roomloom
