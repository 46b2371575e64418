#pragma once

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "interview/answers.h"
#include "interview/balance.h"
#include "pipeline/roomloom.h"

/// From a tape measure to a first answer: questions, a measuring sheet, a room, a job, and how much
/// cable it takes. What is not known becomes a range.
namespace roomloom {

/// Where in its range each unknown answer is taken to lie: 0 = low, 1 = high. Missing = 0.5.
using Assumed = std::map<std::string, double>;

/// Between what a length was taken to be that is not known, in metres.
struct TakenRange {
  double low_m = 0, high_m = 0;
};

struct Composed {
  std::string room_json;  ///< for roomloom sketch
  std::string job_json;   ///< for roomloom route; its model is "room.glb"
  BalancedOutline outline;
  /// Without the corners being taken for square the measures would agree: that the room is far from
  /// square is as likely as that one of them is wrong.
  bool or_not_square = false;
  /// By how much ceiling, tile and void are more than the height measured through them.
  double height_misclosure_m = 0;
  std::map<std::string, TakenRange> taken;  ///< of each length that is not known, by key
};

/// What a house file says that bears on a first job.
struct HouseHabits {
  std::map<Service, std::string> favourites;  ///< catalogue ids
  std::vector<SpoolSpec> spools;
};
/// @param file  empty = no house file @error as of a job
Result<HouseHabits> house_habits(const std::filesystem::path& file);

/// The room and the job that the answers describe.
/// @error `measures.*` · `answer.missing` every key without which there is no room
Result<Composed> compose(const Answers& answers, const Assumed& assumed,
                         const HouseHabits& habits = {});

/// What measures say against each other, in words; empty when they agree.
std::string misclosure_text(const Composed& composed, DisplayUnits units);

/// How much cable, run by run and in all, over the ranges of what is not known, whether the shelf
/// is enough, and which measure would narrow it most; what was taken for each thing that is not
/// known, and what the ranges cover. Plans several rooms in `folder`, which is removed.
/// @error what planning the middle one finds; others that cannot be planned are told in the text
Result<std::string> first_answer(const Answers& answers, const std::filesystem::path& folder,
                                 const PlanOptions& options, const HouseHabits& habits = {});

/// What to measure and where, with room to write: plain text, and one page to print.
std::string measuring_sheet_text(const Answers& answers);
/// The same as a table: key, value, question.
std::string measuring_sheet_csv(const Answers& answers);
/// @error `file.unwritable`
Status write_measuring_sheet(const Answers& answers, const std::filesystem::path& pdf);

/// Asks on `out`, reads lines from `in`, one question at a time; keeps every answer in
/// `answers_file` as soon as it is given. Answers that are there already are offered again.
/// @return false when the input ended before the last question
/// @error `file.*`
Result<bool> ask(std::istream& in, std::ostream& out, int width, Answers& answers,
                 const std::filesystem::path& answers_file);

/// What is wrong or odd with answers that were read from a file.
/// @error `answer.wrong` all wrong, missing and odd ones at once
Result<std::vector<std::string>> review(Answers& answers);

/// Writes room.json, job.json and room.glb into `folder`; a room or job that was changed by hand is
/// kept (with its room.glb) and the new one written beside it as room-from-answers.json or
/// job-from-answers.json.
/// @return what was written, one line each
Result<std::vector<std::string>> write_start(const Answers& answers,
                                             const std::filesystem::path& folder,
                                             const HouseHabits& habits = {});

/// `text` with every line that is wider than `width` broken between words, what follows indented a
/// little more; words longer than that stay whole.
std::string fitted(const std::string& text, int width);

}  // namespace roomloom
