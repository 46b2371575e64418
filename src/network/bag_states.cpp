#include "network/bag_states.h"

#include <algorithm>
#include <array>
#include <bit>
#include <numeric>
#include <utility>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

std::size_t hash_of(const BagState& state) {
  const std::uint64_t hash =
      (state.parts ^ (state.assumed * 0xd1b54a32d192ed03ULL)) * 0x9e3779b97f4a7c15ULL;
  return static_cast<std::size_t>(hash ^ (hash >> 32));
}

constexpr std::size_t kMostRanked = 13;

/// Rows of bits, of which those that depend on earlier ones are told.
class Independent {
 public:
  explicit Independent(std::size_t columns)
      : words_((columns + 63) / 64), with_lead_(columns, -1) {}
  bool full() const { return rows_.size() == with_lead_.size(); }
  std::size_t words() const { return words_; }

  /// @return whether the row is independent of those before
  bool add(std::vector<std::uint64_t> row) {
    for (std::size_t w = 0; w < words_; ++w) {
      while (row[w] != 0) {
        const std::size_t lead = 64 * w + static_cast<std::size_t>(std::countr_zero(row[w]));
        if (with_lead_[lead] < 0) {
          with_lead_[lead] = static_cast<int>(rows_.size());
          rows_.push_back(std::move(row));
          return true;
        }
        const auto& other = rows_[at(with_lead_[lead])];
        for (std::size_t i = w; i < words_; ++i) row[i] ^= other[i];
      }
    }
    return false;
  }

 private:
  std::size_t words_;
  std::vector<int> with_lead_;
  std::vector<std::vector<std::uint64_t>> rows_;
};

/// One bit for each way to part the touched places in two that cuts through no part of the state.
std::vector<std::uint64_t> uncut_ways(BagParts state, std::size_t words) {
  std::array<std::uint32_t, 16> parts{};
  std::uint32_t bit = 1;
  std::size_t count = 0;
  for (; state != 0; state >>= 4U) {
    const std::size_t part = state & 15U;
    if (part == 0) continue;
    parts[part - 1] |= bit;
    count = std::max(count, part);
    bit <<= 1U;
  }
  // The first part is always on the same side; each way is a choice of side for the others.
  std::vector<std::uint64_t> row(words, 0);
  for (std::uint32_t choice = 0; choice < (1U << (count - 1)); ++choice) {
    std::uint32_t side = 0;
    for (std::size_t p = 1; p < count; ++p)
      if (((choice >> (p - 1)) & 1U) != 0) side |= parts[p];
    const std::uint32_t way = side >> 1U;
    row[way / 64] |= std::uint64_t{1} << (way % 64);
  }
  return row;
}

}  // namespace

BagParts number_parts(BagParts parts, std::size_t places) {
  BagParts numbers = 0, out = 0;  // `numbers`: four bits a part
  unsigned next = 0;
  for (std::size_t i = 0; i < places; ++i) {
    const unsigned part = part_at(parts, i);
    if (part == 0) continue;
    if (part_at(numbers, part) == 0) numbers |= BagParts{++next} << (4 * part);
    out |= BagParts{part_at(numbers, part)} << (4 * i);
  }
  return out;
}

std::uint32_t touched_places(BagParts parts) {
  std::uint32_t places = 0;
  for (std::uint32_t bit = 1; parts != 0; parts >>= 4U, bit <<= 1U)
    if ((parts & 15U) != 0) places |= bit;
  return places;
}

void BagTable::grow() {
  slots_.assign(std::max<std::size_t>(16, 2 * slots_.size()), -1);
  for (std::size_t i = 0; i < states.size(); ++i) {
    std::size_t slot = hash_of(states[i]) & (slots_.size() - 1);
    while (slots_[slot] >= 0) slot = (slot + 1) & (slots_.size() - 1);
    slots_[slot] = static_cast<int>(i);
  }
}

