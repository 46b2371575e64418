#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace roomloom::network {

/// Least first, of distances and nodes: a heap of four branches whose memory is kept between
/// searches. Ties go to the lower node, so that paths never depend on the order of arrival.
class DistanceHeap {
 public:
  struct Entry {
    double key = 0;
    int node = 0;
    bool operator<(const Entry& other) const {
      return key < other.key || (key == other.key && node < other.node);
    }
  };

  void clear() { entries_.clear(); }
  bool empty() const { return entries_.empty(); }

  void push(double key, int node) {
    const Entry entry{key, node};
    std::size_t at = entries_.size();
    entries_.push_back(entry);
    while (at > 0) {
      const std::size_t parent = (at - 1) / 4;
      if (!(entry < entries_[parent])) break;
      entries_[at] = entries_[parent];
      at = parent;
    }
    entries_[at] = entry;
  }

  Entry pop() {
    const Entry least = entries_.front();
    const Entry last = entries_.back();
    entries_.pop_back();
    const std::size_t count = entries_.size();
    std::size_t at = 0;
    while (4 * at + 1 < count) {
      std::size_t child = 4 * at + 1;
      for (std::size_t i = child + 1; i < child + 4 && i < count; ++i)
        if (entries_[i] < entries_[child]) child = i;
      if (!(entries_[child] < last)) break;
      entries_[at] = entries_[child];
      at = child;
    }
    if (count > 0) entries_[at] = last;
    return least;
  }

 private:
  std::vector<Entry> entries_;
};

}  // namespace roomloom::network
