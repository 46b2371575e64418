#pragma once

#include <optional>
#include <vector>

#include "types/annotation.h"

namespace roomloom {

/// Places tags so that none lies on another.
class TagBoard {
 public:
  /// Tags stay inside this box where they can.
  explicit TagBoard(const Box3& room) : room_(room) {}

  struct Placed {
    Tag tag;
    /// From what it belongs to, to the tag's near edge; only if it had to go some way off.
    std::optional<Line3> leader;
  };

  /// Puts `text` close to `at`, read by someone whom `outward` points at, upright on walls. Of the
  /// places about `at`, row by row further off, the first is taken that is free and inside the
  /// room; if there is none, the last one tried that is inside.
  Placed place(const std::string& text, const Vec3& at, const Vec3& outward, double height_m);

 private:
  bool is_free(const Box3& box) const;
  Box3 room_;
  std::vector<Box3> taken_;
};

}  // namespace roomloom
