#include "report/workbook.h"

#include <locale.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <fstream>
#include <set>

namespace roomloom {
namespace {

constexpr std::size_t kLongestName = 31;     // of a sheet, characters, by the format
constexpr std::size_t kLongestText = 32767;  // of a cell, characters, by the format

/// A sheet's name: allowed letters only, short enough, not used yet.
std::string sheet_name(const std::string& title, std::set<std::string>& used) {
  std::string name;
  for (const char c : title)
    name += std::string("[]:*?/\\'").find(c) == std::string::npos ? c : ' ';
  if (name.size() > kLongestName) name = name.substr(0, kLongestName);
  while (!name.empty() && (static_cast<unsigned char>(name.back()) & 0x80U) != 0) name.pop_back();
  std::string unique = name.empty() ? "Sheet" : name;
  for (int number = 2; used.count(unique) != 0; ++number) {
    const std::string ending = " " + std::to_string(number);
    unique = name.substr(0, kLongestName - ending.size()) + ending;
  }
  used.insert(unique);
  return unique;
}

/// Characters, not bytes, of UTF-8.
std::size_t shown_width(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::string number_format(int decimals) {
  return decimals > 0 ? "0." + std::string(static_cast<std::size_t>(decimals), '0') : "0";
}

class Writer {
 public:
  Writer(const std::filesystem::path& file, const TableStyle& style)
      : style_(style), name_(file.string()), book_(workbook_new(name_.c_str())) {
    bold_ = workbook_add_format(book_);
    format_set_bold(bold_);
    format_set_text_wrap(bold_);
    wrapped_ = workbook_add_format(book_);
    format_set_text_wrap(wrapped_);
    format_set_align(wrapped_, LXW_ALIGN_VERTICAL_TOP);
    // The clock would make each file another one.
    lxw_doc_properties properties{};
    properties.created = 946684800;  // 2000-01-01
    workbook_set_properties(book_, &properties);
  }

  void contents(const std::vector<Table>& tables, const std::vector<std::string>& names) {
    lxw_worksheet* sheet = workbook_add_worksheet(book_, "Contents");
    worksheet_set_column(sheet, 0, 0, 32, nullptr);
    worksheet_set_column(sheet, 1, 1, 36, nullptr);
    worksheet_set_column(sheet, 2, 2, 90, nullptr);
    const char* heads[] = {"Sheet", "List", "What to know"};
    for (lxw_col_t c = 0; c < 3; ++c) worksheet_write_string(sheet, 0, c, heads[c], bold_);
    for (std::size_t i = 0; i < tables.size(); ++i) {
      const auto row = static_cast<lxw_row_t>(i + 1);
      text(sheet, row, 0, names[i]);
      text(sheet, row, 1, tables[i].title);
      text(sheet, row, 2, tables[i].note);
    }
  }

  void table(const Table& table, const std::string& name) {
    lxw_worksheet* sheet = workbook_add_worksheet(book_, name.c_str());
    std::vector<std::size_t> widths;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      const std::string title = column_title(table.columns[c], style_);
      worksheet_write_string(sheet, 0, static_cast<lxw_col_t>(c), title.c_str(), bold_);
      widths.push_back(std::min<std::size_t>(14, shown_width(title)));
    }
    for (std::size_t r = 0; r < table.rows.size(); ++r)
      for (std::size_t c = 0; c < table.columns.size(); ++c)
        widths[c] = std::max(widths[c], cell(sheet, table, r, c));
    for (std::size_t c = 0; c < widths.size(); ++c)
      worksheet_set_column(sheet, static_cast<lxw_col_t>(c), static_cast<lxw_col_t>(c),
                           static_cast<double>(std::min<std::size_t>(60, widths[c] + 2)), nullptr);
    worksheet_freeze_panes(sheet, 1, 0);
    worksheet_set_landscape(sheet);
    worksheet_fit_to_pages(sheet, 1, 0);
    worksheet_repeat_rows(sheet, 0, 0);
  }

  Status close() {
    // The library prints numbers as the C library's locale has them: decimal commas would spoil the
    // file. Only this thread's locale is changed, and only for as long as it writes.
    const locale_t plain = ::newlocale(LC_ALL_MASK, "C", nullptr);
    const locale_t before = ::uselocale(plain);
    const lxw_error failed = workbook_close(book_);
    ::uselocale(before);
    if (plain != nullptr) ::freelocale(plain);
    if (failed == LXW_NO_ERROR) return Done{};
    return Error{"file.unwritable",
                 std::string("The workbook cannot be written: ") + lxw_strerror(failed) + ".",
                 name_, "Choose another folder with -o."};
  }

 private:
  void text(lxw_worksheet* sheet, lxw_row_t row, lxw_col_t column, const std::string& words) {
    if (words.empty()) return;
    worksheet_write_string(sheet, row, column, words.substr(0, kLongestText).c_str(), wrapped_);
  }

  /// @return  the width that the cell asks for
  std::size_t cell(lxw_worksheet* sheet, const Table& table, std::size_t r, std::size_t c) {
    const Cell& value = table.rows[r][c];
    const ColumnKind kind = table.columns[c].kind;
    const auto row = static_cast<lxw_row_t>(r + 1);
    const auto column = static_cast<lxw_col_t>(c);
    if (const auto* words = std::get_if<std::string>(&value)) {
      text(sheet, row, column, *words);
      return shown_width(*words);
    }
    const auto* number = std::get_if<double>(&value);
    if (number == nullptr) return 0;
    const int decimals = told_decimals(kind, style_);
    worksheet_write_number(sheet, row, column, told_number(*number, kind, style_),
                           numbers(decimals));
    return told_cell(value, kind, style_).size();
  }

  lxw_format* numbers(int decimals) {
    const auto index = static_cast<std::size_t>(decimals);
    if (formats_.size() <= index) formats_.resize(index + 1, nullptr);
    if (formats_[index] == nullptr) {
      formats_[index] = workbook_add_format(book_);
      format_set_num_format(formats_[index], number_format(decimals).c_str());
      format_set_align(formats_[index], LXW_ALIGN_VERTICAL_TOP);
    }
    return formats_[index];
  }

  TableStyle style_;
  std::string name_;
  lxw_workbook* book_;
  lxw_format* bold_ = nullptr;
  lxw_format* wrapped_ = nullptr;
  std::vector<lxw_format*> formats_;
};

}  // namespace

Status write_workbook(const std::vector<Table>& tables, const TableStyle& style,
                      const std::filesystem::path& file) {
  // The library prints its own complaint on a file that it cannot make.
  if (!std::ofstream(file, std::ios::binary))
    return Error{"file.unwritable", "The workbook cannot be written.", file.string(),
                 "Choose another folder with -o."};
  Writer writer(file, style);
  std::set<std::string> used{"Contents"};
  std::vector<std::string> names;
  for (const Table& table : tables) names.push_back(sheet_name(table.title, used));
  writer.contents(tables, names);
  for (std::size_t i = 0; i < tables.size(); ++i) writer.table(tables[i], names[i]);
  return writer.close();
}

}  // namespace roomloom
