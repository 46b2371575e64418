#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// A JSON value by where its text lies, so that a document can be changed in places and every
/// other byte of it kept.
struct JsonSpanMember;
struct JsonSpan {
  enum class Kind { object, array, string, number, literal };
  Kind kind = Kind::literal;
  std::size_t begin = 0, end = 0;  ///< of the value's text
  std::vector<JsonSpanMember> members;
  std::vector<JsonSpan> elements;

  /// The member of that name, or null.
  const JsonSpan* find(std::string_view key) const;
};
struct JsonSpanMember {
  std::string_view key;  ///< as written, escapes kept
  JsonSpan value;
};

/// @error `write.original-syntax` no JSON, or nested deeper than 200
Result<JsonSpan> json_spans(std::string_view text, const std::string& file);

/// Changes to a text, applied all at once. Where several insert at one place, they keep their
/// order.
class TextEdits {
 public:
  void replace(const JsonSpan& value, std::string text) {
    edits_.push_back({value.begin, value.end, std::move(text)});
  }
  void insert(std::size_t at, std::string text) { edits_.push_back({at, at, std::move(text)}); }
  std::string applied(std::string_view text) const;

 private:
  struct Edit {
    std::size_t begin, end;
    std::string text;
  };
  std::vector<Edit> edits_;
};

/// A string literal with its quotes; bytes that are no UTF-8 become U+FFFD.
std::string json_string(std::string_view utf8);
/// The text of a string literal; \u escapes included.
std::string json_unquoted(std::string_view literal);
/// The fewest digits that read back the same.
std::string json_number(double value);

}  // namespace roomloom
