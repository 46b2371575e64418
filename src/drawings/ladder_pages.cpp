#include "base/minutes_text.h"
#include "base/units.h"
#include "base/words.h"
#include "drawings/text_pages.h"
#include "drawings/work_sheets.h"

namespace roomloom {
namespace {

using namespace text_pages;

std::string place_heading(const std::string& place, const Takeoff& takeoff) {
  for (const LadderPlace& at : takeoff.ladder_places)
    if (at.name == place)
      return place + ": " + at.where + (at.tile.empty() ? "" : ", under tile " + at.tile);
  return capitalised(place);
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
  TextPages sheets(text_paper_mm(paper), plain_text(name, 60) + ": ladder sheet", lettering);
  sheets.text(name + ": ladder sheet", kTitle_mm, true, 0);
  for (const Table& table : takeoff.tables)
    if (table.id == "ladder") sheets.text(table.note, kText_mm, false, 2);
  int day = 0;
  std::string place;
  for (const WorkStep& step : takeoff.steps) {
    if (step.day != day) {
      sheets.goes_on("");
      if (day > 0) sheets.new_page();
      sheets.text(day_heading(step.day, takeoff), kHead_mm, true, 4, 20);
      place.clear();
    }
    if (step.place != place) {
      sheets.goes_on("");
      sheets.text(place_heading(step.place, takeoff), kText_mm, true, 2, 10);
    }
    day = step.day;
    place = step.place;
    sheets.goes_on("Day " + std::to_string(day) + ", going on at " + place_heading(place, takeoff));
    sheets.ticked(step.text, minutes_text(step.minutes));
  }
  if (takeoff.steps.empty()) sheets.text("Nothing is left to do.", kText_mm, false, 4);
  return pdf_of(sheets.take(), lettering, plain_text(name, 100) + ": ladder sheet", program);
}

}  // namespace roomloom
