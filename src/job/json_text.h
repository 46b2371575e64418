#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// Where a value starts in its text: lines and columns count from 1, columns in characters.
struct TextPlace {
  int line = 1, column = 1;
};

struct JsonMember;

/// A JSON value that remembers where it stood, so that messages can point at it.
struct JsonValue {
  enum class Kind { null, boolean, number, string, array, object };
  Kind kind = Kind::null;
  TextPlace place;
  bool boolean = false;
  double number = 0;
  std::string text;
  std::vector<JsonValue> items;
  std::vector<JsonMember> members;  ///< in the order written; keys are unique

  const JsonValue* find(std::string_view key) const;  ///< of an object; null if absent
};
struct JsonMember {
  std::string key;
  TextPlace place;  ///< of the key
  JsonValue value;
};

const char* to_string(JsonValue::Kind kind);  ///< "a number", "an object", ...

/// Arrays and objects may be nested this deep.
constexpr int kJsonNesting = 64;

/// Reads RFC 8259 JSON, UTF-8. Beyond it are accepted: a byte order mark, comments (`// ...` and
/// `/* ... */`) and a comma after the last item, because people write jobs by hand.
/// Refused though the RFC leaves them open: a key given twice in an object, numbers that do not fit
/// a double, lone surrogates, nesting deeper than kJsonNesting.
/// @error `json.syntax` · `json.encoding` · `json.duplicate-key` · `json.number` · `json.nesting`;
///        `where` is "path:line:column".
Result<JsonValue> parse_json(std::string_view text, const std::string& path);

/// The value at a JSON pointer (RFC 6901), or null.
const JsonValue* at_pointer(const JsonValue& root, std::string_view pointer);

/// One step of a JSON pointer, with '~' and '/' escaped (RFC 6901, section 3).
std::string pointer_step(std::string_view key);

/// `text` as a JSON string with its quotes. Source: RFC 8259, section 7.
std::string json_quoted(std::string_view text);

}  // namespace roomloom
