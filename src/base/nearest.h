#pragma once

#include <algorithm>
#include <cctype>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace roomloom {

/// Letters to change, add, drop or swap with a neighbour to turn `a` into `b`; ASCII case is
/// ignored. Optimal string alignment distance.
inline std::size_t edit_distance(std::string_view a, std::string_view b) {
  const auto same = [](char x, char y) {
    return std::tolower(static_cast<unsigned char>(x)) ==
           std::tolower(static_cast<unsigned char>(y));
  };
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const bool equal = same(a[i - 1], b[j - 1]);
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + (equal ? 0U : 1U)});
      if (i > 1 && j > 1 && same(a[i - 1], b[j - 2]) && same(a[i - 2], b[j - 1]))
        now[j] = std::min(now[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, now);
  }
  return last[b.size()];
}

/// Up to `count` of `candidates` most like `word`, nearest first, ties in the order given. Those
/// that share less than half of their letters are left out.
inline std::vector<std::string> nearest_words(std::string_view word,
                                              const std::vector<std::string>& candidates,
                                              std::size_t count = 3) {
  constexpr std::size_t kLongest = 100;  // beyond it a likeness means nothing and costs much
  std::vector<std::pair<std::size_t, std::size_t>> ranked;
  if (word.size() > kLongest) return {};
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    if (candidates[i].size() > kLongest) continue;
    const std::size_t edits = edit_distance(word, candidates[i]);
    if (2 * edits <= std::max(word.size(), candidates[i].size())) ranked.emplace_back(edits, i);
  }
  std::sort(ranked.begin(), ranked.end());
  std::vector<std::string> words;
  for (const auto& [edits, i] : ranked) {
    if (words.size() == count) break;
    if (std::find(words.begin(), words.end(), candidates[i]) == words.end())
      words.push_back(candidates[i]);
  }
  return words;
}

/// `"a", "b" or "c"`: quoted and joined for a sentence; empty for none.
inline std::string quoted_list(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
    text += '"' + words[i] + '"';
  }
  return text;
}

/// Those that hold the word, of three letters at least, in the order given; ASCII case is ignored.
inline std::vector<std::string> words_with(std::string_view word,
                                           const std::vector<std::string>& candidates) {
  std::vector<std::string> words;
  if (word.size() < 3) return words;
  const auto same = [](char x, char y) {
    return std::tolower(static_cast<unsigned char>(x)) ==
           std::tolower(static_cast<unsigned char>(y));
  };
  for (const std::string& one : candidates)
    if (std::search(one.begin(), one.end(), word.begin(), word.end(), same) != one.end())
      words.push_back(one);
  return words;
}

/// A remedy: `Did you mean "x"?`, else the names there are that hold the word, else any (at most
/// twelve), else nothing.
inline std::string suggestion(std::string_view word, const std::vector<std::string>& all) {
  const auto near = nearest_words(word, all);
  if (!near.empty()) return "Did you mean " + quoted_list(near) + "?";
  if (all.empty()) return "";
  constexpr std::size_t kShown = 12;
  const auto with = words_with(word, all);
  const std::vector<std::string>& candidates = with.empty() ? all : with;
  std::vector<std::string> shown(
      candidates.begin(),
      candidates.begin() + static_cast<std::ptrdiff_t>(std::min(candidates.size(), kShown)));
  return "There is " + quoted_list(shown) + (candidates.size() > kShown ? " and more." : ".");
}

}  // namespace roomloom
