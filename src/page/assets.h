#pragma once

#include <string_view>

namespace roomloom::page {

/// Made at build time from web/: the script with the 3D library in it, the style sheet, and the
/// licences of what the script holds.
std::string_view page_script();
std::string_view page_style();
std::string_view page_licences();

}  // namespace roomloom::page
