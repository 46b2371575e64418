#include "base/minutes_text.h"

#include "base/units.h"

namespace roomloom {

std::string minutes_text(double minutes) {
  if (minutes > 0 && minutes < 1) return "under 1 min";
  return format_number(minutes, 0) + " min";
}

}  // namespace roomloom
