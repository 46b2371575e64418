#include "cutting/filling.h"

#include <algorithm>
#include <random>

#include "cutting/completion.h"

namespace roomloom::cutting {
namespace {

constexpr std::int64_t kLongestBar = 1 << 17;  // in units: sums are bits
constexpr int kMostPieces = 1000;
constexpr int kMostTries = 400;
constexpr std::size_t kPiecesToComplete = 30;
constexpr long kStepsToComplete = 5000;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Which sums the first pieces of a list reach, a row of bits for each number of pieces.
class Sums {
 public:
  /// @return the largest sum up to `room` that the pieces reach
  std::int64_t reach(const std::vector<std::int64_t>& pieces, std::int64_t room) {
    words_ = at(static_cast<int>(room / 64)) + 1;
    bits_.assign(words_ * (pieces.size() + 1), 0);
    bits_[0] = 1;
    for (std::size_t i = 0; i < pieces.size(); ++i) add(i, static_cast<std::size_t>(pieces[i]));
    std::int64_t sum = room;
    while (!reaches(pieces.size(), sum)) --sum;
    return sum;
  }

  bool reaches(std::size_t pieces, std::int64_t sum) const {
    const auto bit = static_cast<std::size_t>(sum);
    return sum >= 0 && (bits_[pieces * words_ + bit / 64] >> bit % 64 & 1) != 0;
  }

  std::int64_t work() const { return static_cast<std::int64_t>(bits_.size()); }

 private:
  void add(std::size_t row, std::size_t length) {
    const std::size_t whole = length / 64, part = length % 64;
    const std::uint64_t* from = &bits_[row * words_];
    std::uint64_t* to = &bits_[(row + 1) * words_];
    for (std::size_t w = 0; w < words_; ++w) {
      to[w] = from[w];
      if (w < whole) continue;
      to[w] |= from[w - whole] << part;
      if (part > 0 && w > whole) to[w] |= from[w - whole - 1] >> (64 - part);
    }
  }

  std::size_t words_ = 0;
  std::vector<std::uint64_t> bits_;
};

struct Piece {
  std::int64_t length = 0;
  const std::vector<int>* bundle = nullptr;
};

class Filler {
 public:
  Filler(const Problem& problem, std::int64_t& steps) : problem_(problem), steps_left_(steps) {
    for (const PieceType& type : problem.types)
      for (const auto& bundle : type.bundles) pieces_.push_back({type.length, &bundle});
    // The shortest first: sums are taken apart from the back, where the long ones are.
    std::stable_sort(pieces_.begin(), pieces_.end(),
                     [](const Piece& a, const Piece& b) { return a.length < b.length; });
    for (std::size_t k = 0; k < problem.kinds.size(); ++k)
      for (int bar = 0; bar < problem.kinds[k].most; ++bar) bars_.push_back(static_cast<int>(k));
    for (const int kind : bars_) slack_ += problem.kinds[at(kind)].capacity;
    for (const Piece& piece : pieces_) slack_ -= piece.length;
  }

  Packing run() {
    if (slack_ < 0) return {};
    for (int number = 0; number < kMostTries && steps_left_ > 0; ++number) {
      std::vector<int> bars = bars_;
      if (number == 0)
        std::stable_sort(bars.begin(), bars.end(), [&](int a, int b) {
          return problem_.kinds[at(a)].capacity < problem_.kinds[at(b)].capacity;
        });
      else
        shuffle(bars);
      Packing packing = attempt(bars, number > 0);
      if (packing.cost != Packing::no_cost) return packing;
    }
    return {};
  }

 private:
  // The standard library's own shuffle and distributions differ from one to another.
  std::size_t below(std::size_t count) { return random_() % count; }

  void shuffle(std::vector<int>& list) {
    for (std::size_t i = list.size(); i > 1; --i) std::swap(list[i - 1], list[below(i)]);
  }

