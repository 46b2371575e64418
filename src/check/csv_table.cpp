#include "check/csv_table.h"

#include <charconv>
#include <cmath>

namespace roomloom::check {

std::size_t CsvTable::column(const std::string& word) const {
  if (rows_.empty()) return npos;
  for (std::size_t i = 0; i < rows_[0].size(); ++i) {
    const std::string& heading = rows_[0][i];
    if (heading == word || heading.rfind(word + " (", 0) == 0) return i;
  }
  return npos;
}

double CsvTable::unit_m(std::size_t column) const {
  const std::string& heading = rows_[0][column];
  if (heading.find("(ft)") != std::string::npos) return 0.3048;
  if (heading.find("(mm)") != std::string::npos) return 0.001;
  if (heading.find("(in)") != std::string::npos) return 0.0254;
  return 1;
}

const std::vector<std::string>* CsvTable::row_of(const std::string& text, std::size_t key) const {
  const std::vector<std::string>* found = nullptr;
  for (std::size_t i = 0; i < row_count(); ++i) {
    if (!holds_text(row(i)[key], text)) continue;
    if (found != nullptr) return nullptr;
    found = &row(i);
  }
  return found;
}

std::optional<double> CsvTable::length_m(const std::vector<std::string>& row,
                                         std::size_t column) const {
  if (column >= row.size()) return std::nullopt;
  const auto value = number_in(row[column]);
  if (!value) return std::nullopt;
  return *value * unit_m(column);
}

std::optional<double> number_in(const std::string& cell) {
  double value = 0;
  const auto done = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (done.ec != std::errc{} || done.ptr != cell.data() + cell.size()) return std::nullopt;
  if (!std::isfinite(value)) return std::nullopt;
  return value;
}

bool holds_text(const std::string& cell, const std::string& text) {
  return cell == text || cell == "'" + text;
}

}  // namespace roomloom::check
