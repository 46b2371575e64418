#include <algorithm>
#include <cmath>

#include "sketch/plan.h"

namespace roomloom {
namespace {

constexpr double kOnLine = 1e-9;

/// A ring with the points where it crosses the line made corners; `side` is each corner's distance
/// beyond the line, exactly 0 on it.
struct SplitRing {
  Ring ring;
  std::vector<double> side;
};

SplitRing split(const Ring& ring, const Vec2& normal, double offset) {
  const auto beyond = [&](const Vec2& p) {
    const double s = dot(normal, p) - offset;
    return std::abs(s) < kOnLine ? 0 : s;
  };
  SplitRing result;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
    const double sa = beyond(a), sb = beyond(b);
    result.ring.push_back(a);
    result.side.push_back(sa);
    if (sa * sb >= 0) continue;
    result.ring.push_back(a + sa / (sa - sb) * (b - a));
    result.side.push_back(0);
  }
  return result;
}

/// A stretch of the ring on the kept side, from the line back to the line.
struct Chain {
  Ring points;
  bool used = false;
};

std::vector<Chain> kept_chains(const SplitRing& split) {
  const std::size_t n = split.ring.size();
  const auto kept = [&](std::size_t i) { return split.side[i % n] + split.side[(i + 1) % n] < 0; };
  std::vector<Chain> chains;
  for (std::size_t start = 0; start < n; ++start) {
    if (split.side[start] != 0 || !kept(start)) continue;
    Chain chain{{split.ring[start]}};
    std::size_t i = start;
    do {
      ++i;
      chain.points.push_back(split.ring[i % n]);
    } while (split.side[i % n] != 0);
    chains.push_back(std::move(chain));
  }
  return chains;
}

struct ChainEnd {
  double along = 0;
  std::size_t chain = 0;
  bool is_start = false;
};

/// Along the line, each end of a chain is joined to the start of the next: ends come in pairs
/// between which the ring's inside touches the line.
std::vector<std::size_t> followers(const std::vector<Chain>& chains, const Vec2& direction) {
  std::vector<ChainEnd> ends;
  for (std::size_t k = 0; k < chains.size(); ++k) {
    ends.push_back({dot(direction, chains[k].points.front()), k, true});
    ends.push_back({dot(direction, chains[k].points.back()), k, false});
  }
  std::sort(ends.begin(), ends.end(),
            [](const ChainEnd& a, const ChainEnd& b) { return a.along < b.along; });
  std::vector<std::size_t> next(chains.size());
  for (std::size_t i = 0; i + 1 < ends.size(); i += 2) {
    // Where two ends lie on one point, take the one that makes a start and an end meet.
    if (ends[i].is_start == ends[i + 1].is_start && i + 2 < ends.size())
      std::swap(ends[i + 1], ends[i + 2]);
    const ChainEnd& start = ends[i].is_start ? ends[i] : ends[i + 1];
    const ChainEnd& end = ends[i].is_start ? ends[i + 1] : ends[i];
    next[end.chain] = start.chain;
  }
  return next;
}

void drop_repeats(Ring& ring) {
  const auto same = [](const Vec2& a, const Vec2& b) { return norm(a - b) < kOnLine; };
  ring.erase(std::unique(ring.begin(), ring.end(), same), ring.end());
  while (ring.size() > 1 && same(ring.front(), ring.back())) ring.pop_back();
}

}  // namespace

std::vector<Ring> cut(const Ring& ring, const Vec2& normal, double offset) {
  const double length = norm(normal);
  if (length < 1e-12) return offset >= 0 ? std::vector<Ring>{ring} : std::vector<Ring>{};
  const Vec2 n = (1 / length) * normal;
  const SplitRing halves = split(ring, n, offset / length);
  if (std::all_of(halves.side.begin(), halves.side.end(), [](double s) { return s <= 0; }))
    return {ring};
  std::vector<Chain> chains = kept_chains(halves);
  const std::vector<std::size_t> next = followers(chains, {-n.y, n.x});
  std::vector<Ring> rings;
  for (std::size_t k = 0; k < chains.size(); ++k) {
    Ring joined;
    for (std::size_t at = k; !chains[at].used; at = next[at]) {
      chains[at].used = true;
      joined.insert(joined.end(), chains[at].points.begin(), chains[at].points.end());
    }
    drop_repeats(joined);
    if (joined.size() >= 3) rings.push_back(std::move(joined));
  }
  return rings;
}

std::vector<Ring> cut(const Ring& ring, const Vec2& low, const Vec2& high) {
  std::vector<Ring> pieces{ring};
  const std::pair<Vec2, double> sides[] = {
      {{-1, 0}, -low.x}, {{1, 0}, high.x}, {{0, -1}, -low.y}, {{0, 1}, high.y}};
  for (const auto& [normal, offset] : sides) {
    std::vector<Ring> left;
    for (const Ring& piece : pieces) {
      const auto kept = cut(piece, normal, offset);
      left.insert(left.end(), kept.begin(), kept.end());
    }
    pieces = std::move(left);
  }
  return pieces;
}

}  // namespace roomloom
