#pragma once

#include <optional>
#include <string>
#include <vector>

namespace roomloom::check {

/// A list as a table with named columns.
class CsvTable {
 public:
  explicit CsvTable(const std::vector<std::vector<std::string>>& rows) : rows_(rows) {}

  static constexpr std::size_t npos = std::string::npos;

  std::size_t row_count() const { return rows_.empty() ? 0 : rows_.size() - 1; }
  const std::vector<std::string>& row(std::size_t index) const { return rows_[index + 1]; }

  /// The first column whose heading is `word`, with or without a unit; npos if there is none.
  std::size_t column(const std::string& word) const;

  /// Metres a unit of a column: its heading ends in "(m)", "(ft)", "(mm)" or "(in)".
  double unit_m(std::size_t column) const;

  /// The one row whose cell in `key` holds `text`; null if there is none or more than one.
  const std::vector<std::string>* row_of(const std::string& text, std::size_t key) const;

  /// A length in metres; none where there is no such column or its cell holds no number.
  std::optional<double> length_m(const std::vector<std::string>& row, std::size_t column) const;

 private:
  const std::vector<std::vector<std::string>>& rows_;
};

/// The number that a whole cell holds.
std::optional<double> number_in(const std::string& cell);

/// Whether a cell holds this text, as it is or made harmless for spreadsheets.
bool holds_text(const std::string& cell, const std::string& text);

}  // namespace roomloom::check
