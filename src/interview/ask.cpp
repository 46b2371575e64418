#include <algorithm>
#include <istream>
#include <ostream>
#include <sstream>

#include "base/files.h"
#include "interview/interview.h"

namespace roomloom {
namespace {

/// `text` in lines of at most `width`; words longer than that stay whole.
std::string wrapped(const std::string& text, int width, const std::string& indent) {
  std::istringstream words(text);
  std::string lines = indent, word;
  std::size_t used = indent.size();
  while (words >> word) {
    if (used > indent.size() && used + 1 + word.size() > static_cast<std::size_t>(width)) {
      lines += "\n" + indent;
      used = indent.size();
    }
    if (used > indent.size()) lines += " ", ++used;
    lines += word;
    used += word.size();
  }
  return lines + "\n";
}

/// Columns left after a prompt, for a length or a name.
constexpr std::size_t kRoomToType = 16;

/// The next question whose answer has not been given in this sitting.
const Question* next_of(const std::vector<Question>& all, const std::vector<std::string>& asked) {
  for (const Question& question : all) {
    bool known = false;
    for (const std::string& key : asked) known = known || key == question.key;
    if (!known) return &question;
  }
  return nullptr;
}

void put(const Question& question, const std::string& offered, int width, std::ostream& out) {
  out << "\n" << wrapped(question.text, width, "");
  if (!question.hint.empty()) out << wrapped(question.hint, width, "  ");
  if (question.kind == AnswerKind::choice) {
    std::string all;
    for (const std::string& choice : question.choices) all += (all.empty() ? "" : " | ") + choice;
    out << wrapped(all, width, "  ");
  }
  if (question.may_be_unknown && offered != kDoNotKnow)
    out << wrapped("? if you don't know", width, "  ");
  const std::string brackets = "[" + offered + "]";
  const bool fits = brackets.size() + kRoomToType <= static_cast<std::size_t>(width);
  if (!offered.empty() && !fits) out << wrapped(brackets, width, "");
  out << (offered.empty() || !fits ? "> " : brackets + " > ") << std::flush;
}

/// What the earlier answers already say about a new one: the old answer, else the usual one.
std::string offer(const Question& question, const Answers& answers) {
  return answers.has(question.key) ? answers.text(question.key) : question.usual;
}

}  // namespace

std::string fitted(const std::string& text, int width) {
  std::istringstream lines(text);
  std::string all;
  for (std::string line; std::getline(lines, line);) {
    if (line.size() <= static_cast<std::size_t>(width)) {
      all += line + "\n";
      continue;
    }
    const std::string indent(std::min(line.find_first_not_of(' '), line.size()), ' ');
    std::string broken = wrapped(line, width, indent + "  ");
    all += indent + broken.substr(indent.size() + 2);
  }
  return all;
}

Result<bool> ask(std::istream& in, std::ostream& out, int width, Answers& answers,
                 const std::filesystem::path& answers_file) {
  out << wrapped(
      "One question at a time. Enter takes what stands in brackets, ? says that you don't know, "
      "\"back\" goes back, "
      "and you may stop whenever you like: every answer is kept.",
      width, "");
  std::vector<std::string> asked;
  for (;;) {
    const std::vector<Question> all = questions(answers);
    const Question* question = next_of(all, asked);
    if (question == nullptr) return true;
    const std::string offered = offer(*question, answers);
    put(*question, offered, width, out);
    std::string line;
    if (!std::getline(in, line)) return false;
    if (line == "back" && !asked.empty()) {
      asked.pop_back();
      continue;
    }
    const auto answer = understood(*question, line.empty() ? offered : line, answers.units());
    if (!answer) {
      out << wrapped(answer.error().what, width, "  ");
      continue;
    }
    if (const std::string odd = implausible(*question, *answer, answers); !odd.empty()) {
      out << wrapped(odd + " Is that right? (y/n)", width, "  ") << "> " << std::flush;
      std::string sure;
      if (!std::getline(in, sure)) return false;
      if (sure != "y" && sure != "yes") continue;
    }
    answers.set(question->key, *answer);
    asked.push_back(question->key);
    if (const Status kept = write_file(answers_file, to_text(answers)); !kept) return kept.error();
  }
}

Result<std::vector<std::string>> review(Answers& answers) {
  std::vector<std::string> wrong, odd;
  std::vector<std::string> asked;
  for (;;) {
    const std::vector<Question> all = questions(answers);
    const Question* question = next_of(all, asked);
    if (question == nullptr) break;
    asked.push_back(question->key);
    const auto answer = understood(*question, offer(*question, answers), answers.units());
    if (!answer) {
      wrong.push_back(question->key + ": " + answer.error().what + " (" + question->text + ")");
      continue;
    }
    answers.set(question->key, *answer);
    if (const std::string why = implausible(*question, *answer, answers); !why.empty())
      odd.push_back(question->key + ": " + why);
  }
  for (const auto& [key, value] : answers.all())
    if (std::find(asked.begin(), asked.end(), key) == asked.end())
      odd.push_back(key + ": nothing is asked by that name here; it was not used.");
  if (wrong.empty()) return odd;
  std::string text = wrong.front();
  for (std::size_t i = 1; i < wrong.size(); ++i) text += "\n  " + wrong[i];
  for (const std::string& one : odd) text += "\n  Look again at " + one;
  return Error{"answer.wrong", text, "", "Mend these and run it again."};
}

}  // namespace roomloom
