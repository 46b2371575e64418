#include <algorithm>
#include <cmath>
#include <functional>

#include "base/vec.h"
#include "interview/answers.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom {
namespace {

const std::vector<std::string> kWalls = {"front", "right", "back", "left"};

Question length(std::string key, std::string text, std::string hint, double low, double high) {
  Question q;
  q.key = std::move(key);
  q.text = std::move(text);
  q.hint = std::move(hint);
  q.kind = AnswerKind::length;
  q.low_m = low;
  q.high_m = high;
  return q;
}

/// Where it is not known it becomes a range; of what is chosen, between these two.
Question ranged(Question q, std::vector<std::string> between = {}) {
  q.may_be_unknown = q.ranged = true;
  q.between = std::move(between);
  if (q.usual.empty()) q.usual = kDoNotKnow;
  return q;
}

Question yes_no(std::string key, std::string text, std::string hint, std::string answer) {
  Question q;
  q.key = std::move(key);
  q.text = std::move(text);
  q.hint = std::move(hint);
  q.kind = AnswerKind::yes_no;
  q.usual = std::move(answer);
  return q;
}

Question usual(Question q, std::string answer) {
  q.usual = std::move(answer);
  return q;
}

Question choice(std::string key, std::string text, std::string hint,
                std::vector<std::string> choices, std::string answer) {
  Question q;
  q.key = std::move(key);
  q.text = std::move(text);
  q.hint = std::move(hint);
  q.kind = AnswerKind::choice;
  q.choices = std::move(choices);
  q.usual = std::move(answer);
  return q;
}

Question count(std::string key, std::string text, std::string answer) {
  Question q;
  q.key = std::move(key);
  q.text = std::move(text);
  q.kind = AnswerKind::count;
  q.usual = std::move(answer);
  return q;
}

bool feet(const Answers& answers) { return answers.units() == DisplayUnits::feet_and_inches; }

void about_the_room(const Answers& answers, std::vector<Question>& all) {
  all.push_back(
      choice("units", "Do you measure in metres or in feet?", "", {"metres", "feet"}, "metres"));
  Question name;
  name.key = "name";
  name.text = "What shall the room be called?";
  name.usual = "Room";
  all.push_back(name);
  const std::string how = "Along the floor, from corner to corner, inside.";
  all.push_back(ranged(
      length("wall_front", "How long is the front wall, the one you look at?", how, 1.5, 15)));
  all.push_back(ranged(length("wall_left", "How long is the left wall?", how, 1.5, 20)));
  for (const auto& [wall, opposite] : {std::pair("back", "front"), std::pair("right", "left")}) {
    Question q = length(
        std::string("wall_") + wall, std::string("How long is the ") + wall + " wall?",
        how + " Don't know: it is taken to be as long as the " + opposite + " one.", 1.5, 20);
    q.may_be_unknown = true;
    q.usual = kDoNotKnow;  // its opposite's length would count as a second measure of it
    all.push_back(q);
  }
  const std::string why = " The two diagonals tell whether the room is square.";
  for (const auto& [key, text] :
       {std::pair("diagonal_1", "How far is it from the front left corner to the back right one?"),
        std::pair("diagonal_2", "And from the front right corner to the back left one?")}) {
    Question q = length(key, text, "Across the floor." + why, 2, 25);
    q.may_be_unknown = true;
    q.usual = kDoNotKnow;
    all.push_back(q);
  }
  all.push_back(yes_no("angles", "Did you measure the angle of any corner?",
                       "Most people did not: a tape and two diagonals do as well.", "no"));
  if (!answers.yes("angles")) return;
  for (const char* corner : {"front_left", "front_right", "back_right", "back_left"}) {
    std::string words = corner;
    words.replace(words.find('_'), 1, " ");
    Question q;
    q.key = std::string("angle_") + corner;
    q.text = "What is the angle of the " + words + " corner?";
    q.hint = "Inside the room: 90.5 deg.";
    q.kind = AnswerKind::angle;
    q.may_be_unknown = true;
    q.usual = kDoNotKnow;
    all.push_back(q);
  }
}

void about_the_ceiling(const Answers& answers, std::vector<Question>& all) {
  all.push_back(
      ranged(length("height", "How high is the ceiling that you see?", "From the floor.", 1.9, 6)));
  all.push_back(ranged(
      yes_no("suspended_ceiling", "Is it a suspended ceiling, of tiles in a grid?", "", "no"),
      {"no", "yes"}));
  if (!answers.yes("suspended_ceiling")) return;
  all.push_back(
      ranged(length("void_depth", "How much room is there above the tiles?",
                    "Lift one tile and measure from its upper side to what is above.", 0.06, 1.5)));
  Question whole = length("height_above", "And how high is it from the floor to what is above?",
                          "Through the tile that you lifted; it checks the other two.", 2.0, 8);
  whole.may_be_unknown = true;
  whole.usual = kDoNotKnow;
  all.push_back(whole);
  const std::vector<std::string> tiles = {"600 x 600 mm", "600 x 1200 mm", "2 x 2 ft", "2 x 4 ft",
                                          "625 x 625 mm"};
  const auto first = tiles.begin() + (feet(answers) ? 2 : 0);
  all.push_back(ranged(choice("tile", "How large is a tile?",
                              "From the middle of a bar to the next.", tiles, *first),
                       {first[0], first[1]}));
  for (const char* wall : {"left", "front"}) {
    Question cut = length(std::string("tile_cut_") + wall,
                          std::string("How wide are the cut tiles along the ") + wall + " wall?",
                          "From the wall to the first bar; it tells where the grid lies.", 0, 1.25);
    cut.may_be_unknown = true;
    cut.usual = kDoNotKnow;
    all.push_back(cut);
  }
}

void about_the_walls(const Answers& answers, std::vector<Question>& all) {
  Question q =
      choice("hollow_walls",
             "Can cable be let down inside the walls (studs, no blocking, not an outside wall)?",
             "Where it can not, it goes in raceway on the wall.", {"none", "all"}, "none");
  all.push_back(ranged(std::move(q), {"none", "all"}));
  if (answers.text("hollow_walls") == "all")
    all.push_back(
        usual(ranged(length("stud_pitch", "How far apart are the studs?",
                            "From the middle of one to the middle of the next.", 0.254, 0.8128)),
              feet(answers) ? "16 in" : "400 mm"));
  all.push_back(count("doors", "How many doors are there?", "1"));
  all.push_back(count("windows", "How many windows?", "0"));
  for (const bool door : {true, false}) {
    const std::string what = door ? "door" : "window";
    for (int i = 1; i <= answers.count(what + "s"); ++i) {
      const std::string key = what + "_" + std::to_string(i), name = what + " " + std::to_string(i);
      all.push_back(choice(key + "_wall", "In which wall is " + name + "?", "", kWalls, "back"));
      all.push_back(
          ranged(length(key + "_from_left", "How far is " + name + " from that wall's left corner?",
                        "Left as you face the wall from inside.", 0, 15)));
      // What a door or window can be where nobody measured it: common practice, no source.
      all.push_back(usual(ranged(length(key + "_width", "How wide is " + name + "?", "", 0.4, 4)),
                          feet(answers) ? "32 in" : "0.9 m"));
      if (!door)
        all.push_back(
            usual(ranged(length(key + "_sill", "How high above the floor does " + name + " begin?",
                                "", 0, 2.2)),
                  feet(answers) ? "36 in" : "0.9 m"));
      all.push_back(
          usual(ranged(length(key + "_height", "How high is " + name + " itself?", "", 0.3, 3)),
                door ? (feet(answers) ? "80 in" : "2 m") : (feet(answers) ? "48 in" : "1.2 m")));
    }
  }
}

void about_the_gear(const Answers& answers, std::vector<Question>& all) {
  all.push_back(choice("rack_wall",
                       "At which wall does the rack or stand with the amplifier stand?", "", kWalls,
                       "front"));
  all.push_back(ranged(length("rack_from_left",
                              "How far is the middle of the rack from that wall's left corner?", "",
                              0.2, 15)));
  std::vector<std::string> systems = {"none"};
  for (const LoudspeakerSystem& system : loudspeaker_systems()) systems.push_back(system.name);
  all.push_back(
      choice("loudspeakers", "Which loudspeaker layout?",
             "As ITU-R BS.2051 writes it: above + ear height + below; 0+5+0 is five round "
             "the listener, 4+5+0 has four above besides. Or none.",
             systems, "0+5+0"));
  if (answers.has("loudspeakers") && answers.text("loudspeakers") != "none") {
    all.push_back(
        ranged(length("listener", "How far from the front wall do you sit?", "", 0.8, 15)));
  }
  all.push_back(choice("subwoofers", "How many subwoofers?",
                       "They stand in the front corners, then in the back ones.",
                       {"0", "1", "2", "4"}, "1"));
  all.push_back(yes_no("screen", "Is there a screen or television that wants a cable?",
                       "At the front wall, the one you look at.", "no"));
  if (answers.yes("screen"))
    all.push_back(usual(ranged(length("screen_from_front",
                                      "How far in front of the front wall does it hang or stand?",
                                      "0 if it hangs on the wall.", 0, 15)),
                        "0 m"));
  all.push_back(yes_no("projector", "Is there a projector under the ceiling?", "", "no"));
  if (answers.yes("projector"))
    all.push_back(ranged(length("projector_from_front",
                                "How far is the projector from the front wall?", "", 1, 15)));
  all.push_back(
      count("network_points", "How many network outlets are to be wired to the rack?", "0"));
  for (int i = 1; i <= answers.count("network_points"); ++i) {
    const std::string key = "network_" + std::to_string(i),
                      name = "network outlet " + std::to_string(i);
    all.push_back(choice(key + "_wall", "In which wall is " + name + "?", "", kWalls, "back"));
    all.push_back(
        ranged(length(key + "_from_left", "How far is " + name + " from that wall's left corner?",
                      "", 0.05, 15)));
  }
}

void about_the_shelf(const Answers& answers, std::vector<Question>& all) {
  Question spools;
  spools.kind = AnswerKind::spools;
  spools.usual = answers.house_stock() ? kAsInHouse : "none";
  spools.hint =
      std::string("What is left on each spool, with ';' between: 30 m; 12.5 m. Or none.") +
      (answers.house_stock() ? " \"house\" is what the house file says." : "");
  spools.key = "shelf_speaker";
  spools.text = "What loudspeaker cable is on the shelf?";
  if (answers.text("loudspeakers") != "none") all.push_back(spools);
  spools.key = "shelf_network";
  spools.text = "What network cable is on the shelf?";
  if (answers.count("network_points") > 0) all.push_back(spools);
}

std::vector<Question> all_about(const Answers& answers) {
  std::vector<Question> all;
  about_the_room(answers, all);
  about_the_ceiling(answers, all);
  about_the_walls(answers, all);
  about_the_gear(answers, all);
  about_the_shelf(answers, all);
  return all;
}

}  // namespace

