#include "exchange/write_tube.h"

#include <cmath>

namespace roomloom {
namespace {

constexpr double kNoLength_m = 1e-9;
constexpr double kNoAngle_rad = 1e-9;
/// Pieces whose ends lie further apart, or whose directions differ more, are not swept as one. What
/// the shape stage calls straight (`kStraightRad`, 2e-5) gets no arc and must be smooth here.
constexpr double kJoin_m = 1e-7;
constexpr double kSmooth_rad = 2.5e-5;
/// A torus whose bend is not clearly wider than its tube would meet itself.
constexpr double kLeastBend = 1.001;

Vec3 direction_at(const Piece& piece, bool at_end) {
  if (const auto* line = std::get_if<Line3>(&piece)) return normalized(line->to - line->from);
  const Arc& arc = std::get<Arc>(piece);
  return normalized(cross(arc.axis, (at_end ? arc.to : arc.from) - arc.centre));
}

bool is_nothing(const Piece& piece) {
  if (const auto* line = std::get_if<Line3>(&piece))
    return distance(line->from, line->to) < kNoLength_m;
  const Arc& arc = std::get<Arc>(piece);
  return arc.angle_rad < kNoAngle_rad || arc.length_m() < kNoLength_m;
}

/// Lengthens `last` by `next` if both lie on one straight line.
bool joined_straight(Piece& last, const Piece& next) {
  auto* a = std::get_if<Line3>(&last);
  const auto* b = std::get_if<Line3>(&next);
  if (a == nullptr || b == nullptr || distance(a->to, b->from) > kNoLength_m) return false;
  if (angle_between(a->to - a->from, b->to - b->from) > kNoAngle_rad) return false;
  a->to = b->to;
  return true;
}

bool smooth(const Piece& a, const Piece& b) {
  return distance(piece_to(a), piece_from(b)) <= kJoin_m &&
         angle_between(direction_at(a, true), direction_at(b, false)) <= kSmooth_rad;
}

/// The first ring looks away from the first bend, which puts the seams of most bends at the
/// places where modellers put them themselves.
Vec3 first_across(const std::vector<Piece>& pieces, const Vec3& along) {
  for (const Piece& piece : pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (arc == nullptr) continue;
    const Vec3 outward = arc->from - arc->centre;
    return normalized(outward - dot(outward, along) * along);
  }
  return square_to(along);
}

/// Square to `along` again after rounding.
TubeRing ring(const Vec3& centre, const Vec3& along, const Vec3& across) {
  return {centre, along, normalized(across - dot(across, along) * along)};
}

TubeChain with_rings(std::vector<Piece> pieces) {
  TubeChain chain;
  const Vec3 start = direction_at(pieces.front(), false);
  chain.rings.push_back(ring(piece_from(pieces.front()), start, first_across(pieces, start)));
  for (const Piece& piece : pieces) {
    Vec3 across = chain.rings.back().across;
    if (const auto* arc = std::get_if<Arc>(&piece))
      across = turned(across, arc->axis, arc->angle_rad);
    chain.rings.push_back(ring(piece_to(piece), direction_at(piece, true), across));
  }
  chain.pieces = std::move(pieces);
  return chain;
}

}  // namespace

Vec3 TubeRing::at(double angle_rad) const {
  return std::cos(angle_rad) * across + std::sin(angle_rad) * cross(along, across);
}

Vec3 turned(const Vec3& v, const Vec3& axis, double angle_rad) {
  const double c = std::cos(angle_rad);
  return c * v + std::sin(angle_rad) * cross(axis, v) + ((1 - c) * dot(axis, v)) * axis;
}

Vec3 square_to(const Vec3& d) {
  const bool upright = std::abs(d.z) > 0.9;
  const Vec3 other = upright ? Vec3{1, 0, 0} : Vec3{0, 0, 1};
  return normalized(other - dot(other, d) * d);
}

Vec3 piece_from(const Piece& piece) {
  return std::visit([](const auto& p) { return p.from; }, piece);
}
Vec3 piece_to(const Piece& piece) {
  return std::visit([](const auto& p) { return p.to; }, piece);
}

std::vector<Piece> tidied(const std::vector<Piece>& pieces) {
  std::vector<Piece> result;
  for (const Piece& piece : pieces) {
    if (is_nothing(piece)) continue;
    if (!result.empty() && joined_straight(result.back(), piece)) continue;
    result.push_back(piece);
  }
  return result;
}

TubeChains tube_chains(const Tube& tube) {
  TubeChains result;
  std::vector<std::vector<Piece>> strands;
  bool apart = true;
  for (const Piece& piece : tidied(tube.pieces)) {
    const auto* arc = std::get_if<Arc>(&piece);
    const bool tight = arc != nullptr && arc->radius_m < kLeastBend * tube.diameter_m / 2;
    if (tight) {
      ++result.tight_bends;
      if (distance(arc->from, arc->to) > kNoLength_m)
        strands.push_back({Line3{arc->from, arc->to}});
      apart = true;
      continue;
    }
    if (!apart && !smooth(strands.back().back(), piece)) {
      ++result.kinks;
      apart = true;
    }
    if (apart) strands.emplace_back();
    strands.back().push_back(piece);
    apart = false;
  }
  for (auto& strand : strands) result.chains.push_back(with_rings(std::move(strand)));
  return result;
}

}  // namespace roomloom
