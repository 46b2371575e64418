#include "takeoff/days.h"

#include <limits>
#include <map>
#include <optional>
#include <tuple>

namespace roomloom {
namespace {

constexpr double kSlack = 1e-6;
constexpr std::size_t kMostOffers = 20000000;

bool single(GroupSet set) { return (set & (set - 1)) == 0; }

class Divider {
 public:
  Divider(int groups, double minutes, const std::function<DayCost(GroupSet, GroupSet)>& cost,
          const std::vector<GroupSet>& before, long most_costs)
      : all_((GroupSet{1} << groups) - 1),
        minutes_(minutes),
        cost_(cost),
        before_(before),
        left_(most_costs) {}

  /// None where the work would be too much.
  std::optional<Division> exact() {
    if (!list_days()) return std::nullopt;
    std::vector<Best> best(std::size_t{all_} + 1);
    best[0].reached = true;
    for (GroupSet done = 0; done < all_; ++done) {
      if (!best[done].reached) continue;
      for (const GroupSet day : days_)
        if ((day & done) == 0 && may(day, done) && !offer(best, done, day)) return std::nullopt;
    }
    if (!best[all_].reached) return std::nullopt;
    Division division;
    for (GroupSet at = all_; at != 0; at &= ~best[at].last)
      division.days.insert(division.days.begin(), best[at].last);
    division.fewest = true;
    return division;
  }

 private:
  struct Best {
    bool reached = false;
    int moves = 0, days = 0;
    double minutes = 0;
    GroupSet last = 0;
  };

  bool may(GroupSet day, GroupSet done) const {
    for (std::size_t group = 0; group < before_.size(); ++group)
      if ((day >> group & 1) != 0 && (before_[group] & ~(day | done)) != 0) return false;
    return true;
  }

  /// Every set that may fit one day, at best after all others. What does not fit fits with no more.
  /// @return false where there would be too many, or no work is left to plan another day
  bool list_days() {
    std::vector<GroupSet> grown{0};
    for (std::size_t i = 0; i < grown.size(); ++i) {
      for (GroupSet one = 1; one <= all_ && one != 0; one <<= 1) {
        if (one <= grown[i]) continue;  // the greatest group last: each set once
        const GroupSet day = grown[i] | one;
        const DayCost* least = known(day, all_ & ~day);
        if (least == nullptr) return false;
        if (least->minutes <= minutes_ + kSlack || single(day)) grown.push_back(day);
        if (grown.size() * (std::size_t{all_} + 1) > kMostOffers) return false;
      }
    }
    days_.assign(grown.begin() + 1, grown.end());
    return true;
  }

  /// @return false where there is no work left to plan another day
  bool offer(std::vector<Best>& best, GroupSet done, GroupSet day) {
    const DayCost* least = known(day, all_ & ~day);
    const Best& from = best[done];
    Best& to = best[done | day];
    if (to.reached &&
        std::tuple(from.moves + least->moves, from.days + 1) > std::tuple(to.moves, to.days))
      return true;
    // What fits a day with nothing done before fits it always.
    const DayCost* cost = known(day, 0);
    if (cost != nullptr && cost->minutes > minutes_ + kSlack) cost = known(day, done);
    if (cost == nullptr) return false;
    if (cost->minutes > minutes_ + kSlack && !single(day)) return true;
    const Best next{true, from.moves + cost->moves, from.days + 1, from.minutes + cost->minutes,
                    day};
    if (!to.reached || std::tuple(next.moves, next.days, next.minutes + kSlack) <
                           std::tuple(to.moves, to.days, to.minutes))
      to = next;
    return true;
  }

  const DayCost* known(GroupSet day, GroupSet done) {
    const auto [found, added] = costs_.try_emplace({day, done});
    if (added) {
      if (--left_ < 0) return nullptr;
      found->second = cost_(day, done);
    }
    return &found->second;
  }

  GroupSet all_;
  double minutes_;
  const std::function<DayCost(GroupSet, GroupSet)>& cost_;
  const std::vector<GroupSet>& before_;
  long left_;
  std::vector<GroupSet> days_;
  std::map<std::pair<GroupSet, GroupSet>, DayCost> costs_;
};

/// Each after those that must be before it, else in their order; of groups that wait for each other
/// the first comes first.
std::vector<int> order_of(int groups, const std::vector<GroupSet>& before) {
  std::vector<int> order;
  GroupSet done = 0;
  const auto next = [&](bool ready) {
    for (int group = 0; group < groups; ++group) {
      const bool waits = !before.empty() && (before[static_cast<std::size_t>(group)] & ~done) != 0;
      if ((done >> group & 1) == 0 && !(ready && waits)) return group;
    }
    return -1;
  };
  while (static_cast<int>(order.size()) < groups) {
    const int ready = next(true);
    order.push_back(ready >= 0 ? ready : next(false));
    done |= GroupSet{1} << order.back();
  }
  return order;
}

Division in_their_order(int groups, double minutes,
                        const std::function<DayCost(GroupSet, GroupSet)>& cost,
                        const std::vector<GroupSet>& before) {
  Division division;
  GroupSet done = 0, day = 0;
  for (const int group : order_of(groups, before)) {
    const GroupSet more = day | (GroupSet{1} << group);
    if (day != 0 && cost(more, done).minutes > minutes + kSlack) {
      division.days.push_back(day);
      done |= day;
      day = GroupSet{1} << group;
    } else {
      day = more;
    }
  }
  if (day != 0) division.days.push_back(day);
  return division;
}

}  // namespace

Division divide_into_days(int groups, double minutes,
                          const std::function<DayCost(GroupSet day, GroupSet done)>& cost,
                          const std::vector<GroupSet>& before, long most_costs) {
  if (groups <= 0) return {{}, true};
  if (groups <= kMostGroups)
    if (auto division = Divider(groups, minutes, cost, before, most_costs).exact())
      return *division;
  return in_their_order(groups, minutes, cost, before);
}

}  // namespace roomloom
