#pragma once

#include <string>
#include <vector>

#include "drawings/page_files.h"
#include "types/paper.h"

namespace roomloom {

/// Sizes of what is written on plain pages, millimetres.
namespace text_pages {
constexpr double kText_mm = 2.2, kHead_mm = 2.8, kTitle_mm = 4;
}

/// Pages of text that fill from above.
class TextPages {
 public:
  TextPages(Vec2 size_mm, const std::string& title, const Lettering& lettering);

  /// A paragraph; kept on one page with `keep_with_mm` of what follows.
  void text(const std::string& words, double cap_mm, bool bold, double before_mm,
            double keep_with_mm = 0);
  /// A paragraph with a box to tick before it and something short at its right.
  void ticked(const std::string& words, const std::string& at_right);
  /// A line of cells; the first is at the left, the others end at these shares of the width.
  void row(const std::vector<std::string>& cells, const std::vector<double>& ends, bool bold);
  /// A line across, as over a sum.
  void rule();
  void new_page();
  /// What stands above the text wherever it goes on on a further page, as where one is in it.
  void goes_on(const std::string& words) { goes_on_ = words; }
  /// All pages, each with its number of how many.
  std::vector<Page> take();

 private:
  double width() const;
  void need(double height_mm);
  void put(const std::string& line, double x, double base, double cap_mm, bool bold);

  Vec2 size_;
  std::string title_;
  const Lettering& lettering_;
  std::vector<Page> pages_;
  double y_ = 0;
  std::string goes_on_;
};

/// A sheet of paper for text, upright.
inline Vec2 text_paper_mm(Paper paper) {
  return paper == Paper::letter ? Vec2{215.9, 279.4} : Vec2{210, 297};
}

}  // namespace roomloom
