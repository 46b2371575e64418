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

/// `error`, with everything else that is to be mended or looked at again.
Error with(Error error, const std::vector<std::string>& faults, const Outcome& outcome) {
  for (const std::string& one : faults) error.what += "\n  " + one;
  for (const std::string& one : outcome.odd) error.what += "\n  Look again at " + one;
  if (!outcome.misclosure.empty()) error.what += "\n  " + outcome.misclosure;
  return error;
}

/// From answers to files and an answer.
/// @param faults  lines of the file that are no answers
int finish(Answers& answers, const std::vector<std::string>& faults, const fs::path& folder,
           const House& house, const Common& common) {
  Outcome outcome;
  auto odd = review(answers);
  if (!odd) return fail(with(odd.error(), faults, outcome), common);
  outcome.odd = std::move(*odd);
  if (!faults.empty())
    return fail(with({"answers.syntax", "Not every line is an answer.", "",
                      "Write one answer a line, as in wall_front: 4.2 m."},
                     faults, outcome),
                common);
  const auto composed = compose(answers, {}, house.habits);
  if (!composed) return fail(with(composed.error(), {}, outcome), common);
  outcome.misclosure = misclosure_text(*composed, answers.units());
  auto written = write_start(answers, folder, house.habits);
  if (!written) return fail(with(written.error(), {}, outcome), common);
  outcome.written = std::move(*written);
  if (!common.quiet && !common.json && ::isatty(STDOUT_FILENO) != 0)
    std::fputs(fitted("\nPlanning ... (where much is not known, many rooms: a minute or two)\n",
                      terminal_width())
                   .c_str(),
               stdout);
  PlanOptions options = common.plan;
  options.effort = PlanEffort::quick;
  options.house = house.file;
  const auto answer = first_answer(answers, folder / ".first-answer", options, house.habits);
  if (!answer) return fail(with(answer.error(), {}, outcome), common);
  outcome.answer = *answer;
  if (const Status kept = write_file(folder / "first-answer.txt", *answer); !kept)
    return fail(kept.error(), common);
  outcome.written.push_back("first-answer.txt");
  show(outcome, folder, common);
  return done;
}

/// A measuring sheet to write on.
struct Sheet {
  const char* name;
  const char* written;  ///< as the program last wrote it
  const char* taken;    ///< as the program last took over what somebody wrote on it
  std::string (*text)(const Answers&);
};

const Sheet kSheets[] = {{"measuring-sheet.txt", ".measuring-sheet-written",
                          ".measuring-sheet-taken", measuring_sheet_text},
                         {"measuring-sheet.csv", ".measuring-sheet-csv-written",
                          ".measuring-sheet-csv-taken", measuring_sheet_csv}};

bool is_same(const fs::path& a, const fs::path& b) {
  const auto one = read_file(a), other = read_file(b);
  return one && other && *one == *other;
}

/// Somebody wrote on the sheet that lies there: it is theirs, and never written over.
bool is_filled_in(const fs::path& folder, const Sheet& sheet) {
  std::error_code failed;
  return fs::exists(folder / sheet.name, failed) &&
         !is_same(folder / sheet.name, folder / sheet.written);
}

Status write_sheets(const Answers& answers, const fs::path& folder) {
  for (const Sheet& sheet : kSheets) {
    if (is_filled_in(folder, sheet)) continue;
    const std::string text = sheet.text(answers);
    for (const char* name : {sheet.written, sheet.name})
      if (const Status written = write_file(folder / name, text); !written) return written;
  }
  return write_measuring_sheet(answers, folder / "measuring-sheet.pdf");
}

/// What was written on the sheet since it was last looked at. A later answer in the terminal is not
/// undone by a sheet that lies there still.
Status take_sheet(const fs::path& folder, const Sheet& sheet, Answers& answers) {
  if (!is_filled_in(folder, sheet) || is_same(folder / sheet.name, folder / sheet.taken))
    return Done{};
  const auto text = read_file(folder / sheet.name);
  if (!text) return text.error();
  const auto read = read_answers(folder / sheet.name);
  if (!read) return read.error();
  answers.take(*read);
  if (!read->all().empty())
    std::cout << fitted("What " + (folder / sheet.name).string() + " says is taken over.\n",
                        terminal_width());
  // First the answers: killed in between, the sheet is only taken over once more.
  if (const Status kept = write_file(folder / "answers.txt", to_text(answers)); !kept) return kept;
  return write_file(folder / sheet.taken, *text);
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
    std::vector<std::string> faults;
    const auto read = read_answers(answers_file, faults);
    if (!read) return fail(read.error(), common);
    answers.take(*read);
    const int status = finish(answers, faults, folder, *house, common);
    if (status != done) return status;
    if (const Status saved = write_file(kept, to_text(answers)); !saved)
      return fail(saved.error(), common);
    const Status sheets = write_sheets(answers, folder);
    return sheets ? done : fail(sheets.error(), common);
  }
  for (const Sheet& sheet : kSheets)
    if (const Status taken = take_sheet(folder, sheet, answers); !taken)
      return fail(taken.error(), common);
  if (const Status sheets = write_sheets(answers, folder); !sheets)
    return fail(sheets.error(), common);
  std::cout << fitted("A measuring sheet to print lies in " +
                          (folder / "measuring-sheet.pdf").string() +
                          "; to fill in as text or as a table: the same name with .txt or .csv.\n",
                      terminal_width());
  const auto whole = ask(std::cin, std::cout, terminal_width(), answers, kept);
  if (!whole) return fail(whole.error(), common);
  if (!*whole) {
    std::cout << fitted("\nKept in " + kept.string() + ". Run roomloom start again to go on.\n",
                        terminal_width());
    return done;
  }
  return finish(answers, {}, folder, *house, common);
}

}  // namespace roomloom::cli
