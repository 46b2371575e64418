#include "report/record.h"

#include <cstdio>

#include "base/files.h"
#include "base/sha256.h"
#include "cli/commands.h"
#include "job/job.h"

namespace roomloom::cli {
namespace {

namespace fs = std::filesystem;

struct Stock {
  fs::path file;  ///< empty: nothing is to be written
  std::string text;
  std::vector<std::string> told;  ///< what it does not list as the record has it
};

/// The house file once the record was written, where the plan's spools were the house's.
Result<Stock> stock_after(const fs::path& folder, const std::string& plan,
                          const std::string& before, const std::string& after,
                          const std::string& asked) {
  const auto house = house_of_plan(plan);
  if (!house) return house.error();
  if (house->empty()) return Stock{};
  Stock stock;
  if (asked == "none")
    return Error{"house.missing",
                 "This plan cuts from the house's stock, so its record changes it.", *house,
                 "Leave --house out, or name the house file."};
  const fs::path named = fs::u8path(*house);
  stock.file = !asked.empty() ? fs::u8path(asked)
                              : (named.is_absolute() ? named : folder / named).lexically_normal();
  const auto text = read_file(stock.file);
  if (!text) return text.error();
  AsBuilt old;
  if (!before.empty()) {
    auto built = parse_as_built(before, "the record");
    if (!built) return built.error();
    old = std::move(*built);
  }
  const auto built = parse_as_built(after, "the record");
  if (!built) return built.error();
  auto changed = with_leftovers(*text, stock.file.string(), old, *built);
  if (!changed) return changed.error();
  if (changed->text == *text) return Stock{};
  stock.text = std::move(changed->text);
  stock.told = std::move(changed->told);
  return stock;
}

/// The plan that was built by, and the record so far.
struct OpenedRecord {
  std::string plan;
  fs::path file;
  std::string before;  ///< empty: there is none
};

Result<OpenedRecord> opened(const fs::path& folder, const fs::path& into) {
  const auto plan = read_file(folder / "plan.json");
  if (!plan) return plan.error();
  OpenedRecord open{*plan, into, ""};
  if (open.file.empty()) {
    const auto job = job_of_plan(*plan);
    if (!job) return job.error();
    open.file = (folder / fs::u8path(*job)).lexically_normal().parent_path() / "as-built.json";
  }
  std::error_code failed;
  if (fs::exists(open.file, failed)) {
    const auto old = read_file(open.file);
    if (!old) return old.error();
    open.before = *old;
  }
  return open;
}

/// Writes the record, and the house's stock as it is then. @return that stock
Result<Stock> write_both(const fs::path& folder, const OpenedRecord& open, const std::string& after,
                         const std::string& house) {
  auto stock = stock_after(folder, open.plan, open.before, after, house);
  if (!stock) return stock.error();
  if (const Status written = write_file(open.file, after); !written) return written.error();
  if (!stock->file.empty())
    if (const Status written = write_file(stock->file, stock->text); !written)
      return written.error();
  return stock;
}

/// Tells records apart by where they were begun.
std::string id_of(const fs::path& file) {
  std::error_code failed;
  const fs::path whole = fs::weakly_canonical(file, failed);
  return sha256((failed ? file : whole).string()).substr(0, 8);
}

std::string in_one_line(const std::vector<std::string>& names, const char* between) {
  std::string line;
  for (const std::string& one : names) line += (line.empty() ? "" : between) + one;
  return line;
}

void say_stock(const Stock& house) {
  if (house.file.empty()) return;
  for (const std::string& one : house.told) std::printf("%s\n", one.c_str());
  std::printf("What is left of spools and raceway is in the stock of %s.\n",
              house.file.string().c_str());
}

bool names_nothing(const Recording& what) {
  return what.run.empty() && what.spool.empty() && what.holes.empty() && what.raceway.empty() &&
         what.tiles.empty() && what.draw_cords.empty() && what.task.empty();
}

}  // namespace

int forget(const std::filesystem::path& folder, const std::filesystem::path& into,
           const Recording& what, const Common& common) {
  const auto open = opened(folder, into);
  if (!open) return fail(open.error(), common);
  const auto rest = forgotten(open->plan, open->before, what);
  if (!rest) return fail(rest.error(), common);
  const auto house = write_both(folder, *open, rest->record, common.house);
  if (!house) return fail(house.error(), common);
  if (common.json) {
    std::fwrite(rest->record.data(), 1, rest->record.size(), stdout);
  } else if (!common.quiet) {
    std::printf("Forgotten, in %s: %s. Route again.\n", open->file.string().c_str(),
                in_one_line(rest->told, ", ").c_str());
    say_stock(*house);
  }
  return done;
}

int record(const std::filesystem::path& folder, const std::filesystem::path& into,
           const Recording& what, const Common& common) {
  if (names_nothing(what))
    return fail(
        {"usage.arguments", "Nothing is named that was built.", "",
         "Name what was: --run S4 --measured \"12.3 m\", --hole H1, --raceway R3, --tile J4, "
         "--draw-cord H8, --spool A2 --left \"31 m\", or --task \"cut a hole\" --count 4 "
         "--minutes 50."},
        common);
  const auto open = opened(folder, into);
  if (!open) return fail(open.error(), common);
  const std::string &plan = open->plan, &before = open->before;
  Recording told = what;
  told.record_id = id_of(open->file);
  const auto text = recorded(plan, before, told);
  if (!text) return fail(text.error(), common);
  const auto house = write_both(folder, *open, *text, common.house);
  if (!house) return fail(house.error(), common);
  if (common.json) {
    std::fwrite(text->data(), 1, text->size(), stdout);
  } else if (!common.quiet) {
    std::printf("Recorded in %s. Name it in the job, \"as_built\": \"%s\", and route again.\n",
                open->file.string().c_str(), open->file.filename().string().c_str());
    const auto again = told_again(before, *text, what);
    if (!again.empty())
      std::printf("Recorded again: %s. To take it out of the record: --forget.\n",
                  in_one_line(again, "; ").c_str());
    if (const auto beside = told_beside(plan, before, what); beside && !beside->empty())
      std::printf(
          "Recorded with %s, as planned: %s. Record a hole again if it is of another "
          "width.\n",
          what.run.c_str(), in_one_line(*beside, ", ").c_str());
    if (what.hole_at)
      std::printf(
          "%s: cut in %s. Route again before runs through it are recorded; what is to go "
          "that way says so in the job, \"via\".\n",
          what.holes.front().c_str(), what.hole_at->tile.c_str());
    for (const auto& [hole, wide] : what.hole_m)
      std::printf("%s: %.1f mm (%.2f in) wide.\n", hole.c_str(), 1000 * wide, wide / 0.0254);
    const auto taken = taken_over_by(plan, what.run);
    if (taken && !taken->empty())
      std::printf("The cable of %s is %s's now: that provision is planned no more.\n",
                  taken->c_str(), what.run.c_str());
    if (const auto narrow = narrow_holes(plan, what))
      for (const std::string& hole : *narrow)
        std::printf("%s: route again, and the sheets say whether it must be widened.\n",
                    hole.c_str());
    say_stock(*house);
  }
  return done;
}

}  // namespace roomloom::cli
