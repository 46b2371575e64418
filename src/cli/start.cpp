#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <nlohmann/json.hpp>

#include "base/files.h"
#include "cli/commands.h"
#include "interview/interview.h"
#include "job/job.h"

namespace roomloom::cli {
namespace {

namespace fs = std::filesystem;

/// Columns of the terminal; 80 where it does not say.
int terminal_width() {
  winsize size{};
  const bool told = ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col >= 20;
  return std::min(told ? static_cast<int>(size.ws_col) : 80, 100);
}

struct Outcome {
  std::vector<std::string> odd, written;
  std::string misclosure, answer;
};

void show(const Outcome& outcome, const fs::path& folder, const Common& common) {
  if (common.json) {
    const nlohmann::ordered_json told = {{"folder", folder.string()},
                                         {"odd", outcome.odd},
                                         {"misclosure", outcome.misclosure},
                                         {"written", outcome.written},
                                         {"answer", outcome.answer}};
    std::fputs((told.dump(2) + "\n").c_str(), stdout);
    return;
  }
  if (common.quiet) return;
  std::string text = "\n";
  for (const std::string& one : outcome.odd) text += "Look again at " + one + "\n";
  if (!outcome.misclosure.empty()) text += outcome.misclosure + "\n";
  text += "\n" + outcome.answer + "\nIn " + folder.string() + ":\n";
  for (const std::string& one : outcome.written) text += "  " + one + "\n";
  text += "\nNext: roomloom route " + (folder / "job.json").string() + " -o " +
          (folder / "plan").string() +
          "\nWhat counts is the plan of the room as it is: measure again what is in doubt, run "
          "roomloom start again, and buy and cut from the plan, not from these ranges.\n";
  std::fputs(fitted(text, terminal_width()).c_str(), stdout);
}

/// The house file and what it says that bears on a first job.
struct House {
  fs::path file;
  HouseHabits habits;
};

Result<House> find_house(const Common& common) {
  auto file = house_file(common.house);
  if (!file) return file.error();
  auto habits = house_habits(*file);
  if (!habits) return habits.error();
  return House{std::move(*file), std::move(*habits)};
}

bool has_shelf(const HouseHabits& habits) {
  return std::any_of(habits.spools.begin(), habits.spools.end(),
                     [](const SpoolSpec& spool) { return spool.on_shelf; });
}

/// From answers to files and an answer.
int finish(Answers& answers, const fs::path& folder, const House& house, const Common& common) {
  Outcome outcome;
  auto odd = review(answers);
  if (!odd) return fail(odd.error(), common);
  outcome.odd = std::move(*odd);
  const auto composed = compose(answers, {}, house.habits);
  if (!composed) return fail(composed.error(), common);
  outcome.misclosure = misclosure_text(*composed, answers.units());
  auto written = write_start(answers, folder, house.habits);
  if (!written) return fail(written.error(), common);
  outcome.written = std::move(*written);
  if (!common.quiet && !common.json && ::isatty(STDOUT_FILENO) != 0)
    std::fputs("\nPlanning ...\n", stdout);
  PlanOptions options = common.plan;
  options.effort = PlanEffort::quick;
  options.house = house.file;
  const auto answer = first_answer(answers, folder / ".first-answer", options, house.habits);
  if (!answer) return fail(answer.error(), common);
  outcome.answer = *answer;
  if (const Status kept = write_file(folder / "first-answer.txt", *answer); !kept)
    return fail(kept.error(), common);
  outcome.written.push_back("first-answer.txt");
  show(outcome, folder, common);
  return done;
}

Status write_sheets(const Answers& answers, const fs::path& folder) {
  const Status text = write_file(folder / "measuring-sheet.txt", measuring_sheet_text(answers));
  return text ? write_measuring_sheet(answers, folder / "measuring-sheet.pdf") : text;
}

}  // namespace

int start(const fs::path& given, const fs::path& answers_file, const Common& common) {
  const fs::path folder = given.empty() ? fs::path(".") : given;
  std::error_code failed;
  fs::create_directories(folder, failed);
  const fs::path kept = folder / "answers.txt";
  Answers answers;
  const auto house = find_house(common);
  if (!house) return fail(house.error(), common);
  if (!answers_file.empty()) {
    auto read = read_answers(answers_file);
    if (!read) return fail(read.error(), common);
    answers = std::move(*read);
    answers.set_house_stock(has_shelf(house->habits));
    if (const Status sheets = write_sheets(answers, folder); !sheets)
      return fail(sheets.error(), common);
    const int status = finish(answers, folder, *house, common);
    if (status != done) return status;
    const Status saved = write_file(kept, to_text(answers));
    return saved ? done : fail(saved.error(), common);
  }
  if (fs::exists(kept, failed)) {
    auto read = read_answers(kept);
    if (!read) return fail(read.error(), common);
    answers = std::move(*read);
  }
  answers.set_house_stock(has_shelf(house->habits));
  if (const Status sheets = write_sheets(answers, folder); !sheets)
    return fail(sheets.error(), common);
  std::cout << "A measuring sheet to print lies in " << (folder / "measuring-sheet.pdf").string()
            << ".\n";
  const auto whole = ask(std::cin, std::cout, terminal_width(), answers, kept);
  if (!whole) return fail(whole.error(), common);
  if (!*whole) {
    std::cout << "\nKept in " << kept.string() << ". Run roomloom start again to go on.\n";
    return done;
  }
  return finish(answers, folder, *house, common);
}

}  // namespace roomloom::cli
