#include "cutting/knapsack.h"

#include <algorithm>
#include <bitset>
#include <cmath>

namespace roomloom::cutting {
namespace {

using Mask = std::bitset<kMostApartTypes>;
constexpr std::size_t kMostPatterns = 24;
constexpr std::size_t kDominanceWindow = 64;

struct Label {
  std::int64_t length = 0;
  std::int64_t worth = 0;
  int parent = -1;
  int type = -1;  // one copy of it was added to the parent
};

/// One type that may be cut from the kind, in the order of the search.
struct Item {
  int type = 0;
  std::int64_t length = 0;
  std::int64_t worth = 0;
  int copies = 0;
};

/// Dantzig's bound over items sorted by worth a length.
class FractionalBound {
 public:
  explicit FractionalBound(const std::vector<Item>& items) : items_(items) {
    length_.push_back(0);
    worth_.push_back(0);
    for (const Item& item : items) {
      length_.push_back(length_.back() + item.length * item.copies);
      worth_.push_back(worth_.back() + item.worth * item.copies);
    }
  }

  /// Not less than what items from `first` on can add within `room`.
  std::int64_t operator()(std::size_t first, std::int64_t room) const {
    const std::int64_t reach = length_[first] + room;
    const auto above =
        std::upper_bound(length_.begin() + static_cast<long>(first) + 1, length_.end(), reach);
    const std::size_t whole = static_cast<std::size_t>(above - length_.begin()) - 1;
    const std::int64_t sum = worth_[whole] - worth_[first];
    if (whole == items_.size()) return sum;
    const Item& item = items_[whole];
    const double part = static_cast<double>(reach - length_[whole]) /
                        static_cast<double>(item.length) * static_cast<double>(item.worth);
    return sum + static_cast<std::int64_t>(std::floor(part + 1e-3));
  }

 private:
  std::vector<Item> items_;
  std::vector<std::int64_t> length_, worth_;
};

bool more_efficient(const Item& a, const Item& b) {
  const double left = static_cast<double>(a.worth) * static_cast<double>(b.length);
  const double right = static_cast<double>(b.worth) * static_cast<double>(a.length);
  if (left != right) return left > right;
  return a.type < b.type;
}

class Pricing {
 public:
  Pricing(const Problem& problem, int kind, const std::vector<std::int64_t>& worth,
          std::int64_t threshold)
      : problem_(problem),
        kind_(kind),
        capacity_(problem.kinds[static_cast<std::size_t>(kind)].capacity),
        threshold_(threshold),
        best_(threshold) {
    for (std::size_t t = 0; t < problem.types.size(); ++t) {
      const PieceType& type = problem.types[t];
      if (worth[t] <= 0 || type.demand() == 0 || type.length > capacity_) continue;
      const std::int64_t fit = type.length > 0 ? capacity_ / type.length : type.demand();
      const int copies =
          static_cast<int>(std::min<std::int64_t>({fit, type.demand(), type.per_bar}));
      auto& list = type.apart.empty() ? free_ : apart_;
      list.push_back({static_cast<int>(t), type.length, worth[t], copies});
    }
    std::sort(free_.begin(), free_.end(), more_efficient);
    std::sort(apart_.begin(), apart_.end(), more_efficient);
  }

  Priced run() {
    labels_.push_back({});
    std::vector<int> front{0};
    if (!apart_.empty()) front = label_apart();
    const FractionalBound bound(free_);
    for (std::size_t i = 0; i < free_.size() && !front.empty(); ++i)
      front = extended(front, free_[i], bound, i + 1);
    return collected();
  }

 private:
  /// Patterns that gain at least half of the best gain are kept, for variety.
  std::int64_t bar_to_pass() const { return threshold_ + (best_ - threshold_) / 2; }

  int add(int parent, const Item& item) {
    const Label& from = labels_[static_cast<std::size_t>(parent)];
    labels_.push_back({from.length + item.length, from.worth + item.worth, parent, item.type});
    const std::int64_t worth = labels_.back().worth;
    best_ = std::max(best_, worth);
    return static_cast<int>(labels_.size()) - 1;
  }

