#pragma once

#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/vec.h"

namespace roomloom {

/// What must be known of a STEP file's text to add entities to it.
struct Part21Outline {
  std::vector<std::string> schemas;    ///< FILE_SCHEMA's names, without object identifiers
  std::uint64_t last_id = 0;           ///< largest instance number
  std::size_t insertion = 0;           ///< where the ENDSEC of the last DATA section starts
  std::vector<double> length_units_m;  ///< as the contexts of the file declare them, in file order
};

/// @error `write.original-syntax` no DATA section that ends
Result<Part21Outline> outline_part21(std::string_view text, const std::string& file);

/// A reference to an instance: "#12".
struct Ref {
  std::uint64_t id = 0;
};

/// Builds the text of instances, one a line. Numbers are printed with the fewest digits that read
/// back the same, in the notation of ISO 10303-21.
class Part21Text {
 public:
  explicit Part21Text(std::uint64_t first_id) : next_(first_id) {}

  /// Adds an instance whose body is made of the arguments: text as it is, references, numbers,
  /// points as "(x,y,z)", lists of references as "(#1,#2)".
  template <typename... Arguments>
  Ref add(const Arguments&... arguments) {
    const Ref ref{next_++};
    append(ref);
    text_ += '=';
    (append(arguments), ...);
    text_ += ";\n";
    return ref;
  }

  const std::string& text() const { return text_; }

 private:
  void append(std::string_view piece) { text_ += piece; }
  void append(Ref ref);
  void append(double number);
  void append(const Vec3& vector);
  void append(const std::vector<Ref>& refs);

  std::string text_;
  std::uint64_t next_;
};

/// 'text' as a string literal: quotes and backslashes doubled, other than ASCII as \X2\ or \X4\.
std::string part21_string(std::string_view utf8);

/// A REAL: always with a point.
std::string part21_real(double value);

}  // namespace roomloom
