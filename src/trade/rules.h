#pragma once

#include <span>
#include <string>
#include <string_view>

namespace roomloom::trade {

/// What one check of the trade is about. Levels, figures and places come with each finding.
struct Rule {
  const char* id;       ///< our own, stable
  const char* what;     ///< what is judged
  const char* formula;  ///< empty: a comparison of lengths or counts
  const char* limit;
  const char* source;  ///< publication, or "common practice, no source"
};

std::span<const Rule> rules();
const Rule* rule(std::string_view id);

/// What a rule is about, its formula, limit and source, a line each; empty if there is none.
std::string explained(std::string_view id);

}  // namespace roomloom::trade
