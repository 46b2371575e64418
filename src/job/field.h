#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/vec.h"
#include "job/json_text.h"

namespace roomloom {

/// A document being read and what was found wrong with it.
struct DocumentText {
  const JsonValue& root;
  std::string path;
  std::vector<Error> problems;

  /// Adds a problem at a JSON pointer, with its line and column.
  void add(const std::string& pointer, std::string code, std::string what, std::string remedy);
};

/// A value of the document, or its absence. Values of the wrong kind read as absent: the schema has
/// reported them already.
class Field {
 public:
  Field(const JsonValue* value, std::string pointer, DocumentText& document)
      : value_(value), pointer_(std::move(pointer)), document_(&document) {}

  const JsonValue* value() const { return value_; }
  bool given() const { return value_ != nullptr; }
  bool is(JsonValue::Kind kind) const { return given() && value_->kind == kind; }
  const std::string& pointer() const { return pointer_; }
  Field operator[](const char* key) const;
  std::vector<Field> items() const;
  void problem(std::string code, std::string what, std::string remedy) const;

  // Each leaves `out` alone when the field is absent or of the wrong kind.
  void read(std::string& out) const;
  void read(bool& out) const;
  void read(int& out) const;
  void read_number(double& out) const;
  /// Metres; a problem when below `least`, beyond 10 km, or not a length.
  void read_length(double& out, double least = 0) const;
  /// As that, below `most` either way; none, and a problem, where it is none.
  std::optional<double> read_metres(double most, const char* too_long) const;
  void read_angle(double& out) const;
  /// 0..1: a number or "5 %".
  void read_share(double& out) const;
  void read_point(Vec3& out) const;
  /// A text or a list of texts.
  void read_words(std::vector<std::string>& out) const;

  std::optional<double> length(double least = 0) const;
  std::optional<bool> boolean() const;
  std::string text() const;

 private:
  const JsonValue* value_;
  std::string pointer_;
  DocumentText* document_;
};

/// What a word of a fixed set means; `otherwise` where none of them is given.
template <typename T>
T word_or(const Field& field, T otherwise, std::initializer_list<std::pair<const char*, T>> words) {
  const std::string text = field.text();
  for (const auto& [word, value] : words)
    if (text == word) return value;
  return otherwise;
}

/// A number with a unit word after it, such as "8 ohm" or "5 %"; nothing if it is not that.
std::optional<double> number_with_unit(const std::string& text,
                                       const std::vector<std::string>& units);

}  // namespace roomloom
