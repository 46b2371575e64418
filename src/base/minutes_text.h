#pragma once

#include <string>

namespace roomloom {

/// Minutes as a person reads them beside a task: "12 min"; what takes time is never "0 min".
std::string minutes_text(double minutes);

}  // namespace roomloom
