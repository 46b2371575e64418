#include "drawings/text_pages.h"

#include "base/units.h"

namespace roomloom {
namespace {

using namespace text_pages;

constexpr double kMargin_mm = 15;
constexpr std::size_t kMostText = 2000;
constexpr double kLine_mm = 5, kBox_mm = 3.6, kRight_mm = 20;

}  // namespace

TextPages::TextPages(Vec2 size_mm, const std::string& title, const Lettering& lettering)
    : size_(size_mm), title_(title), lettering_(lettering) {
  new_page();
}

void TextPages::text(const std::string& words, double cap_mm, bool bold, double before_mm,
                     double keep_with_mm) {
  const auto lines = lines_of(lettering_, plain_text(words, kMostText), cap_mm, bold, width());
  need(before_mm + kLine_mm * static_cast<double>(lines.size()) + keep_with_mm);
  y_ += before_mm;
  for (const std::string& line : lines) {
    y_ += kLine_mm * cap_mm / kText_mm;
    put(line, kMargin_mm, y_, cap_mm, bold);
  }
}

void TextPages::ticked(const std::string& words, const std::string& at_right) {
  const double left = kMargin_mm + kBox_mm + 3;
  const auto lines = lines_of(lettering_, plain_text(words, kMostText), kText_mm, false,
                              width() - kBox_mm - 3 - kRight_mm);
  need(kLine_mm * static_cast<double>(lines.size()) + 2);
  const double top = y_ + 1.6;
  PathMark box;
  box.points = {{kMargin_mm, top},
                {kMargin_mm + kBox_mm, top},
                {kMargin_mm + kBox_mm, top + kBox_mm},
                {kMargin_mm, top + kBox_mm}};
  box.closed = true;
  box.pen = Pen{{}, 0.3, {}};
  pages_.back().marks.emplace_back(box);
  put(at_right, size_.x - kMargin_mm - lettering_.width_mm(at_right, kText_mm, false),
      y_ + kLine_mm, kText_mm, false);
  for (const std::string& line : lines) put(line, left, y_ += kLine_mm, kText_mm, false);
  y_ += 2;
}

void TextPages::row(const std::vector<std::string>& cells, const std::vector<double>& ends,
                    bool bold) {
  need(kLine_mm + 1);
  y_ += kLine_mm + 1;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const std::string cell = plain_text(cells[i], 80);
    const double x =
        i == 0 ? kMargin_mm
               : kMargin_mm + ends[i - 1] * width() - lettering_.width_mm(cell, kText_mm, bold);
    put(cell, x, y_, kText_mm, bold);
  }
}

void TextPages::rule() {
  need(3);
  y_ += 2;
  PathMark line;
  line.points = {{kMargin_mm, y_}, {size_.x - kMargin_mm, y_}};
  line.pen = Pen{{}, 0.3, {}};
  pages_.back().marks.emplace_back(line);
}

void TextPages::new_page() {
  pages_.emplace_back();
  pages_.back().title = title_;
  pages_.back().size_mm = size_;
  y_ = kMargin_mm;
}

std::vector<Page> TextPages::take() {
  std::vector<Page> pages = std::move(pages_);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    pages_ = {std::move(pages[i])};
    const std::string foot =
        title_ + ", page " + std::to_string(i + 1) + " of " + std::to_string(pages.size());
    put(plain_text(foot, 100), kMargin_mm, size_.y - kMargin_mm / 2, 1.8, false);
    pages[i] = std::move(pages_.front());
  }
  pages_.clear();
  return pages;
}

double TextPages::width() const { return size_.x - 2 * kMargin_mm; }

void TextPages::need(double height_mm) {
  if (y_ + height_mm <= size_.y - kMargin_mm || y_ <= kMargin_mm) return;
  new_page();
  if (goes_on_.empty()) return;
  const auto lines = lines_of(lettering_, plain_text(goes_on_, kMostText), kText_mm, true, width());
  for (const std::string& line : lines) put(line, kMargin_mm, y_ += kLine_mm, kText_mm, true);
  y_ += 2;
}

void TextPages::put(const std::string& line, double x, double base, double cap_mm, bool bold) {
  TextMark mark;
  mark.text = line;
  mark.at = {x, base};
  mark.cap_mm = cap_mm;
  mark.bold = bold;
  mark.width_mm = lettering_.width_mm(line, cap_mm, bold);
  pages_.back().marks.emplace_back(mark);
}

}  // namespace roomloom