  Packing attempt(const std::vector<int>& bars, bool vary) {
    std::vector<Piece> left = pieces_;
    std::int64_t slack = slack_;
    Packing packing;
    packing.cost = 0;
    for (std::size_t b = 0; b < bars.size(); ++b) {
      if (left.size() <= kPiecesToComplete)
        return completed({bars.begin() + static_cast<long>(b), bars.end()}, left, packing);
      const int kind = bars[b];
      const StockKind& stock = problem_.kinds[at(kind)];
      packing.cost += stock.cost;
      Bar bar{kind, {}};
      slack -= fill(bar, stock.capacity, left, vary);
      packing.bars.push_back(std::move(bar));
      if (slack < 0 || steps_left_ <= 0) return {};
    }
    return left.empty() ? packing : Packing{};
  }

  /// The last pieces by trying all ways.
  Packing completed(const std::vector<int>& bars, const std::vector<Piece>& left, Packing packing) {
    Problem rest;
    rest.kinds = problem_.kinds;
    for (StockKind& kind : rest.kinds) kind.least = kind.most = 0;
    for (const int kind : bars) ++rest.kinds[at(kind)].most;
    for (auto piece = left.rbegin(); piece != left.rend(); ++piece) {
      if (rest.types.empty() || rest.types.back().length != piece->length)
        rest.types.push_back({piece->length, PieceType::any_number, {}, {}});
      rest.types.back().bundles.push_back(*piece->bundle);
    }
    Packing last;
    steps_left_ -= kStepsToComplete;
    if (complete_bars(rest, kStepsToComplete, last) != Verdict::packed) return {};
    packing.cost = 0;
    for (const int kind : bars_) packing.cost += problem_.kinds[at(kind)].cost;
    packing.bars.insert(packing.bars.end(), last.bars.begin(), last.bars.end());
    return packing;
  }

  /// Moves pieces from `left` into the bar. @return what of it stays empty
  std::int64_t fill(Bar& bar, std::int64_t room, std::vector<Piece>& left, bool vary) {
    auto first =
        std::upper_bound(left.begin(), left.end(), room,
                         [](std::int64_t most, const Piece& p) { return most < p.length; });
    if (first == left.begin()) return room;
    --first;
    while (vary && first != left.begin() && below(4) == 0) --first;
    take(bar, *first);
    room -= first->length;
    left.erase(first);
    std::vector<std::int64_t> lengths;
    for (const Piece& piece : left) lengths.push_back(piece.length);
    std::int64_t sum = sums_.reach(lengths, room);
    steps_left_ -= sums_.work();
    const std::int64_t empty = room - sum;
    for (std::size_t i = left.size(); i-- > 0;) {
      const bool with = sums_.reaches(i, sum - left[i].length);
      const bool without = sums_.reaches(i, sum);
      if (!with || (without && vary && below(3) == 0)) continue;
      take(bar, left[i]);
      sum -= left[i].length;
      left.erase(left.begin() + static_cast<long>(i));
    }
    return empty;
  }

  static void take(Bar& bar, const Piece& piece) {
    bar.pieces.insert(bar.pieces.end(), piece.bundle->begin(), piece.bundle->end());
  }

  const Problem& problem_;
  std::int64_t& steps_left_;
  std::int64_t slack_ = 0;  ///< of all bars together
  std::vector<Piece> pieces_;
  std::vector<int> bars_;
  Sums sums_;
  std::mt19937 random_{20};
};

}  // namespace

Packing fill_bars(const Problem& problem, std::int64_t& steps) {
  const bool short_enough =
      std::all_of(problem.kinds.begin(), problem.kinds.end(),
                  [](const StockKind& kind) { return kind.capacity <= kLongestBar; });
  const bool any_together =
      is_plain(problem) && std::all_of(problem.types.begin(), problem.types.end(),
                                       [](const PieceType& type) { return type.length > 0; });
  if (!short_enough || !any_together || total_demand(problem) > kMostPieces) return {};
  return Filler(problem, steps).run();
}

}  // namespace roomloom::cutting
