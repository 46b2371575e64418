#include "cutting/completion.h"

#include <algorithm>
#include <string>
#include <unordered_set>

namespace roomloom::cutting {
namespace {

constexpr std::size_t kMostFailures = 400000;

class Completion {
 public:
  Completion(const Problem& problem, long steps) : problem_(problem), steps_left_(steps) {
    for (const PieceType& type : problem.types) {
      left_.push_back(type.demand());
      needed_ += type.length * type.demand();
    }
    for (int k = 0; k < static_cast<int>(problem.kinds.size()); ++k)
      for (int bar = 0; bar < problem.kinds[static_cast<std::size_t>(k)].most; ++bar)
        bars_.push_back(k);
    std::stable_sort(bars_.begin(), bars_.end(),
                     [this](int a, int b) { return capacity(a) < capacity(b); });
    for (const int kind : bars_) waste_ += capacity(kind);
    waste_ -= needed_;
  }

  Verdict run(Packing& packing) {
    if (waste_ < 0) return Verdict::impossible;
    if (bars_.size() > 2000) return Verdict::undecided;
    if (fill_from(0)) {
      packing = cut_filled();
      return Verdict::packed;
    }
    return steps_left_ > 0 ? Verdict::impossible : Verdict::undecided;
  }

 private:
  std::int64_t capacity(int kind) const {
    return problem_.kinds[static_cast<std::size_t>(kind)].capacity;
  }

  std::string state(std::size_t bar) const {
    std::string key = std::to_string(bar) + ":";
    for (const int count : left_) {
      key.push_back(static_cast<char>(count & 255));
      key.push_back(static_cast<char>(count >> 8));
    }
    return key;
  }

  /// Fills the bars from this one on.
  bool fill_from(std::size_t bar) {
    if (needed_ == 0) return true;
    if (bar == bars_.size() || --steps_left_ <= 0) return false;
    const std::string key = state(bar);
    if (failed_.count(key) > 0) return false;
    // Where only equal bars are left, one of them holds the longest piece: this one may as well.
    const bool all_equal = capacity(bars_[bar]) == capacity(bars_.back());
    std::size_t first = 0;
    while (first < left_.size() && left_[first] == 0) ++first;
    filled_.resize(bar + 1);
    filled_[bar].assign(left_.size(), 0);
    std::int64_t room = capacity(bars_[bar]);
    if (all_equal) {
      if (length(first) > room) return false;
      take(bar, first, 1);
      room -= length(first);
    }
    const bool done = choose(bar, first, room, needed_);
    if (done) return true;
    if (all_equal) take(bar, first, -1);
    if (steps_left_ > 0 && failed_.size() < kMostFailures) failed_.insert(key);
    return false;
  }

  std::int64_t length(std::size_t type) const { return problem_.types[type].length; }

  void take(std::size_t bar, std::size_t type, int count) {
    filled_[bar][type] += count;
    left_[type] -= count;
    needed_ -= length(type) * count;
  }

  /// Decides on the types from `type` on for this bar; `after` is the length of all their pieces
  /// that are still to be had.
  bool choose(std::size_t bar, std::size_t type, std::int64_t room, std::int64_t after) {
    if (steps_left_ <= 0 || room - after > waste_) return false;
    while (type < left_.size() && (left_[type] == 0 || length(type) > room)) {
      after -= length(type) * left_[type];
      ++type;
    }
    if (type == left_.size()) return close(bar, room);
    --steps_left_;
    const std::int64_t later = after - length(type) * left_[type];
    const int most = static_cast<int>(std::min<std::int64_t>(left_[type], room / length(type)));
    for (int count = most; count >= 0; --count) {
      take(bar, type, count);
      if (choose(bar, type + 1, room - length(type) * count, later)) return true;
      take(bar, type, -count);
    }
    return false;
  }

  bool close(std::size_t bar, std::int64_t room) {
    if (room > waste_ || could_be_fuller(bar, room)) return false;
    waste_ -= room;
    if (fill_from(bar + 1)) return true;
    waste_ += room;
    filled_.resize(bar + 1);
    return false;
  }

  /// Whether a piece fits in addition, or instead of a shorter one: whatever can be done after this
  /// filling can then be done after the fuller one as well.
  bool could_be_fuller(std::size_t bar, std::int64_t room) const {
    std::int64_t outside = -1;  // the shortest piece left that is longer than those that follow
    for (std::size_t type = 0; type < left_.size(); ++type) {
      if (filled_[bar][type] > 0 && outside >= 0 && outside - length(type) <= room) return true;
      if (left_[type] > 0) outside = length(type);
    }
    return outside >= 0 && outside <= room;
  }

  Packing cut_filled() const {
    Problem rest = problem_;
    Packing packing;
    packing.cost = 0;
    for (std::size_t bar = 0; bar < filled_.size(); ++bar) {
      Pattern pattern{bars_[bar], {}};
      for (std::size_t type = 0; type < filled_[bar].size(); ++type)
        if (filled_[bar][type] > 0)
          pattern.counts.emplace_back(static_cast<int>(type), filled_[bar][type]);
      if (!pattern.counts.empty()) cut_bars(rest, pattern, 1, packing);
    }
    return packing;
  }

  const Problem& problem_;
  long steps_left_;
  std::vector<int> bars_;  // kinds, the shortest bars first
  std::vector<int> left_;  // copies of each type
  std::vector<std::vector<int>> filled_;
  std::int64_t needed_ = 0;  // length of the pieces that are left
  std::int64_t waste_ = 0;   // that the bars from here on may have
  std::unordered_set<std::string> failed_;
};

}  // namespace

bool is_plain(const Problem& problem) {
  return std::all_of(problem.types.begin(), problem.types.end(), [](const PieceType& type) {
    return type.apart.empty() && type.per_bar == PieceType::any_number;
  });
}

Verdict complete_bars(const Problem& problem, long steps, Packing& packing) {
  return Completion(problem, steps).run(packing);
}

}  // namespace roomloom::cutting