Answers settled(const Answers& answers) {
  Answers known = answers;
  for (bool more = true; more;) {
    more = false;
    for (const Question& question : all_about(known)) {
      if (question.may_be_unknown || !known.unknown(question.key)) continue;
      known.set(question.key, question.usual);
      more = true;
    }
  }
  return known;
}

std::vector<Question> questions(const Answers& answers) { return all_about(settled(answers)); }

std::vector<Question> taken_as_usual(const Answers& answers) {
  std::vector<Question> all;
  for (const Question& question : questions(answers))
    if (!question.may_be_unknown && answers.unknown(question.key)) all.push_back(question);
  return all;
}

std::vector<Question> unknown_ranges(const Answers& answers) {
  Answers with_all = answers;  // "a suspended ceiling?" not known: then its void is not known too
  for (const Question& question : questions(answers))
    if (!question.between.empty() && answers.unknown(question.key))
      with_all.set(question.key, question.between.back());
  std::vector<Question> all;
  const std::vector<Question> asked = questions(answers);
  for (const Question& question : questions(with_all)) {
    const bool follows = std::none_of(asked.begin(), asked.end(),
                                      [&](const Question& own) { return own.key == question.key; });
    if (question.ranged && (follows || answers.unknown(question.key))) all.push_back(question);
  }
  return all;
}

