#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "base/units.h"

namespace roomloom {

/// What was answered, by key, in the order of answering. A value is the text that was typed;
/// "don't know" is an answer too.
class Answers {
 public:
  bool has(const std::string& key) const;
  /// The text, or "" when there is none.
  std::string text(const std::string& key) const;
  bool unknown(const std::string& key) const;
  /// Metres; nothing when it was not answered, is not known, or is no length.
  std::optional<double> length(const std::string& key) const;
  int count(const std::string& key) const;  ///< 0 when there is none, or it is no count of 0 to 50
  bool yes(const std::string& key) const;
  void set(const std::string& key, const std::string& value);
  /// Takes over every answer of `newer`; what that does not answer stays.
  void take(const Answers& newer);
  const std::vector<std::pair<std::string, std::string>>& all() const { return values_; }
  DisplayUnits units() const;
  /// The house file says what is on the shelf: that is then the usual answer.
  void set_house_stock(bool has) { house_stock_ = has; }
  bool house_stock() const { return house_stock_; }
  /// Radians; nothing when it was not answered, is not known, or is no angle.
  std::optional<double> angle(const std::string& key) const;

 private:
  bool house_stock_ = false;
  std::vector<std::pair<std::string, std::string>> values_;
};

inline constexpr const char* kDoNotKnow = "don't know";
inline constexpr const char* kAsInHouse = "house";  ///< the shelf, as the house file says

/// The newest file of answers that this program reads, and the one that it writes.
constexpr int kAnswersVersion = 1;

enum class AnswerKind { text, length, angle, count, yes_no, choice, spools };

struct Question {
  std::string key;   ///< "wall_front"
  std::string text;  ///< one plain question
  std::string hint;  ///< how to measure it; may be empty
  AnswerKind kind = AnswerKind::text;
  std::string usual;  ///< taken when nothing is typed; empty = none
  std::vector<std::string> choices;
  bool may_be_unknown = false;   ///< else `usual` is taken where it is not known
  double low_m = 0, high_m = 0;  ///< a length outside is queried; 0, 0 = not
  bool ranged = false;  ///< becomes a range when it is not known; else nothing depends on it
  std::vector<std::string> between;  ///< of a choice that is ranged: its two ends
};

/// The questions that follow from what was answered, in order: who says two doors is asked about
/// two doors.
std::vector<Question> questions(const Answers& answers);

/// The answers, with the usual one for each that is not known and has no range.
Answers settled(const Answers& answers);
/// The questions whose answers are not known and lie in a range; of one that decides what else is
/// asked ("is it a suspended ceiling?"), those that would follow too.
std::vector<Question> unknown_ranges(const Answers& answers);
/// The questions whose answers are not known and for which the usual one is taken.
std::vector<Question> taken_as_usual(const Answers& answers);

/// The answer as it is kept ("don't know" spelled out, a choice in full), or what is wrong with it.
/// @error `answer.wrong`
Result<std::string> understood(const Question& question, const std::string& typed,
                               DisplayUnits units);
/// Why an answer that can be read is hardly right; empty when it may well be.
std::string implausible(const Question& question, const std::string& answer,
                        const Answers& answers);

/// Reads "key: value" lines ('#' starts a comment) or "key,value" rows with a heading "key,value".
/// Further columns of a table are comments.
/// @param faults  every line that is not an answer, with its number
/// @error `file.*` · `version.*`
Result<Answers> read_answers(const std::filesystem::path& file, std::vector<std::string>& faults);
/// @error as above · `answers.syntax` every line that is not an answer, with its number
Result<Answers> read_answers(const std::filesystem::path& file);
std::string to_text(const Answers& answers);

}  // namespace roomloom
