#pragma once

#include <filesystem>

namespace roomloom::fuzz {

/// Sketches, plans and writes the small room of tests/fuzz/small into a folder of its own, and
/// names its result as small_result(). Gone with this object.
class SmallRoom {
 public:
  SmallRoom();
  ~SmallRoom();
  SmallRoom(const SmallRoom&) = delete;
  SmallRoom& operator=(const SmallRoom&) = delete;

 private:
  std::filesystem::path folder_;
};

}  // namespace roomloom::fuzz