namespace {

using Told = std::function<std::string(double)>;

/// A wall that an opening or an outlet lies in: how long it is.
std::optional<double> wall_along(const std::string& thing, const Answers& answers) {
  const std::string wall = answers.text(thing + "_wall");
  if (const auto own = answers.length("wall_" + wall)) return own;
  const std::string opposite = wall == "back" ? "front" : wall == "right" ? "left" : "";
  return opposite.empty() ? std::nullopt : answers.length("wall_" + opposite);
}

std::string odd_opening(const std::string& key, double metres, const Answers& answers,
                        const Told& told) {
  const std::size_t last = key.find('_', key.find('_') + 1);  // "door_1_height"
  if (last == std::string::npos) return {};
  const std::string thing = key.substr(0, last), what = key.substr(last + 1);
  const auto ceiling = answers.length("height");
  const double sill = answers.length(thing + "_sill").value_or(0);
  if (what == "height" && ceiling && sill + metres >= *ceiling)
    return std::string(key.starts_with("door") ? "The door" : "The window") +
           " would be higher than the ceiling (" + told(*ceiling) + ").";
  const auto along = wall_along(thing, answers);
  const double from_left = answers.length(thing + "_from_left").value_or(0);
  if (along && what == "from_left" && metres > *along)
    return "That is beyond the wall, which is " + told(*along) + " long.";
  if (along && what == "width" && from_left + metres > *along + 0.01)
    return "It would reach beyond the wall, which is " + told(*along) + " long.";
  return {};
}

std::string odd_place(const std::string& key, double metres, const Answers& answers,
                      const Told& told) {
  const auto along = wall_along("rack", answers);
  if (along && key == "rack_from_left" && metres > *along)
    return "That is beyond the wall, which is " + told(*along) + " long.";
  const auto depth = answers.length("wall_left");
  const bool from_front =
      key == "listener" || key == "projector_from_front" || key == "screen_from_front";
  if (depth && from_front && metres > *depth)
    return "That is behind the back wall: the room is " + told(*depth) + " deep.";
  const auto listener = answers.length("listener");
  if (listener && key == "screen_from_front" && metres >= *listener)
    return "The screen would be behind you: you sit " + told(*listener) + " from the front wall.";
  return {};
}

/// Four walls and a diagonal that no room has: the two walls that it spans are too short for it.
std::string odd_diagonal(const std::string& key, double metres, const Answers& answers,
                         const Told& told) {
  const auto front = answers.length("wall_front"), left = answers.length("wall_left");
  if (!key.starts_with("diagonal") || !front || !left) return {};
  if (metres >= *front + *left)
    return "No diagonal is as long as two walls together (" + told(*front + *left) + ").";
  if (metres <= std::abs(*front - *left))
    return "A diagonal is longer than the walls differ (" + told(std::abs(*front - *left)) + ").";
  return {};
}

}  // namespace

std::string implausible(const Question& question, const std::string& answer,
                        const Answers& answers) {
  if (question.kind == AnswerKind::angle) {
    const auto angle = parse_angle(answer);
    const bool odd = angle && std::abs(degrees(*angle) - 90) > 30;
    return odd ? "Corners of a room like this are near 90 deg." : std::string();
  }
  if (question.kind != AnswerKind::length) return {};
  const auto metres = parse_length(answer);
  if (!metres) return {};
  const Told told = [&](double m) { return format_length(m, answers.units(), 2); };
  if (question.high_m > 0 && (*metres < question.low_m || *metres > question.high_m))
    return "That is " + format_length(*metres, answers.units(), 3) + "; usual is " +
           told(question.low_m) + " to " + told(question.high_m) + ".";
  const std::string& key = question.key;
  for (const char* thing : {"door_", "window_", "network_"})
    if (key.starts_with(thing)) return odd_opening(key, *metres, answers, told);
  if (key.starts_with("diagonal")) return odd_diagonal(key, *metres, answers, told);
  return odd_place(key, *metres, answers, told);
}

}  // namespace roomloom
