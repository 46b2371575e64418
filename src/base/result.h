#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace roomloom {

/// Something a user can cause and mend. `code` is stable ("model.unreadable"); `what` is one plain
/// sentence; `where` a file, a JSON pointer or a part's name; `remedy` what to do about it.
struct Error {
  std::string code;
  std::string what;
  std::string where;
  std::string remedy;
};

/// "where: what. remedy" on one line, for terminals and logs.
inline std::string to_text(const Error& error) {
  std::string text = error.where.empty() ? error.what : error.where + ": " + error.what;
  if (!error.remedy.empty()) text += " " + error.remedy;
  return text;
}

/// Either a value or an Error; the names follow std::expected so that it can be swapped later.
template <typename T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}      // NOLINT
  Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}  // NOLINT

  bool has_value() const { return state_.index() == 0; }
  explicit operator bool() const { return has_value(); }
  T& value() { return assert(has_value()), std::get<0>(state_); }
  const T& value() const { return assert(has_value()), std::get<0>(state_); }
  T& operator*() { return value(); }
  const T& operator*() const { return value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }
  const Error& error() const { return assert(!has_value()), std::get<1>(state_); }

 private:
  std::variant<T, Error> state_;
};

/// Success without a value, or an Error.
struct Done {};
using Status = Result<Done>;

}  // namespace roomloom
