// One program a target, with libFuzzer's own main: fuzz_job -max_total_time=60 corpus/
// ROOMLOOM_FUZZ_RESULT names the folder of a result that the target "record" adds to.

#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "fuzz/seeds.h"
#include "fuzz/targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const roomloom::fuzz::Target* const target = [] {
    if (const char* result = std::getenv("ROOMLOOM_FUZZ_RESULT"))
      roomloom::fuzz::use_small_result(result);
    return roomloom::fuzz::find_target(ROOMLOOM_FUZZ_TARGET);
  }();
  target->read({reinterpret_cast<const char*>(data), size});
  return 0;
}
