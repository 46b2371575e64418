#include "interview/assumptions.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "interview/room_facts.h"

namespace roomloom {
namespace {

/// Of each length that is not known the furthest ends over the rooms at either end.
std::map<std::string, TakenRange> taken_over_all(const Answers& answers,
                                                 const HouseHabits& habits) {
  std::map<std::string, TakenRange> all;
  Assumed low, high;
  for (const Question& question : unknown_ranges(answers)) {
    low[question.key] = 0;
    high[question.key] = 1;
  }
  for (const Assumed& assumed : {Assumed{}, low, high}) {
    const auto composed = compose(answers, assumed, habits);
    if (!composed) continue;  // first_answer tells of a room that cannot be
    for (const auto& [key, range] : composed->taken) {
      const auto [kept, is_new] = all.emplace(key, range);
      if (is_new) continue;
      kept->second.low_m = std::min(kept->second.low_m, range.low_m);
      kept->second.high_m = std::max(kept->second.high_m, range.high_m);
    }
  }
  return all;
}

/// Nobody reads a sixteenth of an inch off what is only assumed.
std::string about(double metres, DisplayUnits units) {
  constexpr double kInch = 0.0254;
  if (units == DisplayUnits::feet_and_inches) metres = std::round(metres / kInch) * kInch;
  return format_length(metres, units, 2);
}

std::string line(const std::string& what, const std::string& taken) {
  return "  " + what + " " + taken + ".\n";
}

std::string ranges_text(const Answers& answers, const HouseHabits& habits) {
  const auto taken = taken_over_all(answers, habits);
  std::string text;
  for (const Question& question : unknown_here(answers, habits)) {
    if (!question.between.empty()) {
      text += line(question.text, question.between.front() + " or " + question.between.back());
      continue;
    }
    const TakenRange& range = taken.at(question.key);
    text += line(question.text, about(range.low_m, answers.units()) + " to " +
                                    about(range.high_m, answers.units()));
  }
  return text;
}

std::string outline_taken_text(const Answers& answers) {
  std::string text;
  for (const auto& [key, name, opposite] :
       {std::tuple("wall_back", "back", "front"), std::tuple("wall_right", "right", "left")})
    if (!answers.length(key))
      text += line(std::string("How long is the ") + name + " wall?",
                   std::string("As long as the ") + opposite + " one, if corners are square");
  bool angle = false;
  for (const char* corner : {"front_left", "front_right", "back_right", "back_left"})
    angle = angle ||
            (answers.yes("angles") && answers.angle(std::string("angle_") + corner).has_value());
  if (!angle && !answers.length("diagonal_1") && !answers.length("diagonal_2"))
    text += line("No diagonal was measured:", "the corners are taken to be square");
  const bool tiles = answers.yes("suspended_ceiling") || answers.unknown("suspended_ceiling");
  if (tiles && !answers.length("tile_cut_left"))
    text += line("The cut tiles along the left wall:", "the grid starts there with whole ones");
  if (tiles && !answers.length("tile_cut_front"))
    text += line("The cut tiles along the front wall:",
                 "the grid starts at the back wall with whole ones");
  return text;
}

std::string not_asked_text(const Answers& given) {
  const Answers answers = settled(given);
  const auto told = [&](double metres) { return about(metres, answers.units()); };
  std::string text = "a rack " + told(kRackWidth) + " wide, " + told(kRackDepth) + " deep and " +
                     told(kRackHeight) + " high, " + told(kRackOffWall) + " off its wall";
  if (answers.text("loudspeakers") != "none") text += "; ears " + told(kEarsUp) + " up";
  if (answers.count("subwoofers") > 0)
    text += "; subwoofers " + told(kSubwooferFromCorner) + " from their corners";
  if (answers.yes("screen")) text += "; the screen's end " + told(kScreenUp) + " up";
  if (answers.count("network_points") > 0) text += "; outlets " + told(kOutletUp) + " up";
  if (answers.yes("suspended_ceiling"))
    text += "; the suspended ceiling over the whole room (\"over\" says where, if only in a part)";
  return "\nNot asked, and taken: " + text + ". Change it in room.json and job.json.\n";
}

}  // namespace

std::vector<Question> unknown_here(const Answers& answers, const HouseHabits& habits) {
  const auto taken = taken_over_all(answers, habits);
  std::vector<Question> all = unknown_ranges(answers);
  std::erase_if(all, [&](const Question& question) {
    return question.between.empty() && !taken.contains(question.key);
  });
  return all;
}

std::string assumptions_text(const Answers& answers, const HouseHabits& habits) {
  std::string text = ranges_text(answers, habits);
  for (const Question& question : taken_as_usual(answers))
    text += line(question.text, question.usual + ", as is usual");
  text += outline_taken_text(answers);
  return (text.empty() ? text : "\nNot known, and taken:\n" + text) + not_asked_text(answers);
}

}  // namespace roomloom
