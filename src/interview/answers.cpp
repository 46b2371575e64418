#include "interview/answers.h"

#include <algorithm>
#include <charconv>
#include <sstream>

#include "base/files.h"
#include "base/version.h"

namespace roomloom {
namespace {

constexpr const char* kVersionKey = "version";
constexpr int kMostOfAKind = 50;  ///< doors, windows, outlets

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\r\n");
  if (from == std::string::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r\n") + 1 - from);
}

std::string lower(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

bool says_unknown(const std::string& typed) {
  const std::string word = lower(typed);
  return word == "?" || word == "dk" || word == "don't know" || word == "dont know" ||
         word == "unknown" || word == "do not know";
}

Error wrong(const Question& question, const std::string& what) {
  return {"answer.wrong", what, question.key, question.hint};
}

std::optional<int> whole_number(const std::string& typed) {
  int value = 0;
  const auto [end, failed] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
  if (failed != std::errc{} || end != typed.data() + typed.size()) return std::nullopt;
  return value;
}

/// Who says "7 ft 10" or "7' 6 3/8" means inches after the feet.
std::string with_inches(const std::string& typed) {
  const bool feet = typed.find("ft") != std::string::npos || typed.find('\'') != std::string::npos;
  const bool ends_bare = !typed.empty() && typed.back() >= '0' && typed.back() <= '9';
  return feet && ends_bare ? typed + " in" : typed;
}

Result<std::string> length_of(const Question& question, const std::string& typed,
                              DisplayUnits units) {
  const bool bare = typed.find_first_not_of("0123456789.,-") == std::string::npos;
  if (bare && units == DisplayUnits::feet_and_inches)
    return wrong(question, "Feet or inches? Write 7' 6\" or 7 ft or 90 in.");
  const std::string whole = with_inches(typed);
  const auto metres = parse_length(whole);
  if (!metres)
    return wrong(question,
                 metres.error().what + (units == DisplayUnits::feet_and_inches
                                            ? " Write it as the tape gives it: 7' 6 3/8\"."
                                            : " Write it as the tape gives it: 2.31 m or 231 cm."));
  if (*metres < 0 || *metres > 200) return wrong(question, "That is no length in a room.");
  return whole;
}

Result<std::string> choice_of(const Question& question, const std::string& typed) {
  std::vector<std::string> fitting;
  for (const std::string& choice : question.choices) {
    if (lower(choice) == lower(typed)) return choice;
    if (lower(choice).starts_with(lower(typed))) fitting.push_back(choice);
  }
  if (fitting.size() == 1) return fitting.front();
  std::string all;
  for (const std::string& choice : question.choices) all += (all.empty() ? "" : ", ") + choice;
  return wrong(question, "It is one of: " + all + ".");
}

/// Lengths left on spools, "30 m, 12.5 m" or "none".
Result<std::string> spools_of(const Question& question, const std::string& typed) {
  if (lower(typed) == "none" || typed == "0") return std::string("none");
  if (lower(typed) == kAsInHouse) return std::string(kAsInHouse);
  std::istringstream parts(typed);
  for (std::string part; std::getline(parts, part, ';');) {
    const auto metres = parse_length(trimmed(part));
    if (!metres || *metres <= 0)
      return wrong(question, "Write what is left on each spool, with ';' between: 30 m; 12.5 m.");
  }
  return typed;
}

}  // namespace

bool Answers::has(const std::string& key) const {
  return std::any_of(values_.begin(), values_.end(), [&](const auto& v) { return v.first == key; });
}

std::string Answers::text(const std::string& key) const {
  for (const auto& [own, value] : values_)
    if (own == key) return value;
  return {};
}

bool Answers::unknown(const std::string& key) const { return text(key) == kDoNotKnow; }

std::optional<double> Answers::length(const std::string& key) const {
  const auto metres = parse_length(text(key));
  return metres ? std::optional(*metres) : std::nullopt;
}

std::optional<double> Answers::angle(const std::string& key) const {
  const auto radians = parse_angle(text(key));
  return radians ? std::optional(*radians) : std::nullopt;
}

int Answers::count(const std::string& key) const {
  const int number = whole_number(text(key)).value_or(0);
  return number >= 0 && number <= kMostOfAKind ? number : 0;
}

bool Answers::yes(const std::string& key) const { return text(key) == "yes"; }

void Answers::set(const std::string& key, const std::string& value) {
  for (auto& [own, kept] : values_) {
    if (own != key) continue;
    kept = value;
    return;
  }
  values_.emplace_back(key, value);
}

void Answers::take(const Answers& newer) {
  for (const auto& [key, value] : newer.values_) set(key, value);
}

DisplayUnits Answers::units() const {
  return text("units") == "feet" ? DisplayUnits::feet_and_inches : DisplayUnits::metric;
}

Result<std::string> understood(const Question& question, const std::string& typed,
                               DisplayUnits units) {
  const std::string word = trimmed(typed);
  if (word.empty()) {
    if (!question.usual.empty()) return question.usual;
    return wrong(question,
                 question.may_be_unknown ? "Please answer, or say don't know." : "Please answer.");
  }
  if (says_unknown(word)) {
    if (question.may_be_unknown || !question.usual.empty()) return std::string(kDoNotKnow);
    return wrong(question, "This has to be known: nothing can be planned without it.");
  }
  switch (question.kind) {
    case AnswerKind::length:
      return length_of(question, word, units);
    case AnswerKind::angle: {
      const auto angle = parse_angle(word);
      if (!angle) return wrong(question, angle.error().what);
      return word;
    }
    case AnswerKind::count: {
      const auto number = whole_number(word);
      if (!number || *number < 0 || *number > kMostOfAKind)
        return wrong(question, "A number from 0 to " + std::to_string(kMostOfAKind) + ".");
      return word;
    }
    case AnswerKind::yes_no: {
      const std::string said = lower(word);
      if (said == "y" || said == "yes") return std::string("yes");
      if (said == "n" || said == "no") return std::string("no");
      return wrong(question, "yes or no?");
    }
    case AnswerKind::choice:
      return choice_of(question, word);
    case AnswerKind::spools:
      return spools_of(question, word);
    case AnswerKind::text:
      break;
  }
  return word;
}

namespace {

/// The first two cells of a row of a table: "key,value" with what follows left out.
std::optional<std::pair<std::string, std::string>> row_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"')
      cells.back() += line[i++];
    else if (line[i] == '"')
      quoted = !quoted;
    else if (line[i] == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += line[i];
  }
  if (cells.size() < 2 || quoted) return std::nullopt;
  return std::pair(trimmed(cells[0]), trimmed(cells[1]));
}

std::optional<std::pair<std::string, std::string>> line_of(const std::string& line) {
  const std::size_t at = line.find(':');
  if (at == std::string::npos) return std::nullopt;
  return std::pair(trimmed(line.substr(0, at)), trimmed(line.substr(at + 1)));
}

}  // namespace

Result<Answers> read_answers(const std::filesystem::path& file, std::vector<std::string>& faults) {
  constexpr std::uint64_t kLargest = 1 << 16;  // some ten times a full sheet
  const auto text = read_file(file, kLargest);
  if (!text) return text.error();
  Answers answers;
  std::istringstream lines(*text);
  bool table = false;
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    line = trimmed(line.starts_with("\xEF\xBB\xBF") ? line.substr(3) : line);
    if (number == 1 && lower(line).starts_with("key,")) {
      table = true;
      continue;
    }
    if (line.empty() || line.front() == '#') continue;
    const auto answer = table ? row_of(line) : line_of(line);
    if (!answer || answer->first.empty()) {
      faults.push_back("Line " + std::to_string(number) + " is no \"key: value\".");
      continue;
    }
    const auto& [key, value] = *answer;
    if (key == kVersionKey) {
      const double version = whole_number(value).value_or(-1);
      if (const auto newer = version_problem(version, kAnswersVersion, "file of answers",
                                             file.string() + ":" + std::to_string(number)))
        return *newer;
    } else if (!value.empty()) {
      answers.set(key, says_unknown(value) ? kDoNotKnow : value);
    }
  }
  return answers;
}

Result<Answers> read_answers(const std::filesystem::path& file) {
  std::vector<std::string> faults;
  auto answers = read_answers(file, faults);
  if (!answers || faults.empty()) return answers;
  std::string all;
  for (const std::string& fault : faults) all += (all.empty() ? "" : " ") + fault;
  return Error{"answers.syntax", all, file.string(),
               "Write one answer a line, as in wall_front: 4.2 m."};
}

std::string to_text(const Answers& answers) {
  std::string text = "# Answers to roomloom start. Change any of them, or run it again.\n" +
                     std::string(kVersionKey) + ": " + std::to_string(kAnswersVersion) + "\n";
  for (const auto& [key, value] : answers.all()) text += key + ": " + value + "\n";
  return text;
}

}  // namespace roomloom
