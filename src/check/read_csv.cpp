#include "base/files.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

// A reader of the grammar in RFC 4180, section 2, with CRLF or LF.
class CsvReader {
 public:
  explicit CsvReader(const std::string& text) : text_(text) {}

  bool read(std::vector<std::vector<std::string>>& rows) {
    while (at_ < text_.size()) {
      std::vector<std::string> row;
      do {
        std::string cell;
        if (!read_cell(cell)) return false;
        row.push_back(std::move(cell));
      } while (take(','));
      if (!take_line_end()) return false;
      rows.push_back(std::move(row));
    }
    return true;
  }

 private:
  bool take(char c) {
    if (at_ >= text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }

  bool take_line_end() {
    if (at_ >= text_.size()) return true;
    take('\r');
    return take('\n');
  }

  bool read_cell(std::string& cell) {
    if (!take('"')) {
      while (at_ < text_.size() && text_[at_] != ',' && text_[at_] != '\r' && text_[at_] != '\n') {
        cell += text_[at_++];
      }
      return true;
    }
    while (at_ < text_.size()) {
      if (text_[at_] != '"') {
        cell += text_[at_++];
        continue;
      }
      ++at_;
      if (!take('"')) return true;
      cell += '"';
    }
    return false;
  }

  const std::string& text_;
  std::size_t at_ = 0;
};

}  // namespace

Result<std::vector<std::vector<std::string>>> read_csv(const std::filesystem::path& file) {
  const auto text = read_file(file);
  if (!text) return text.error();
  std::string body = *text;
  if (body.rfind("\xEF\xBB\xBF", 0) == 0) body.erase(0, 3);
  std::vector<std::vector<std::string>> rows;
  if (!CsvReader(body).read(rows)) {
    return Error{"check.csv", "A quoted cell does not end.", file.string(), "Route again."};
  }
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (rows[i].size() != rows[0].size()) {
      return Error{"check.csv", "Row " + std::to_string(i + 1) + " has another number of cells.",
                   file.string(), "Route again."};
    }
  }
  return rows;
}

}  // namespace roomloom::check
