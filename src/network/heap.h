#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace roomloom::network {

/// Least first, of distances and nodes. Ties go to the lower node, so that paths never depend on
/// the order of arrival. What is far off waits unsorted in one of many equal shares of the span
/// that the search is expected to take, and is sorted by a small heap of four branches only when
/// its share is reached: most of what a search meets beyond its goal never is. Memory is kept
/// between searches.
class DistanceHeap {
 public:
  struct Entry {
    double key = 0;
    int node = 0;
    bool operator<(const Entry& other) const {
      return key < other.key || (key == other.key && node < other.node);
    }
  };

  /// Empties it. @param least no key that is pushed is expected below it, nor many above
  /// `least + span`; a wrong guess costs time only.
  void clear(double least, double span) {
    near_.clear();
    far_.clear();
    filled_.fill(0);
    share_ = 0;
    least_ = least;
    scale_ = span > 0 ? kShares / span : 0;
  }
  bool empty() {
    if (near_.empty()) take_next_share();
    return near_.empty();
  }

  void push(double key, int node) {
    const int share = share_of(key);
    if (share <= share_) {
      sift_up({key, node});
      return;
    }
    const auto s = static_cast<std::size_t>(share);
    const std::uint64_t bit = std::uint64_t{1} << (s % 64);
    far_.push_back({{key, node}, (filled_[s / 64] & bit) != 0 ? heads_[s] : -1});
    heads_[s] = static_cast<int>(far_.size()) - 1;
    filled_[s / 64] |= bit;
  }

  /// The least; it must not be empty, as `empty` has just told.
  Entry pop() {
    const Entry least = near_.front();
    const Entry last = near_.back();
    near_.pop_back();
    const std::size_t count = near_.size();
    std::size_t at = 0;
    while (4 * at + 1 < count) {
      std::size_t child = 4 * at + 1;
      for (std::size_t i = child + 1; i < child + 4 && i < count; ++i)
        if (near_[i] < near_[child]) child = i;
      if (!(near_[child] < last)) break;
      near_[at] = near_[child];
      at = child;
    }
    if (count > 0) near_[at] = last;
    return least;
  }

 private:
  static constexpr int kShares = 256;
  struct Waiting {
    Entry entry;
    int next = -1;
  };

  int share_of(double key) const {
    const double share = (key - least_) * scale_;
    if (!(share < kShares - 1)) return kShares - 1;
    return share > 0 ? static_cast<int>(share) : 0;
  }

  void sift_up(const Entry& entry) {
    std::size_t at = near_.size();
    near_.push_back(entry);
    while (at > 0) {
      const std::size_t parent = (at - 1) / 4;
      if (!(entry < near_[parent])) break;
      near_[at] = near_[parent];
      at = parent;
    }
    near_[at] = entry;
  }

  void take_next_share() {
    for (std::size_t word = 0; word < filled_.size(); ++word) {
      if (filled_[word] == 0) continue;
      const auto s = 64 * word + static_cast<std::size_t>(std::countr_zero(filled_[word]));
      filled_[word] &= filled_[word] - 1;
      share_ = static_cast<int>(s);
      for (int i = heads_[s]; i >= 0; i = far_[static_cast<std::size_t>(i)].next)
        sift_up(far_[static_cast<std::size_t>(i)].entry);
      return;
    }
  }

  std::vector<Entry> near_;           ///< a heap: all keys up to the share reached
  std::vector<Waiting> far_;          ///< lists, one a share
  std::array<int, kShares> heads_{};  ///< valid where filled
  std::array<std::uint64_t, kShares / 64> filled_{};
  int share_ = 0;
  double least_ = 0, scale_ = 0;
};

}  // namespace roomloom::network
