#include <algorithm>
#include <cmath>
#include <map>

#include "base/units.h"
#include "check/csv_table.h"
#include "check/drawn_runs.h"

// raceway_cuts.csv held against raceway_pieces.csv, the job's stock and what raceway.csv says is to
// be bought: every piece is cut once, no length gives more than it has, and fewer would not do.

namespace roomloom::check {
namespace {

constexpr double kRounding_m = 0.0001;  // of a length in a list
constexpr long kMostTries = 200000;

struct CutPiece {
  std::string name, size, stock, start, end, state;
  double length_m = 0, left_m = 0, whole_m = 0, taken_m = 0;
};

/// The pieces of raceway_pieces.csv by name; told where the list cannot be read so.
std::map<std::string, CutPiece> listed_pieces(const Written& written, Findings& findings) {
  const CsvTable table(written.raceway_pieces);
  const std::size_t name = table.column("Piece"), size = table.column("Size"),
                    length = table.column("Length"), start = table.column("Start is"),
                    end = table.column("End is"), state = table.column("State");
  std::map<std::string, CutPiece> pieces;
  if (std::max({name, size, length, start, end, state}) == CsvTable::npos) {
    list_differs("raceway_pieces.csv", "raceway_pieces.csv lacks a column.", findings);
    return pieces;
  }
  for (std::size_t i = 0; i < table.row_count(); ++i) {
    const auto& row = table.row(i);
    const auto metres = table.length_m(row, length);
    const CutPiece piece{row[name],  row[size],          "", row[start], row[end],
                         row[state], metres.value_or(-1)};
    if (!metres || !pieces.emplace(piece.name, piece).second)
      list_differs(piece.name,
                   "raceway_pieces.csv tells piece " + piece.name + " twice or not at all.",
                   findings);
  }
  return pieces;
}

std::vector<CutPiece> listed_cuts(const Written& written, Findings& findings) {
  const CsvTable table(written.raceway_cuts);
  const std::size_t stock = table.column("Length"), name = table.column("Piece"),
                    length = table.column("Cut to"), left = table.column("Left of it"),
                    start = table.column("Start is"), end = table.column("End is"),
                    whole = table.column("Whole length"), taken = table.column("Taken with kerf");
  std::vector<CutPiece> cuts;
  if (std::max({stock, name, length, left, start, end, whole, taken}) == CsvTable::npos) {
    list_differs("raceway_cuts.csv", "raceway_cuts.csv lacks a column.", findings);
    return cuts;
  }
  for (std::size_t i = 0; i < table.row_count(); ++i) {
    const auto& row = table.row(i);
    cuts.push_back({row[name], "", row[stock], row[start], row[end], "",
                    table.length_m(row, length).value_or(-1),
                    table.length_m(row, left).value_or(-1), table.length_m(row, whole).value_or(-1),
                    table.length_m(row, taken).value_or(-1)});
  }
  return cuts;
}

/// One length that is cut from, in the order of cutting.
struct Bar {
  bool shelf = false;
  std::vector<const CutPiece*> cuts;
};

/// Every piece is cut once and as it is listed. What is fixed already is not cut.
void check_pieces(std::map<std::string, CutPiece>& pieces, std::vector<CutPiece>& cuts,
                  Findings& findings) {
  std::map<std::string, int> times;
  for (CutPiece& cut : cuts) {
    const auto piece = pieces.find(cut.name);
    if (piece == pieces.end() || ++times[cut.name] > 1) {
      list_differs(cut.name,
                   "raceway_cuts.csv cuts " + cut.name + ", which is no piece or cut already.",
                   findings);
      continue;
    }
    cut.size = piece->second.size;
    if (std::abs(cut.length_m - piece->second.length_m) > kRounding_m ||
        cut.start != piece->second.start || cut.end != piece->second.end)
      list_differs(cut.name,
                   "Piece " + cut.name + " is cut otherwise than raceway_pieces.csv has it.",
                   findings);
  }
  for (const auto& [name, piece] : pieces)
    if ((times[name] > 0) != (piece.state == "to cut"))
      list_differs(name,
                   "raceway_cuts.csv " + std::string(times[name] > 0 ? "cuts" : "does not cut") +
                       " piece " + name + ", which raceway_pieces.csv has as \"" + piece.state +
                       "\".",
                   findings);
}

/// The length that the cuts were taken from, by what is said to be left.
void check_bar(const std::string& name, const Bar& bar, const RacewayType& type, const Job& job,
               Findings& findings) {
  double used = 0;
  for (const CutPiece* cut : bar.cuts) used += cut->length_m;
  const double kerf = job.work.kerf_m;
  const auto holds = [&](double length) {
    double left = length;
    for (const CutPiece* cut : bar.cuts) {
      const double before = left;
      if (std::abs(cut->whole_m - length) > kRounding_m) return false;
      left -= cut->length_m;
      if (left < -2 * kRounding_m * static_cast<double>(bar.cuts.size())) return false;
      left = std::max(0.0, left > 1e-9 ? left - kerf : left);
      const double slack = 2 * kRounding_m * static_cast<double>(bar.cuts.size());
      if (std::abs(left - cut->left_m) > slack || std::abs(before - left - cut->taken_m) > slack)
        return false;
    }
    return true;
  };
  bool right = !bar.shelf && holds(type.stock_length_m);
  for (const RacewayStock& stock : job.work.raceway)
    right = right || (bar.shelf && stock.raceway == type.id && holds(stock.length_m));
  if (!right)
    list_differs(name,
                 "The cuts from \"" + name + "\" in raceway_cuts.csv, " + format_number(used, 4) +
                     " m in all, and what is left of it do not add up to a length that there is.",
                 findings);
}

/// Whether the pieces go into the given lengths, longest first; no where it was not found.
class Packing {
 public:
  Packing(std::vector<double> pieces, std::vector<double> room, double kerf)
      : pieces_(std::move(pieces)), room_(std::move(room)), kerf_(kerf) {
    std::sort(pieces_.rbegin(), pieces_.rend());
  }
  bool fits() { return place(0); }

