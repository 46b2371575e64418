#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "job/json_text.h"

namespace roomloom {

/// "job.json:12:5 /runs/3/cable": how messages name a place in a document.
std::string where_in(const std::string& path, const TextPlace& place, const std::string& pointer);

/// Holds `value` against the part of a JSON Schema (draft 2020-12) at `schema_pointer` and adds
/// every violation to `problems`, each naming line, column, JSON pointer, what is expected and, for
/// words and keys, the nearest that are valid.
///
/// Understood: type, enum, const, required, properties, additionalProperties, items, minItems,
/// maxItems, minLength, minimum, maximum, exclusiveMinimum, anyOf (the branch that fits the value's
/// kind is reported), $ref within the document. Other keywords are skipped: a test holds the
/// program's own schema to this list.
/// @error codes `schema.type` · `schema.word` · `schema.missing-key` · `schema.unknown-key` ·
///        `schema.size` · `schema.range`
void validate(const JsonValue& value, const JsonValue& schema_root, std::string_view schema_pointer,
              const std::string& path, std::vector<Error>& problems);

}  // namespace roomloom
