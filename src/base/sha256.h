#pragma once

#include <string>
#include <string_view>

namespace roomloom {

/// The SHA-256 digest of `bytes`, 64 lower-case hexadecimal digits. Source: FIPS PUB 180-4,
/// section 6.2.
std::string sha256(std::string_view bytes);

}  // namespace roomloom