int BagTable::place_for(const BagState& state) {
  if (2 * (states.size() + 1) > slots_.size()) grow();
  std::size_t slot = hash_of(state) & (slots_.size() - 1);
  for (; slots_[slot] >= 0; slot = (slot + 1) & (slots_.size() - 1)) {
    const BagState& other = states[at(slots_[slot])];
    if (other.assumed != state.assumed || other.parts != state.parts) continue;
    return state.cost < other.cost ? slots_[slot] : -1;
  }
  slots_[slot] = static_cast<int>(states.size());
  states.emplace_back();
  return slots_[slot];
}

void BagTable::keep_representatives() {
  if (scope.size() > kMostRanked) return;
  std::vector<std::vector<int>> groups(std::size_t{1} << scope.size());
  for (std::size_t i = 0; i < states.size(); ++i)
    groups[touched_places(states[i].parts)].push_back(static_cast<int>(i));
  std::vector<char> kept(states.size(), 1);
  for (std::size_t places = 1; places < groups.size(); ++places) {
    std::vector<int>& group = groups[places];
    const auto touched = static_cast<std::size_t>(std::popcount(places));
    const std::size_t ways = std::size_t{1} << (touched - 1);
    if (group.size() <= ways + ways / 4) continue;
    std::stable_sort(group.begin(), group.end(),
                     [&](int x, int y) { return states[at(x)].cost < states[at(y)].cost; });
    Independent rows(ways);
    for (int i : group)
      kept[at(i)] = !rows.full() && rows.add(uncut_ways(states[at(i)].parts, rows.words()));
  }
  std::size_t count = 0;
  for (std::size_t i = 0; i < states.size(); ++i)
    if (kept[i]) states[count++] = states[i];
  states.resize(count);
  slots_.clear();
}

BagTable widen(BagTable table, const std::vector<int>& scope) {
  if (table.scope == scope) return table;
  std::vector<std::size_t> place;
  for (int v : table.scope)
    place.push_back(
        static_cast<std::size_t>(std::find(scope.begin(), scope.end(), v) - scope.begin()));
  for (BagState& state : table.states) {
    BagParts parts = 0;
    for (std::size_t i = 0; i < place.size(); ++i)
      parts = with_part(parts, place[i], part_at(state.parts, i));
    state.parts = number_parts(parts, scope.size());
  }
  table.scope = scope;
  return table;
}

BagGroups grouped(const BagTable& table, std::uint32_t common) {
  BagGroups groups;
  for (std::size_t i = 0; i < table.states.size(); ++i)
    groups[touched_places(table.states[i].parts) & common].push_back(static_cast<int>(i));
  for (auto& [touched, list] : groups) {
    std::stable_sort(list.begin(), list.end(), [&](int x, int y) {
      return table.states[at(x)].reduced < table.states[at(y)].reduced;
    });
  }
  return groups;
}

BagParts unite(BagParts first, BagParts second, std::size_t places) {
  std::array<std::uint8_t, 32> up{};  // parts of the second follow those of the first
  std::iota(up.begin(), up.end(), std::uint8_t{0});
  const auto top = [&](unsigned part) -> unsigned {
    while (up[part] != part) part = up[part] = up[up[part]];
    return part;
  };
  for (std::size_t i = 0; i < places; ++i) {
    const unsigned x = part_at(first, i), y = part_at(second, i);
    if (x != 0 && y != 0) up[top(y + 16)] = static_cast<std::uint8_t>(top(x));
  }
  std::array<std::uint8_t, 32> number{};
  std::uint8_t next = 0;
  BagParts out = 0;
  for (std::size_t i = 0; i < places; ++i) {
    const unsigned x = part_at(first, i), y = part_at(second, i);
    if (x == 0 && y == 0) continue;
    std::uint8_t& mine = number[top(x != 0 ? x : y + 16)];
    if (mine == 0) mine = ++next;
    out |= BagParts{mine} << (4 * i);
  }
  return out;
}

}  // namespace roomloom::network
