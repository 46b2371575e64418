#pragma once

#include <string_view>

namespace roomloom {

/// The files of this folder as the program carries them.
std::string_view embedded_job_schema();
std::string_view embedded_catalogue();

}  // namespace roomloom
