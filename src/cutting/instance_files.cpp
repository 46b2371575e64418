#include "cutting/instance_files.h"

#include <charconv>
#include <filesystem>
#include <optional>
#include <sstream>

#include "base/files.h"

namespace roomloom::cutting {
namespace {

using Rows = std::vector<std::vector<std::string>>;

std::optional<double> number_of(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !(value >= 0) || value > 1e7)
    return std::nullopt;
  return value;
}

Rows rows_of(const std::string& text) {
  Rows rows;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    std::vector<std::string> row;
    for (std::string word; words >> word;) row.push_back(word);
    if (!row.empty()) rows.push_back(std::move(row));
  }
  return rows;
}

std::optional<std::vector<double>> numbers(const std::vector<std::string>& row, std::size_t count) {
  std::vector<double> values;
  for (const std::string& word : row) {
    const auto value = number_of(word);
    if (!value) return std::nullopt;
    values.push_back(*value);
  }
  if (values.size() < count) return std::nullopt;
  return values;
}

std::optional<std::vector<Instance>> read_library(const Rows& rows) {
  std::vector<Instance> instances;
  std::size_t row = 1;
  while (row + 1 < rows.size()) {
    Instance instance;
    instance.name = rows[row++].front();
    const auto head = numbers(rows[row++], 2);
    if (!head || rows.size() - row < static_cast<std::size_t>((*head)[1])) return std::nullopt;
    instance.capacity = (*head)[0];
    for (int piece = 0; piece < static_cast<int>((*head)[1]); ++piece) {
      const auto size = numbers(rows[row++], 1);
      if (!size) return std::nullopt;
      instance.lengths.push_back(size->front());
    }
    instances.push_back(std::move(instance));
  }
  if (instances.empty()) return std::nullopt;
  return instances;
}

/// Rows of "length demand", or of a length alone.
std::optional<Instance> read_rows(const Rows& rows, std::size_t first, double capacity) {
  Instance instance{"", capacity, {}};
  for (std::size_t row = first; row < rows.size(); ++row) {
    const auto values = numbers(rows[row], 1);
    if (!values) return std::nullopt;
    const double demand = values->size() > 1 ? (*values)[1] : 1;
    if (demand > 1e6) return std::nullopt;
    for (int copy = 0; copy < static_cast<int>(demand); ++copy)
      instance.lengths.push_back((*values)[0]);
  }
  if (instance.lengths.empty()) return std::nullopt;
  return instance;
}

std::optional<std::vector<Instance>> read_any(const Rows& rows, const std::string& name) {
  if (rows.size() < 2) return std::nullopt;
  const auto first = numbers(rows[0], 1);
  if (!first) return std::nullopt;
  const bool named = rows.size() > 2 && rows[2].size() >= 2 && rows[1].size() == 1 &&
                     (!number_of(rows[1][0]) || rows[2].size() == 3);
  if (named) return read_library(rows);
  std::optional<Instance> instance;
  const auto second = numbers(rows[1], 1);
  const bool single = first->size() == 1 && second && second->size() == 1;
  const double listed = static_cast<double>(rows.size() - 2);
  if (single && (*first)[0] == listed)
    instance = read_rows(rows, 2, (*second)[0]);
  else if (single && (*second)[0] == listed)
    instance = read_rows(rows, 2, (*first)[0]);
  else
    instance = read_rows(rows, 1, first->size() > 1 ? (*first)[1] : (*first)[0]);
  if (!instance) return std::nullopt;
  instance->name = name;
  return std::vector<Instance>{*instance};
}

}  // namespace

Result<std::vector<Instance>> read_instances(const std::string& path) {
  const Result<std::string> text = read_file(path);
  if (!text) return text.error();
  auto instances = read_any(rows_of(*text), std::filesystem::path(path).stem().string());
  if (!instances)
    return Error{"instance.syntax", "This is no bin packing or cutting stock instance.", path,
                 "See --help for the forms that are read."};
  return *instances;
}

}  // namespace roomloom::cutting
