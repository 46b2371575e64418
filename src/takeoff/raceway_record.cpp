#include "takeoff/raceway_record.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "takeoff/cells.h"
#include "takeoff/where.h"
#include "types/given_names.h"

namespace roomloom {
namespace {

constexpr double kAcross_m = 0.012;     ///< pieces side by side lie farther apart
constexpr double kSameTip_m = 0.1;      ///< a joint may lie off where the tracks turn by this much
constexpr double kSameJoint_m = 0.035;  ///< a fitting covers so much: beyond lies another piece
constexpr double kMostOfIt = 0.5;       ///< that two pieces share to be one

/// A piece or straight in its sheet's own u, v.
struct OnSheet {
  Vec2 a, b;
};

OnSheet recorded_on(const BuiltRaceway& piece, int sheet, const Room& room) {
  const bool right = piece.corner == "right corner";
  return {point_measured(room, sheet, right, piece.start_along_m, piece.start_up_m),
          point_measured(room, sheet, right, piece.end_along_m, piece.end_up_m)};
}

/// Length that both have, where they lie in one line.
double shared_m(const OnSheet& one, const OnSheet& other) {
  const double length = norm(one.b - one.a);
  if (length < 1e-9) return 0;
  const Vec2 along = (1 / length) * (one.b - one.a);
  const auto across = [&](const Vec2& p) {
    return norm(p - one.a - dot(p - one.a, along) * along);
  };
  if (across(other.a) > kAcross_m || across(other.b) > kAcross_m) return 0;
  const auto [low, high] = std::minmax({dot(other.a - one.a, along), dot(other.b - one.a, along)});
  return std::max(0.0, std::min(high, length) - std::max(low, 0.0));
}

OnSheet planned_on(const RacewayPiece& piece, const Room& room) {
  const Frame& frame = element(room.sheets, piece.sheet).frame;
  return {frame.to_plane(piece.from), frame.to_plane(piece.to)};
}

/// For each planned piece which of `known` it is, -1 for none: those that share most first, each
/// once.
/// @param of_shorter  they share half of the shorter, else half of the longer
std::vector<int> same_pieces(const std::vector<RacewayPiece>& pieces,
                             const std::vector<BuiltRaceway>& known, bool of_shorter,
                             const Room& room) {
  std::vector<std::tuple<double, std::size_t, std::size_t>> pairs;
  for (std::size_t p = 0; p < pieces.size(); ++p)
    for (std::size_t k = 0; k < known.size(); ++k) {
      if (known[k].raceway != pieces[p].raceway ||
          known[k].on != element(room.sheets, pieces[p].sheet).name)
        continue;
      const OnSheet one = planned_on(pieces[p], room);
      const OnSheet other = recorded_on(known[k], pieces[p].sheet, room);
      const auto [shorter, longer] = std::minmax({norm(one.b - one.a), norm(other.b - other.a)});
      const double shared = shared_m(one, other);
      if (shared > 0 && shared >= kMostOfIt * (of_shorter ? shorter : longer))
        pairs.emplace_back(-shared, p, k);
    }
  std::sort(pairs.begin(), pairs.end());
  std::vector<int> same(pieces.size(), -1);
  std::vector<char> used(known.size(), 0);
  for (const auto& [shared, p, k] : pairs) {
    if (same[p] >= 0 || used[k] != 0) continue;
    same[p] = static_cast<int>(k);
    used[k] = 1;
  }
  return same;
}

}  // namespace

void tell_recorded_ends(std::vector<Straight>& straights, const Room& room, const Job& job) {
  for (Straight& straight : straights) {
    if (!straight.fixed) continue;
    const Sheet& sheet = element(room.sheets, straight.sheet);
    const std::string& size = element(job.catalogue.raceways, straight.raceway).id;
    const OnSheet own{sheet.frame.to_plane(straight.from), sheet.frame.to_plane(straight.to)};
    double at_start = kSameTip_m, at_end = kSameTip_m;
    for (const BuiltRaceway& piece : job.as_built.raceway) {
      if (piece.on != sheet.name || piece.raceway != size) continue;
      const OnSheet there = recorded_on(piece, straight.sheet, room);
      if (shared_m(own, there) <= 0) continue;
      for (const auto& [tip, words] :
           {std::pair{there.a, &piece.start_is}, std::pair{there.b, &piece.end_is}}) {
        if (norm(tip - own.a) < at_start) {
          at_start = norm(tip - own.a);
          straight.start_is = *words;
        }
        if (norm(tip - own.b) < at_end) {
          at_end = norm(tip - own.b);
          straight.end_is = *words;
        }
      }
    }
  }
}

void name_pieces(std::vector<RacewayPiece>& pieces, const Room& room, const Job& job) {
  const std::vector<BuiltRaceway>& recorded = job.as_built.raceway;
  const std::vector<BuiltRaceway>& named = job.names.raceway;
  const std::vector<int> fixed = same_pieces(pieces, recorded, true, room);
  const std::vector<int> same = same_pieces(pieces, named, false, room);
  std::vector<std::string> names, given;
  for (const auto* known : {&recorded, &named})
    for (const BuiltRaceway& one : *known) given.push_back(one.name);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    std::string name;
    if (pieces[i].fixed && fixed[i] >= 0) name = element(recorded, fixed[i]).name;
    if (name.empty() && same[i] >= 0) name = element(named, same[i]).name;
    names.push_back(name);
  }
  names = with_new_names("R", std::move(names), given);
  for (std::size_t i = 0; i < pieces.size(); ++i) pieces[i].name = names[i];
}