  void note_candidate(int label) {
    if (label >= 0 && labels_[static_cast<std::size_t>(label)].worth > threshold_)
      candidates_.push_back(label);
  }

  /// The labels of `front` with 0 ... copies of the item added; only those no other dominates.
  std::vector<int> extended(const std::vector<int>& front, const Item& item,
                            const FractionalBound& bound, std::size_t next) {
    std::vector<int> result = prunable(front, bound, next);
    std::vector<int> layer = front;
    int best_here = -1;
    for (int copy = 0; copy < item.copies && !layer.empty(); ++copy) {
      std::vector<int> grown;
      for (const int label : layer) {
        const Label& from = labels_[static_cast<std::size_t>(label)];
        const std::int64_t room = capacity_ - from.length - item.length;
        if (room < 0) break;
        const std::int64_t reach = from.worth + item.worth;
        // The label may still take further copies of this item, so the bound starts at it.
        if (reach + bound(next - 1, room) <= bar_to_pass()) continue;
        grown.push_back(add(label, item));
        if (best_here < 0 || reach > labels_[static_cast<std::size_t>(best_here)].worth)
          best_here = grown.back();
      }
      result = merged(result, grown);
      layer = std::move(grown);
    }
    note_candidate(best_here);
    return result;
  }

  std::vector<int> prunable(const std::vector<int>& front, const FractionalBound& bound,
                            std::size_t next) const {
    std::vector<int> kept;
    for (const int label : front) {
      const Label& at = labels_[static_cast<std::size_t>(label)];
      if (at.worth + bound(next, capacity_ - at.length) > bar_to_pass()) kept.push_back(label);
    }
    return kept;
  }

  /// Two fronts by length into one; a label stays if it is worth more than all shorter ones.
  std::vector<int> merged(const std::vector<int>& a, const std::vector<int>& b) const {
    std::vector<int> result;
    result.reserve(a.size() + b.size());
    std::int64_t worth = -1;
    std::size_t i = 0, j = 0;
    while (i < a.size() || j < b.size()) {
      const bool from_a = j == b.size() || (i < a.size() && !shorter(b[j], a[i]));
      const int label = from_a ? a[i++] : b[j++];
      const std::int64_t value = labels_[static_cast<std::size_t>(label)].worth;
      if (value <= worth) continue;
      worth = value;
      result.push_back(label);
    }
    return result;
  }

  bool shorter(int a, int b) const {
    const Label& left = labels_[static_cast<std::size_t>(a)];
    const Label& right = labels_[static_cast<std::size_t>(b)];
    if (left.length != right.length) return left.length < right.length;
    return left.worth > right.worth;
  }

  /// Labels over the types that are kept apart from some others, which come first so that
  /// afterwards nothing but length and worth matters.
  std::vector<int> label_apart() {
    const std::vector<Mask> clashes = clash_masks();
    barred_.assign(1, Mask());
    std::vector<int> front{0};
    for (std::size_t i = 0; i < apart_.size(); ++i) {
      const FractionalBound bound(items_from(i));
      const FractionalBound later(items_from(i + 1));
      std::vector<int> next = prunable(front, later, 0);
      std::vector<int> layer = front;
      int best_here = -1;
      for (int copy = 0; copy < apart_[i].copies && !layer.empty(); ++copy) {
        std::vector<int> grown;
        for (const int label : layer) {
          const Label& from = labels_[static_cast<std::size_t>(label)];
          const std::int64_t room = capacity_ - from.length - apart_[i].length;
          if (room < 0 || (copy == 0 && barred_[static_cast<std::size_t>(label)][i])) continue;
          const std::int64_t reach = from.worth + apart_[i].worth;
          if (reach + bound(0, room) <= bar_to_pass()) continue;
          const Mask barred = barred_[static_cast<std::size_t>(label)] | clashes[i];
          grown.push_back(add(label, apart_[i]));
          barred_.push_back(barred);
          if (best_here < 0 || reach > labels_[static_cast<std::size_t>(best_here)].worth)
            best_here = grown.back();
        }
        next.insert(next.end(), grown.begin(), grown.end());
        layer = std::move(grown);
      }
      note_candidate(best_here);
      front = undominated(std::move(next), i + 1);
    }
    return merged(front, {});
  }

