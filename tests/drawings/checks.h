#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cstdio>
#include <string>
#include <utility>
#include <vector>

#include "drawings/page.h"

namespace roomloom::testing {

inline std::vector<TextMark> texts_of(const Page& page) {
  std::vector<TextMark> texts;
  for (const Mark& mark : page.marks)
    if (const auto* text = std::get_if<TextMark>(&mark)) texts.push_back(*text);
  return texts;
}

/// How often a leader passes a text that is not its own. A leader ends on its own text's border.
inline int struck_texts(const Page& page) {
  constexpr double kOwn_mm = 0.01;
  const auto passes = [](const PaperBox& box, const Vec2& a, const Vec2& b) {
    double from = 0;  // by clipping the segment to the box: Liang and Barsky, 1984
    double to = 1;
    const Vec2 way = b - a;
    for (const auto& [p, q] :
         {std::pair{-way.x, a.x - box.low.x}, std::pair{way.x, box.high.x - a.x},
          std::pair{-way.y, a.y - box.low.y}, std::pair{way.y, box.high.y - a.y}}) {
      if (p == 0 && q <= 0) return false;
      if (p < 0) from = std::max(from, q / p);
      if (p > 0) to = std::min(to, q / p);
    }
    return from < to;
  };
  int struck = 0;
  const std::vector<TextMark> texts = texts_of(page);
  for (const Mark& mark : page.marks) {
    const auto* path = std::get_if<PathMark>(&mark);
    if (path == nullptr || path->name.rfind("Leader", 0) != 0) continue;
    for (const TextMark& text : texts)
      struck += passes(text.box.grown(-kOwn_mm), path->points.front(), path->points.back()) ? 1 : 0;
  }
  return struck;
}

/// No two texts share a place, no leader passes a text, no lettering is smaller than ISO 3098-1 has
/// it, and all lie within the border; on the paper where there is none.
inline void expect_readable(const Page& page) {
  const std::vector<TextMark> texts = texts_of(page);
  const bool bordered = !page.title.empty();  // as ISO 5457 has it
  const PaperBox paper =
      bordered ? PaperBox{{20, 10}, page.size_mm - Vec2{10, 10}} : PaperBox{{0, 0}, page.size_mm};
  EXPECT_EQ(struck_texts(page), 0) << page.title << ": leaders pass through texts";
  for (std::size_t i = 0; i < texts.size(); ++i) {
    EXPECT_GE(texts[i].cap_mm, 1.8 - 1e-9) << page.title << ": " << texts[i].text;
    EXPECT_TRUE(paper.contains(texts[i].box)) << page.title << ": " << texts[i].text;
    for (std::size_t j = i + 1; j < texts.size(); ++j) {
      EXPECT_FALSE(texts[i].box.overlaps(texts[j].box))
          << page.title << ": " << texts[i].text << " | " << texts[j].text;
    }
  }
}

/// What pdftotext (poppler) reads in a file; empty if the program is not there.
inline std::string text_of_pdf(const std::string& file) {
  std::string text;
  FILE* pipe = popen(("pdftotext -layout '" + file + "' - 2>/dev/null").c_str(), "r");
  if (pipe == nullptr) return text;
  char buffer[4096];
  for (std::size_t n = 0; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) text.append(buffer, n);
  pclose(pipe);
  return text;
}

/// Is the word there by itself, not as part of another?
inline bool holds_word(const std::string& text, const std::string& word) {
  const auto part = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    const bool before = at == 0 || !part(text[at - 1]);
    const bool after = at + word.size() >= text.size() || !part(text[at + word.size()]);
    if (before && after) return true;
  }
  return false;
}

}  // namespace roomloom::testing
