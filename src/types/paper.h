#pragma once

namespace roomloom {

/// What drawings are printed on. Sheets lie on their long side.
enum class Paper { a3, a4, letter };

}  // namespace roomloom
