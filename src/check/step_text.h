#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

/// The text of ISO 10303-21 files, as far as a check of our own additions needs it.
namespace roomloom::check {

/// One instance: its type and the text between its brackets.
struct Instance {
  std::string type;
  std::string_view body;
};

using Instances = std::map<std::uint64_t, Instance>;

/// Every instance of the text, by its number. The views point into `text`.
Instances read_instances(std::string_view text);

/// Splits a body at the commas of its first level; one piece at least.
std::vector<std::string_view> arguments(std::string_view body);

/// The numbers of "#12" in a body, in order; texts in quotes are passed over.
std::vector<std::uint64_t> references(std::string_view text);

/// The pieces of a list that are numbers.
std::vector<double> reals(std::string_view text);

/// 'O''Neill \X2\00E9\X0\' -> UTF-8 (ISO 10303-21, 6.4.3).
std::string string_value(std::string_view literal);

}  // namespace roomloom::check
