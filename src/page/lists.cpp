#include <cmath>
#include <map>

#include "page/parts.h"
#include "page/text.h"

namespace roomloom::page {
namespace {

constexpr std::size_t kLongText = 32;  // bytes, from which on a cell is broken into lines
constexpr std::string_view kPlansTitle = "Plans side by side";

using RunNumbers = std::map<std::string, int, std::less<>>;

RunNumbers run_numbers(const Ends& ends) {
  RunNumbers numbers;
  for (std::size_t i = 0; i < ends.runs.size(); ++i)
    numbers.emplace(ends.runs[i].id, static_cast<int>(i));
  return numbers;
}

/// Without the zeros that say nothing.
std::string short_number(double value, int decimals) {
  std::string text = format_number(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

/// Lists that one cuts and drills by: as on the sheets, a centimetre is too coarse.
bool to_the_millimetre(const Table& table) {
  return table.id == "holes" || table.id == "hole_schedule" || table.id == "raceway_pieces" ||
         table.id == "raceway_cuts";
}

std::string number_text(double value, ColumnKind kind, DisplayUnits units, bool fine) {
  switch (kind) {
    case ColumnKind::count:
      return format_number(value, 0);
    case ColumnKind::length:
      return fine ? format_size(value, units, 0) : format_length(value, units, 2);
    case ColumnKind::size:
      return format_size(value, units, 1);
    case ColumnKind::angle:
      return short_number(degrees(value), 1) + "°";
    case ColumnKind::money:
      return format_number(value, 2);
    case ColumnKind::minutes:
      return short_number(value, 1) + " min";
    case ColumnKind::tick:
      return value != 0 ? "☑" : "☐";
    default:
      return short_number(value, 3);
  }
}

/// "S1, S2": each that names a run becomes a button.
std::string with_run_buttons(const std::string& text, const RunNumbers& runs) {
  std::string out;
  std::size_t from = 0;
  while (from <= text.size()) {
    std::size_t to = text.find(", ", from);
    if (to == std::string::npos) to = text.size();
    const std::string word = text.substr(from, to - from);
    const auto found = runs.find(word);
    out += found == runs.end() ? html(word) : run_button(found->second, word);
    if (to < text.size()) out += ", ";
    from = to + 2;
  }
  return out;
}

bool names_runs(const Column& column) {
  return column.kind == ColumnKind::text && column.key.find("run") != std::string::npos;
}

std::string cell_html(const Cell& cell, const Column& column, const RunNumbers& runs,
                      DisplayUnits units, bool fine) {
  if (std::holds_alternative<std::monostate>(cell))
    return column.kind == ColumnKind::tick ? "<td class=\"tick\">☐</td>" : "<td></td>";
  const auto* text = std::get_if<std::string>(&cell);
  if (text != nullptr && text->empty() && column.kind == ColumnKind::tick)
    return "<td class=\"tick\">☐</td>";
  if (text != nullptr)
    return (text->size() > kLongText ? "<td class=\"w\">" : "<td>") +
           (names_runs(column) ? with_run_buttons(*text, runs) : html(*text, 600)) + "</td>";
  const double value = std::get<double>(cell);
  return "<td class=\"" + std::string(column.kind == ColumnKind::tick ? "tick" : "n") +
         "\" data-v=\"" + short_number(value, 6) + "\">" +
         number_text(value, column.kind, units, fine) + "</td>";
}

std::string head_html(const Table& table, const std::string& currency) {
  std::string out = "<thead><tr>";
  for (const Column& column : table.columns) {
    const bool number = column.kind != ColumnKind::text && column.kind != ColumnKind::tick;
    out += std::string("<th scope=\"col\"") + (number ? " class=\"n\"" : "") + ">" +
           html(column.title) + (column.kind == ColumnKind::money ? ", " + html(currency) : "") +
           "</th>";
  }
  return out + "</tr></thead>\n";
}

/// Lists of this plan beside others, or beside what it would be at other prices.
bool compares_plans(const Table& table) {
  return table.id == "presets" || table.id == "sensitivity" || table.id == "variants";
}

}  // namespace

std::string counted(std::size_t count, const std::string& noun) {
  return std::to_string(count) + " " + noun + (count == 1 ? "" : "s");
}

std::string run_button(int run, const std::string& id) {
  return "<button class=\"run\" data-run=\"" + std::to_string(run) + "\">" + html(id, 60) +
         "</button>";
}

int run_named(const Ends& ends, std::string_view id) {
  for (std::size_t i = 0; i < ends.runs.size(); ++i)
    if (ends.runs[i].id == id) return static_cast<int>(i);
  return -1;
}

std::string table_html(const Table& table, const PageRequest& r) {
  const RunNumbers runs = run_numbers(r.ends);
  std::string out = "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"" +
                    html(table.title) + "\"><table>\n" + head_html(table, r.job.currency) +
                    "<tbody>\n";
  for (const std::vector<Cell>& row : table.rows) {
    out += "<tr>";
    for (std::size_t i = 0; i < row.size() && i < table.columns.size(); ++i)
      out += cell_html(row[i], table.columns[i], runs, r.job.units, to_the_millimetre(table));
    out += "</tr>\n";
  }
  return out + "</tbody></table></div>\n";
}

std::string lists_html(const PageRequest& r) {
  std::string out;
  for (const Table& table : r.takeoff.tables) {
    if (table.rows.empty() || compares_plans(table)) continue;
    out += "<section class=\"list\" id=\"list-" + slug(table.id) + "\" data-title=\"" +
           html(table.title) + "\">\n<h3>" + html(table.title) + " <span class=\"count\">" +
           std::to_string(table.rows.size()) + "</span></h3>\n";
    if (!table.note.empty()) out += "<p class=\"note\">" + html(table.note, 2000) + "</p>\n";
    out += table_html(table, r) + "</section>\n";
  }
  if (out.empty()) return {};
  return "<section id=\"lists\"><h2>Lists</h2>\n<p class=\"hint\">Each is also a CSV file beside "
         "this page. A run's name shows it in the room above.</p>\n" +
         out + "</section>\n";
}

std::string plans_html(const PageRequest& r) {
  std::string out;
  for (const Table& table : r.takeoff.tables) {
    // That nothing would change the plan is an answer too: the note gives it.
    if (!compares_plans(table) || (table.rows.empty() && table.note.empty())) continue;
    // The presets' list has the section's own title.
    if (table.title != kPlansTitle) out += "<h3>" + html(table.title) + "</h3>\n";
    if (!table.note.empty()) out += "<p class=\"note\">" + html(table.note, 2000) + "</p>\n";
    if (!table.rows.empty()) out += table_html(table, r);
  }
  if (out.empty()) return {};
  return "<section id=\"plans\"><h2>" + std::string(kPlansTitle) + "</h2>\n" + out + "</section>\n";
}

std::string sheets_html(const PageRequest& r) {
  if (r.sheets.empty()) return {};
  std::string out =
      "<section id=\"sheets\"><h2>Sheets</h2>\n<p class=\"hint\">To scale when printed from "
      "drawings.pdf; choose one to see it large.</p>\n"
      "<noscript><p>The sheets need JavaScript here; drawings.pdf holds them too.</p></noscript>\n"
      "<ol class=\"sheets\">\n";
  for (const DrawnSheet& sheet : r.sheets) {
    const std::string title = html(sheet.title) + (sheet.scale.empty() ? "" : ", " + sheet.scale);
    out += "<li><figure><a class=\"paper\" data-svg=\"" + base64(deflated(sheet.svg)) +
           "\" data-ratio=\"" + short_number(sheet.width_mm / sheet.height_mm, 4) + "\">" +
           "</a><figcaption>" + title + "</figcaption></figure></li>\n";
  }
  return out + "</ol></section>\n";
}

}  // namespace roomloom::page
