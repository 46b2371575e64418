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

constexpr const char* kSheet = "measuring-sheet.txt";
/// As the program last wrote the sheet, and as it last took over what somebody wrote on it.
constexpr const char* kSheetWritten = ".measuring-sheet-written";
constexpr const char* kSheetTaken = ".measuring-sheet-taken";

bool is_same(const fs::path& a, const fs::path& b) {
  const auto one = read_file(a), other = read_file(b);
  return one && other && *one == *other;
}

/// Somebody wrote on the sheet that lies there: it is theirs, and never written over.
bool is_filled_in(const fs::path& folder) {
  std::error_code failed;
  return fs::exists(folder / kSheet, failed) && !is_same(folder / kSheet, folder / kSheetWritten);
}

Status write_sheets(const Answers& answers, const fs::path& folder) {
  if (!is_filled_in(folder)) {
    const std::string text = measuring_sheet_text(answers);
    for (const char* name : {kSheetWritten, kSheet})
      if (const Status written = write_file(folder / name, text); !written) return written;
  }
  return write_measuring_sheet(answers, folder / "measuring-sheet.pdf");
}

/// What was written on the sheet since it was last looked at. A later answer in the terminal is not
/// undone by a sheet that lies there still.
Status take_sheet(const fs::path& folder, Answers& answers) {
  if (!is_filled_in(folder) || is_same(folder / kSheet, folder / kSheetTaken)) return Done{};
  const auto text = read_file(folder / kSheet);
  if (!text) return text.error();
  const auto read = read_answers(folder / kSheet);
  if (!read) return read.error();
  answers.take(*read);
  if (!read->all().empty())
    std::cout << "What " << (folder / kSheet).string() << " says is taken over.\n";
  // First the answers: killed in between, the sheet is only taken over once more.
  if (const Status kept = write_file(folder / "answers.txt", to_text(answers)); !kept) return kept;
  return write_file(folder / kSheetTaken, *text);
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
  if (fs::exists(kept, failed)) {
    auto read = read_answers(kept);
    if (!read) return fail(read.error(), common);
    answers = std::move(*read);
  }
  answers.set_house_stock(has_shelf(house->habits));
  if (!answers_file.empty()) {
    const auto read = read_answers(answers_file);
    if (!read) return fail(read.error(), common);
    answers.take(*read);
    const int status = finish(answers, folder, *house, common);
    if (status != done) return status;
    if (const Status saved = write_file(kept, to_text(answers)); !saved)
      return fail(saved.error(), common);
    const Status sheets = write_sheets(answers, folder);
    return sheets ? done : fail(sheets.error(), common);
  }
  if (const Status taken = take_sheet(folder, answers); !taken) return fail(taken.error(), common);
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
