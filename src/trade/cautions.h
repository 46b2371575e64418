#pragma once

#include <span>

namespace roomloom::trade {

/// What stands over every plan, whatever its checks say.
struct Caution {
  const char* id;
  const char* text;    ///< one or two sentences
  const char* source;  ///< publication, or "common practice, no source"
};

/// In the order of a report. The program finds conflicts with published figures; it never calls a
/// plan safe, let alone lawful.
std::span<const Caution> cautions();

/// What to say where no check found anything: "No conflict found with ...".
const char* no_conflict_text();

}  // namespace roomloom::trade
