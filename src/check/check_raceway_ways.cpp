#include <algorithm>
#include <map>

#include "check/csv_table.h"
#include "check/drawn_runs.h"

// How cables come into raceway and out of it, by raceway_pieces.csv: at an end that is cut out for
// them, in a box, through a hole, or where the piece is cut out between its ends.

namespace roomloom::check {
namespace {

/// The parts of a text between separators.
std::vector<std::string> parts_of(const std::string& text, const std::string& between) {
  std::vector<std::string> parts;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(between, at), text.size());
    parts.push_back(text.substr(at, end - at));
    at = end + between.size();
  }
  return parts;
}

/// Whether `list`, "N1, N2, at desk", begins with names of which one is `run`.
bool names(const std::string& list, const std::string& run) {
  return (", " + list + ",").find(", " + run + ",") != std::string::npos ||
         (", " + list).find(", " + run + " at ") != std::string::npos ||
         (", " + list).find(", " + run + " through ") != std::string::npos;
}

bool passes(const Written& written, const std::string& hole, const std::string& run) {
  return std::any_of(written.plan.holes.begin(), written.plan.holes.end(),
                     [&](const ListedHole& one) {
                       return one.name == hole &&
                              std::find(one.runs.begin(), one.runs.end(), run) != one.runs.end();
                     });
}

/// By how many ways a piece lets a run that lies in it in or out.
int doors(const Written& written, const std::string& start, const std::string& end,
          const std::string& between, const std::string& run) {
  int count = 0;
  for (const std::string& words : {start, end}) {
    const std::size_t out = words.find(", cut out for ");
    if (words.find(", into box ") != std::string::npos ||
        words.find(", into the box ") != std::string::npos)
      ++count;
    else if (words.find("end piece over a hole ") != std::string::npos)
      count += passes(written, words.substr(words.rfind(' ') + 1), run) ? 1 : 0;
    else if (out != std::string::npos)
      count += names(words.substr(out + 14), run) ? 1 : 0;
  }
  for (const std::string& way : parts_of(between, "; ")) count += names(way, run) ? 1 : 0;
  return count;
}

/// How many ends of the planned raceway of each run have nothing of it to go on in. What stands
/// side by side, or meets round a corner, lies a little apart.
std::map<std::string, int> loose_ends(const WrittenPlan& plan) {
  constexpr double kMeets_m = 0.15;
  std::map<std::string, std::vector<Vec3>> ends;
  for (const ListedRaceway& piece : plan.raceways)
    for (const std::string& run : piece.runs)
      ends[run].insert(ends[run].end(), {piece.from, piece.to});
  std::map<std::string, int> loose;
  for (const auto& [run, points] : ends)
    for (std::size_t i = 0; i < points.size(); ++i) {
      bool met = false;
      for (std::size_t j = 0; j < points.size(); ++j)
        met = met || (j != i && distance(points[i], points[j]) < kMeets_m);
      loose[run] += met ? 0 : 1;
    }
  return loose;
}

}  // namespace

void check_raceway_ways(const Written& written, Findings& findings) {
  const std::size_t before = findings.items.size();
  const CsvTable table(written.raceway_pieces);
  const std::size_t start = table.column("Start is"), end = table.column("End is"),
                    between = table.column("Cut out between"), runs = table.column("Runs");
  if (std::max({start, end, between, runs}) == CsvTable::npos)
    return list_differs("raceway_pieces.csv", "raceway_pieces.csv lacks a column.", findings);
  std::map<std::string, int> ways;
  for (std::size_t i = 0; i < table.row_count(); ++i) {
    const auto& row = table.row(i);
    for (const std::string& run : parts_of(row[runs], "; "))
      ways[run] += doors(written, row[start], row[end], row[between], run);
  }
  const std::map<std::string, int> lying = loose_ends(written.plan);
  for (const auto& [run, count] : ways)
    if (lying.count(run) == 0)
      list_differs(run, "raceway_pieces.csv lays run " + run + " in raceway; the plan does not.",
                   findings);
  for (const auto& [run, loose] : lying) {
    if (ways.count(run) == 0)
      list_differs(run,
                   "raceway_pieces.csv has no piece for run " + run + ", which lies in raceway.",
                   findings);
    else if (ways.at(run) < std::max(2, loose))
      list_differs(run,
                   "raceway_pieces.csv does not tell everywhere how run " + run +
                       " comes into its raceway and out of it.",
                   findings);
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
