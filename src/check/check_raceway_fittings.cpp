#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "base/units.h"
#include "check/csv_table.h"
#include "check/drawn_runs.h"

// The ends of raceway_pieces.csv held against what raceway_fittings.csv, shopping.csv, ends.csv and
// holes.csv say: every end names one fitting that is counted and bought, a box or a hole that there
// is, or says that it needs nothing. A fitting that several ends share is named by each of them.

namespace roomloom::check {
namespace {

std::set<std::string> cells_of(const CsvTable& table, const char* heading) {
  std::set<std::string> cells;
  const std::size_t column = table.column(heading);
  for (std::size_t i = 0; column != CsvTable::npos && i < table.row_count(); ++i)
    cells.insert(table.row(i)[column]);
  return cells;
}

/// Counts by the fitting's name as it is bought: "tee 40 x 25".
std::map<std::string, double> listed_fittings(const CsvTable& table) {
  std::map<std::string, double> counts;
  const std::size_t kind = table.column("Fitting"), size = table.column("Size"),
                    number = table.column("Count");
  if (std::max({kind, size, number}) == CsvTable::npos) return counts;
  for (std::size_t i = 0; i < table.row_count(); ++i) {
    const auto& row = table.row(i);
    counts[row[kind] + " " + row[size]] += number_in(row[number]).value_or(0);
  }
  return counts;
}

/// Likewise, of what is bought by the piece under "Raceway".
std::map<std::string, double> bought_fittings(const CsvTable& table) {
  std::map<std::string, double> counts;
  const std::size_t kind = table.column("Kind"), item = table.column("Item"),
                    unit = table.column("Unit"), number = table.column("Count");
  if (std::max({kind, item, unit, number}) == CsvTable::npos) return counts;
  for (std::size_t i = 0; i < table.row_count(); ++i) {
    const auto& row = table.row(i);
    if (row[kind] == "Raceway" && row[unit] == "piece")
      counts[row[item]] += number_in(row[number]).value_or(0);
  }
  return counts;
}

/// How many ends share one fitting of this kind; a tee into a passing raceway's side has one end.
double sharers(const std::string& kind, const std::string& words) {
  const bool at_side = words.find(", into ") != std::string::npos;
  if (kind == "tee") return at_side ? 1 : 3;
  if (kind == "cross") return at_side ? 2 : 4;
  if (kind.rfind("end ", 0) == 0) return 1;
  const std::size_t ways = kind.find("-way junction");
  return ways == std::string::npos ? 2 : number_in(kind.substr(0, ways)).value_or(1);
}

class Ends {
 public:
  Ends(const Written& written, const Job& job, Findings& findings)
      : job_(job),
        findings_(findings),
        boxes_(cells_of(CsvTable(written.end_list), "Box")),
        holes_(cells_of(CsvTable(written.hole_list), "Hole")) {}

  void look(const std::string& piece, const std::string& words) {
    constexpr const char* kNone = ", no fitting";
    if (words.size() > 12 && words.rfind(kNone) == words.size() - 12)
      return look_at_box(piece, words);
    if (words.find(", there already") != std::string::npos) return;
    const std::size_t comma = words.find(", ");
    const std::string rest = comma == std::string::npos ? "" : words.substr(comma + 2);
    for (const RacewayType& type : job_.catalogue.raceways) {
      const std::size_t at = rest.find(" " + type.id);
      const std::size_t after = at == std::string::npos ? 0 : at + 1 + type.id.size();
      if (at == std::string::npos ||
          (after < rest.size() && rest[after] != ',' && rest[after] != ':'))
        continue;
      const std::string kind = rest.substr(0, at);
      named_[kind + " " + type.id] += 1 / sharers(kind, words);
      if (kind == "end piece over a hole") look_at_hole(piece, rest.substr(after));
      return;
    }
    list_differs(piece, "An end of piece " + piece + ", \"" + words + "\", names no fitting.",
                 findings_);
  }

  const std::map<std::string, double>& named() const { return named_; }

 private:
  void look_at_box(const std::string& piece, const std::string& words) {
    const std::size_t at = words.find("into box ");
    if (at == std::string::npos) return;
    const std::string box = words.substr(at + 9, words.find(' ', at + 9) - at - 9);
    if (!boxes_.contains(box))
      list_differs(piece,
                   "Piece " + piece + " ends in box " + box + ", which ends.csv does not have.",
                   findings_);
  }
  void look_at_hole(const std::string& piece, const std::string& after) {
    const std::string hole = after.size() > 2 ? after.substr(2) : "";
    if (!holes_.contains(hole))
      list_differs(piece, "Piece " + piece + " covers a hole that holes.csv does not have.",
                   findings_);
  }

  const Job& job_;
  Findings& findings_;
  std::set<std::string> boxes_, holes_;
  std::map<std::string, double> named_;
};

void same_counts(const std::map<std::string, double>& wanted,
                 const std::map<std::string, double>& found, const std::string& list,
                 Findings& findings) {
  for (const auto& [name, count] : wanted) {
    const auto there = found.find(name);
    const double has = there == found.end() ? 0 : there->second;
    if (std::abs(has - count) > 1e-6)
      list_differs(name,
                   list + " has " + format_number(has, 2) + " of " + name +
                       "; the ends of the pieces make it " + format_number(count, 2) + ".",
                   findings);
  }
}

}  // namespace

void check_raceway_fittings(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  const CsvTable pieces(written.raceway_pieces);
  const std::size_t name = pieces.column("Piece"), start = pieces.column("Start is"),
                    end = pieces.column("End is");
  if (std::max({name, start, end}) == CsvTable::npos) return;  // told with the cuts
  Ends ends(written, job, findings);
  for (std::size_t i = 0; i < pieces.row_count(); ++i)
    for (const std::size_t column : {start, end})
      ends.look(pieces.row(i)[name], pieces.row(i)[column]);
  const auto listed = listed_fittings(CsvTable(written.raceway_fittings));
  same_counts(ends.named(), listed, "raceway_fittings.csv", findings);
  same_counts(listed, ends.named(), "The ends of the pieces", findings);
  const auto bought = bought_fittings(CsvTable(written.shopping));
  same_counts(ends.named(), bought, "shopping.csv", findings);
  same_counts(bought, ends.named(), "The ends of the pieces", findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
