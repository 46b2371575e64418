#include "base/minutes_text.h"
#include "base/units.h"
#include "drawings/page_files.h"
#include "drawings/work_sheets.h"

namespace roomloom {
namespace {

constexpr double kMargin_mm = 15, kText_mm = 2.2, kHead_mm = 2.8, kTitle_mm = 4;
constexpr std::size_t kMostText = 2000;
constexpr double kLine_mm = 5, kBox_mm = 3.6, kMinutes_mm = 20;

/// Pages that fill from above.
class Sheets {
 public:
  Sheets(Vec2 size_mm, const std::string& title, const Lettering& lettering)
      : size_(size_mm), title_(title), lettering_(lettering) {
    new_page();
  }

  void text(const std::string& words, double cap_mm, bool bold, double before_mm,
            double keep_with_mm = 0) {
    const auto lines = lines_of(lettering_, plain_text(words, kMostText), cap_mm, bold, width());
    need(before_mm + kLine_mm * static_cast<double>(lines.size()) + keep_with_mm);
    y_ += before_mm;
    for (const std::string& line : lines) {
      y_ += kLine_mm * cap_mm / kText_mm;
      put(line, kMargin_mm, y_, cap_mm, bold);
    }
  }

  void step(const WorkStep& step) {
    const double left = kMargin_mm + kBox_mm + 3;
    const auto lines = lines_of(lettering_, plain_text(step.text, kMostText), kText_mm, false,
                                width() - kBox_mm - 3 - kMinutes_mm);
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
    const std::string minutes = minutes_text(step.minutes);
    put(minutes, size_.x - kMargin_mm - lettering_.width_mm(minutes, kText_mm, false),
        y_ + kLine_mm, kText_mm, false);
    for (const std::string& line : lines) put(line, left, y_ += kLine_mm, kText_mm, false);
    y_ += 2;
  }

  void new_page() {
    pages_.emplace_back();
    pages_.back().title = title_;
    pages_.back().size_mm = size_;
    y_ = kMargin_mm;
    const std::string foot = title_ + ", page " + std::to_string(pages_.size());
    put(plain_text(foot, 100), kMargin_mm, size_.y - kMargin_mm / 2, 1.8, false);
  }

  std::vector<Page> take() { return std::move(pages_); }

 private:
  double width() const { return size_.x - 2 * kMargin_mm; }
  void need(double height_mm) {
    if (y_ + height_mm > size_.y - kMargin_mm && y_ > kMargin_mm) new_page();
  }
  void put(const std::string& line, double x, double base, double cap_mm, bool bold) {
    TextMark mark;
    mark.text = line;
    mark.at = {x, base};
    mark.cap_mm = cap_mm;
    mark.bold = bold;
    mark.width_mm = lettering_.width_mm(line, cap_mm, bold);
    pages_.back().marks.emplace_back(mark);
  }

  Vec2 size_;
  std::string title_;
  const Lettering& lettering_;
  std::vector<Page> pages_;
  double y_ = 0;
};

std::string place_heading(const std::string& place, const Takeoff& takeoff) {
  for (const LadderPlace& at : takeoff.ladder_places)
    if (at.name == place)
      return place + ": " + at.where + (at.tile.empty() ? "" : ", under tile " + at.tile);
  return place;
}

std::string day_heading(int day, const Takeoff& takeoff) {
  double minutes = 0, least = 0, most = 0;
  for (const WorkStep& step : takeoff.steps) {
    if (step.day != day) continue;
    minutes += step.minutes;
    least += step.least;
    most += step.most;
  }
  return "Day " + std::to_string(day) + ": " + format_number(minutes / 60, 1) + " h (" +
         format_number(least / 60, 1) + " to " + format_number(most / 60, 1) + ")";
}

}  // namespace

Result<std::string> ladder_pdf(const Takeoff& takeoff, const std::string& name, Paper paper,
                               const std::string& program) {
  const Lettering lettering;
  const Vec2 size = paper == Paper::letter ? Vec2{215.9, 279.4} : Vec2{210, 297};
  Sheets sheets(size, plain_text(name, 60) + ": ladder sheet", lettering);
  sheets.text(name + ": ladder sheet", kTitle_mm, true, 0);
  for (const Table& table : takeoff.tables)
    if (table.id == "ladder") sheets.text(table.note, kText_mm, false, 2);
  int day = 0;
  std::string place;
  for (const WorkStep& step : takeoff.steps) {
    if (step.day != day) {
      if (day > 0) sheets.new_page();
      sheets.text(day_heading(step.day, takeoff), kHead_mm, true, 4, 20);
      place.clear();
    }
    if (step.place != place) sheets.text(place_heading(step.place, takeoff), kText_mm, true, 2, 10);
    day = step.day;
    place = step.place;
    sheets.step(step);
  }
  if (takeoff.steps.empty()) sheets.text("Nothing is left to do.", kText_mm, false, 4);
  return pdf_of(sheets.take(), lettering, plain_text(name, 100) + ": ladder sheet", program);
}

}  // namespace roomloom