  std::vector<Mask> clash_masks() const {
    std::vector<int> place(problem_.types.size(), -1);
    for (std::size_t i = 0; i < apart_.size(); ++i)
      place[static_cast<std::size_t>(apart_[i].type)] = static_cast<int>(i);
    std::vector<Mask> masks(apart_.size());
    for (std::size_t i = 0; i < apart_.size(); ++i)
      for (const int other : problem_.types[static_cast<std::size_t>(apart_[i].type)].apart)
        if (place[static_cast<std::size_t>(other)] >= 0)
          masks[i].set(static_cast<std::size_t>(place[static_cast<std::size_t>(other)]));
    return masks;
  }

  std::vector<Item> items_from(std::size_t first) const {
    std::vector<Item> items(apart_.begin() + static_cast<long>(first), apart_.end());
    const auto middle = static_cast<long>(items.size());
    items.insert(items.end(), free_.begin(), free_.end());
    std::inplace_merge(items.begin(), items.begin() + middle, items.end(), more_efficient);
    return items;
  }

  std::vector<int> undominated(std::vector<int> labels, std::size_t next) const {
    std::sort(labels.begin(), labels.end(),
              [this](int a, int b) { return shorter(a, b) || (!shorter(b, a) && a < b); });
    Mask open;
    for (std::size_t i = next; i < apart_.size(); ++i) open.set(i);
    std::vector<int> kept;
    for (const int label : labels) {
      const Mask barred = barred_[static_cast<std::size_t>(label)] & open;
      const std::int64_t worth = labels_[static_cast<std::size_t>(label)].worth;
      bool dominated = false;
      const std::size_t from = kept.size() > kDominanceWindow ? kept.size() - kDominanceWindow : 0;
      for (std::size_t k = kept.size(); k-- > from && !dominated;) {
        const auto other = static_cast<std::size_t>(kept[k]);
        dominated = labels_[other].worth >= worth && (barred_[other] & open & ~barred).none();
      }
      if (!dominated) kept.push_back(label);
    }
    return kept;
  }

  Priced collected() {
    std::stable_sort(candidates_.begin(), candidates_.end(), [this](int a, int b) {
      return labels_[static_cast<std::size_t>(a)].worth >
             labels_[static_cast<std::size_t>(b)].worth;
    });
    if (candidates_.size() > kMostPatterns) candidates_.resize(kMostPatterns);
    Priced priced{best_, {}};
    for (const int label : candidates_) priced.patterns.push_back(pattern_of(label));
    return priced;
  }

  Pattern pattern_of(int label) const {
    std::vector<int> types;
    for (int at = label; labels_[static_cast<std::size_t>(at)].parent >= 0;
         at = labels_[static_cast<std::size_t>(at)].parent)
      types.push_back(labels_[static_cast<std::size_t>(at)].type);
    std::sort(types.begin(), types.end());
    Pattern pattern{kind_, {}};
    for (const int type : types) {
      if (pattern.counts.empty() || pattern.counts.back().first != type)
        pattern.counts.emplace_back(type, 0);
      ++pattern.counts.back().second;
    }
    return pattern;
  }

  const Problem& problem_;
  int kind_;
  std::int64_t capacity_;
  std::int64_t threshold_;
  std::int64_t best_;
  std::vector<Item> free_, apart_;
  std::vector<Label> labels_;
  std::vector<Mask> barred_;  // of the labels made by label_apart
  std::vector<int> candidates_;
};

}  // namespace

Priced price_patterns(const Problem& problem, int kind, const std::vector<std::int64_t>& worth,
                      std::int64_t threshold) {
  return Pricing(problem, kind, worth, threshold).run();
}

}  // namespace roomloom::cutting