 private:
  bool place(std::size_t next) {
    if (next == pieces_.size()) return true;
    if (--tries_ < 0) return false;
    std::vector<double> tried;
    for (double& left : room_) {
      if (left < pieces_[next] || std::find(tried.begin(), tried.end(), left) != tried.end())
        continue;
      const double before = left;
      tried.push_back(before);
      left -= pieces_[next] + kerf_;
      if (place(next + 1)) return true;
      left = before;
    }
    return false;
  }

  std::vector<double> pieces_, room_;
  double kerf_;
  long tries_ = kMostTries;
};

/// One length less from the shop, all of the shelf at hand: told where the pieces still fit.
bool fewer_would_do(const std::vector<CutPiece>& cuts, const RacewayType& type, const Job& job,
                    int bought) {
  if (bought == 0) return false;
  std::vector<double> pieces, room(static_cast<std::size_t>(bought - 1), type.stock_length_m);
  for (const CutPiece& cut : cuts)
    if (cut.size == type.id) pieces.push_back(cut.length_m + kRounding_m);
  for (const RacewayStock& stock : job.work.raceway)
    if (stock.raceway == type.id)
      room.insert(room.end(), static_cast<std::size_t>(stock.count), stock.length_m);
  return Packing(pieces, room, job.work.kerf_m).fits();
}

void check_size(const CsvTable& table, const std::vector<std::string>& row, const RacewayType& type,
                const std::vector<CutPiece>& cuts, const Job& job, Findings& findings) {
  std::map<std::string, Bar> bars;
  for (const CutPiece& cut : cuts) {
    if (cut.size != type.id) continue;
    Bar& bar = bars[cut.stock];
    bar.shelf = cut.stock.find("(from the shelf)") != std::string::npos;
    bar.cuts.push_back(&cut);
  }
  int bought = 0;
  for (std::size_t i = 1; i <= bars.size(); ++i) {
    const std::string name = type.id + " no. " + std::to_string(i);
    if (bars.contains(name) || bars.contains(name + " (from the shelf)")) continue;
    list_differs(name, "raceway_cuts.csv cuts nothing from " + name + ", but from later ones.",
                 findings);
  }
  for (const auto& [name, bar] : bars) {
    bought += bar.shelf ? 0 : 1;
    check_bar(name, bar, type, job, findings);
  }
  const auto said = [&](const char* heading, int wanted, bool at_least) {
    const std::size_t column = table.column(heading);
    const double number = column == CsvTable::npos ? -1 : number_in(row[column]).value_or(-1);
    if (number == wanted || (at_least && number >= wanted)) return;
    list_differs(type.id,
                 "raceway.csv says " + (column == CsvTable::npos ? "nothing" : row[column]) +
                     " under " + heading + " for " + type.id + "; raceway_cuts.csv makes it " +
                     std::to_string(wanted) + ".",
                 findings);
  };
  said("To buy", bought, false);
  said("Stocks (upper bound)", static_cast<int>(bars.size()), !job.as_built.empty());
  const std::size_t proof = table.column("Cutting");
  if (proof != CsvTable::npos && row[proof] == "proven least" &&
      fewer_would_do(cuts, type, job, bought))
    list_differs(
        type.id,
        "The pieces of " + type.id + " can be cut from one length fewer than raceway.csv says.",
        findings);
}

}  // namespace

void check_raceway_cuts(const Written& written, const Job& job, Findings& findings) {
  const std::size_t before = findings.items.size();
  std::map<std::string, CutPiece> pieces = listed_pieces(written, findings);
  std::vector<CutPiece> cuts = listed_cuts(written, findings);
  check_pieces(pieces, cuts, findings);
  const CsvTable table(written.raceway_list);
  const std::size_t key = table.column("Raceway");
  for (const RacewayType& type : job.catalogue.raceways)
    if (key != CsvTable::npos)
      if (const auto* row = table.row_of(type.id, key))
        check_size(table, *row, type, cuts, job, findings);
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