namespace {

/// "tee 40 x 16" of "square, tee 40 x 16, there already, into ..."; empty where nothing is there.
std::string fitting_there(const std::string& words) {
  const std::size_t to = words.find(", there already");
  if (to == std::string::npos) return "";
  const std::size_t from = words.rfind(", ", to - 1);
  return from == std::string::npos ? words.substr(0, to) : words.substr(from + 2, to - from - 2);
}

/// How an end that lies is made: as planned, unless that names a fitting that it was not put up
/// with.
std::string words_of(const std::string& planned, const std::string& recorded) {
  const std::string there = fitting_there(planned);
  if (there.empty() || recorded.empty() || recorded.find(there) != std::string::npos)
    return planned;
  const bool says_it = recorded.find(", there already") != std::string::npos ||
                       recorded.find(", no fitting") != std::string::npos;
  return recorded + (says_it ? "" : ", there already");
}

}  // namespace

void lie_as_recorded(std::vector<RacewayPiece>& pieces, const Room& room, const Job& job) {
  const std::vector<BuiltRaceway>& recorded = job.as_built.raceway;
  const std::vector<int> fixed = same_pieces(pieces, recorded, true, room);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    RacewayPiece& piece = pieces[i];
    if (!piece.fixed || fixed[i] < 0) continue;
    const BuiltRaceway& built = element(recorded, fixed[i]);
    const Frame& frame = element(room.sheets, piece.sheet).frame;
    const OnSheet own = planned_on(piece, room), there = recorded_on(built, piece.sheet, room);
    const bool turned = norm(there.a - own.a) > norm(there.b - own.a);
    const auto take = [&](Vec3& at, const Vec2& planned, bool first, std::string& words) {
      const Vec2 off = (first != turned ? there.a : there.b) - planned;
      if (norm(off) > kSameTip_m) return;
      if (norm(off) < kSameJoint_m) at = at + off.x * frame.u + off.y * frame.v;
      words = words_of(words, first != turned ? built.start_is : built.end_is);
    };
    take(piece.from, own.a, true, piece.start);
    take(piece.to, own.b, false, piece.end);
    piece.length_m = distance(piece.from, piece.to);
  }
}

std::vector<int> pieces_unused(const std::vector<RacewayPiece>& pieces, const Room& room,
                               const AsBuilt& built) {
  std::vector<int> unused;
  for (std::size_t k = 0; k < built.raceway.size(); ++k) {
    const BuiltRaceway& known = built.raceway[k];
    if (known.on.empty()) continue;  // cut for nothing
    const bool used = std::any_of(pieces.begin(), pieces.end(), [&](const RacewayPiece& piece) {
      if (piece.raceway != known.raceway || element(room.sheets, piece.sheet).name != known.on)
        return false;
      const OnSheet one = recorded_on(known, piece.sheet, room);
      const double enough = std::min(kSameTip_m, kMostOfIt * norm(one.b - one.a));
      return shared_m(planned_on(piece, room), one) > enough;
    });
    if (!used) unused.push_back(static_cast<int>(k));
  }
  return unused;
}

std::vector<std::string> pieces_through(const OutletBox& box, const Room& room,
                                        const AsBuilt& built) {
  constexpr double kInto_m = 0.01;  // what stops at the box's side does not reach its middle
  const Sheet& sheet = element(room.sheets, box.sheet);
  const Vec2 centre = sheet.frame.to_plane(box.centre);
  std::vector<std::string> names;
  for (const BuiltRaceway& known : built.raceway) {
    if (known.on != sheet.name) continue;
    const OnSheet there = recorded_on(known, box.sheet, room);
    const double length = norm(there.b - there.a);
    if (length < 1e-9) continue;
    const Vec2 along = (1 / length) * (there.b - there.a);
    const double at = dot(centre - there.a, along);
    const double across = norm(centre - there.a - at * along);
    if (at > kInto_m && at < length - kInto_m && across < std::min(box.half_u_m, box.half_v_m))
      names.push_back(known.name);
  }
  return names;
}

}  // namespace roomloom
