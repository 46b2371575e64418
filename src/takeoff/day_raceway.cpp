#include <algorithm>

#include "takeoff/cells.h"
#include "takeoff/day.h"

namespace roomloom {

using Kind = HighThing::Kind;

// A day's raceway. Bases are fixed before cable comes; when it lies in them and is tested, the lids
// go on, and over these last the fittings, which cover cuts and holes. Where a hole is cut on a
// later day, the fittings of the piece that ends over it wait for that day.

namespace {

/// At either end, its own or shared.
bool has_fitting(const RacewayPiece& piece) {
  return !piece.start.ends_with(", no fitting") || !piece.end.ends_with(", no fitting");
}

}  // namespace

bool Day::is_wanted(int piece) const {
  const std::vector<int>& runs = element(w_.piece_runs, piece).to_do;
  return runs.empty() || std::any_of(runs.begin(), runs.end(), [&](int run) { return has(run); });
}

bool Day::is_laid_in_today(int piece) const {
  const std::vector<int>& runs = element(w_.piece_runs, piece).laid_in;
  return std::any_of(runs.begin(), runs.end(), [&](int run) { return has(run); });
}

std::vector<std::string> Day::holes_to_come(int piece) const {
  std::vector<std::string> names;
  for (const int hole : element(w_.piece_runs, piece).holes) {
    const HoleRow& row = element(w_.takeoff.holes, hole);
    const std::vector<int>& runs = element(w_.shapes.holes, hole).runs;
    const auto any = [&](const auto& is) { return std::any_of(runs.begin(), runs.end(), is); };
    const std::vector<int>& to_do = element(w_.piece_runs, piece).to_do;
    const bool is_cut = row.existing || done_.holes.count(hole) != 0;
    const bool passed_from_here =
        any([&](int run) { return std::find(to_do.begin(), to_do.end(), run) != to_do.end(); });
    if (!is_cut && passed_from_here && !any([&](int run) { return has(run); }))
      names.push_back(row.name);
  }
  return names;
}

int Day::spot_of_piece(int piece) const {
  for (const int t : points_)
    if (element(w_.things, t).kind == Kind::piece && element(w_.things, t).index == piece)
      return spot_of_.at(t);
  return -1;
}

void Day::raceway() {
  std::vector<std::string> cut;
  std::vector<int> low;
  for (std::size_t i = 0; i < w_.takeoff.raceway_pieces.size(); ++i) {
    const RacewayPiece& piece = w_.takeoff.raceway_pieces[i];
    const int index = static_cast<int>(i);
    const bool fresh = is_wanted(index) && done_.pieces.insert(index).second;
    const bool to_fit =
        done_.unfitted.count(index) != 0 && is_wanted(index) && holes_to_come(index).empty();
    if (!fresh && !is_laid_in_today(index) && !to_fit) continue;
    if (part_ == DayPart::preparation && !fresh) continue;
    if (fresh) {
      cut.push_back(piece.name);
      fresh_pieces_.insert(index);
    }
    open_pieces_[spot_of_piece(index)].push_back(index);
  }
  step("at the floor", "cut raceway", "Cut raceway " + listed(cut, ", ") + ".",
       static_cast<double>(cut.size()), {}, cut);
  open_raceway("at the floor", -1);
}

void Day::open_raceway(const std::string& place, int spot) {
  std::vector<std::string> all, fresh, older;
  double metres = 0;
  for (const int index : open_pieces_[spot]) {
    const RacewayPiece& piece = element(w_.takeoff.raceway_pieces, index);
    const bool is_fresh = fresh_pieces_.count(index) != 0;
    all.push_back(piece.name);
    (is_fresh ? fresh : older).push_back(piece.name);
    if (is_fresh) metres += piece.length_m;
  }
  std::string text;
  if (!fresh.empty()) text = "Take the lids off " + listed(fresh, ", ") + ".";
  if (!older.empty())
    text += (text.empty() ? "" : " ") +
            ("Take the lids and what covers them off " + listed(older, ", ")) +
            ", which more cable is laid in.";
  step(place, "open raceway", text, static_cast<double>(all.size()), {}, all);
  step(place, "fix a metre of raceway", "Fix the bases of raceway " + listed(fresh, ", ") + ".",
       metres, {}, fresh);
}

void Day::close_raceway(const std::string& place, int spot) {
  std::vector<std::string> all, fitted, refitted, waiting;
  double metres = 0;
  int count = 0;
  for (const int index : open_pieces_[spot]) {
    const RacewayPiece& piece = element(w_.takeoff.raceway_pieces, index);
    all.push_back(piece.name);
    metres += piece.length_m;
    if (part_ == DayPart::preparation) done_.unfitted.insert(index);
    if (part_ == DayPart::preparation) continue;
    const bool has_none = fresh_pieces_.count(index) + done_.unfitted.erase(index) != 0;
    if (const auto holes = holes_to_come(index); has_none && !holes.empty()) {
      done_.unfitted.insert(index);
      waiting.push_back(piece.name + " when " + listed(holes, " and ") + " is cut");
      continue;
    }
    if (has_none ? piece.fittings > 0 : has_fitting(piece))
      (has_none ? fitted : refitted).push_back(piece.name);
    count += has_none ? piece.fittings : 0;
  }
  std::string text = "Close the lids of raceway " + listed(all, ", ");
  text += part_ == DayPart::preparation ? ", still empty." : " over the cables.";
  if (!refitted.empty()) text += " Put back the fittings of " + listed(refitted, ", ") + ".";
  if (!waiting.empty()) text += " Fittings come later: on " + listed(waiting, ", on ") + ".";
  step(place, "close a metre of raceway", text, metres, {}, all);
  step(place, "fit a raceway fitting",
       "Fit corners, joiners and ends of raceway " + listed(fitted, ", ") +
           ", end pieces over their holes.",
       count, {}, fitted);
}

std::vector<std::string> Day::pieces_laid_in() const {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < w_.takeoff.raceway_pieces.size(); ++i)
    if (is_laid_in_today(static_cast<int>(i))) names.push_back(w_.takeoff.raceway_pieces[i].name);
  return names;
}

}  // namespace roomloom
