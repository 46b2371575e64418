#pragma once

#include <array>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace roomloom {

/// What was wrong in a room file; all of it is told at once.
struct EntryProblems {
  std::vector<std::string> lines;  ///< "/doors/0/width: expected ..."
};

/// Reads one JSON object key by key. Whatever key was never asked for is a mistake, told by
/// finish() with the nearest one that was. Each reader leaves `out` alone where the key is absent.
class Entry {
 public:
  Entry(const nlohmann::json& value, std::string pointer, EntryProblems& problems);

  bool has(const char* key);
  /// Complains where the key is absent.
  void require(const char* key);
  void text(const char* key, std::string& out);
  void flag(const char* key, bool& out);
  void count(const char* key, int& out);
  /// Metres, at least `least`.
  void length(const char* key, double& out, double least = 0.0005);
  void length(const char* key, std::optional<double>& out, double least = 0);
  /// Radians within [least, most].
  void angle(const char* key, double& out, double least, double most);
  /// A list of so many lengths, of either sign.
  void lengths(const char* key, double* out, std::size_t count);
  /// One of `words`: its index.
  void word(const char* key, int& out, const std::vector<std::string>& words);
  /// A list of lists of lengths, each `count` long.
  std::vector<std::array<double, 3>> length_lists(const char* key, std::size_t count);
  /// A list of texts.
  std::vector<std::string> texts(const char* key);
  /// The object at the key, or nothing.
  std::optional<Entry> entry(const char* key);
  /// The objects of the list at the key.
  std::vector<Entry> entries(const char* key);

  void complain(const std::string& what);
  void complain(const std::string& key, const std::string& what);
  void finish();

 private:
  const nlohmann::json* find(const char* key);
  std::optional<double> length_of(const nlohmann::json& value, const std::string& at, double least);

  const nlohmann::json* value_;
  std::string pointer_;
  EntryProblems* problems_;
  std::vector<std::string> asked_;
};

}  // namespace roomloom
