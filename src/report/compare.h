#pragma once

#include <string>

#include "base/result.h"
#include "base/units.h"

namespace roomloom {

/// What changed from one plan.json to another, in words: ends, runs, cut lengths, holes, raceway
/// cable and shopping, with what each comes to. "Nothing changed." when nothing did.
/// @param old_text,new_text  contents of two plan.json files
/// @error `compare.no-plan` a text is no plan · `version.*` a plan of a newer version
Result<std::string> compare_text(const std::string& old_text, const std::string& new_text,
                                 DisplayUnits units);

/// The same as a table: RFC 4180, UTF-8, CRLF, a row a change, lengths in metres.
Result<std::string> compare_csv(const std::string& old_text, const std::string& new_text);

/// The same as JSON: {"ends":[], "runs":[], "holes":[], "raceway":[], "cable":[], "shopping":[]},
/// each entry with
/// "name", "change" (added | removed | changed) and, where there are figures, "old" and "new".
Result<std::string> compare_json(const std::string& old_text, const std::string& new_text);

}  // namespace roomloom
