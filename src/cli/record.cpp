#include "report/record.h"

#include <cstdio>

#include "base/files.h"
#include "cli/commands.h"
#include "job/job.h"

namespace roomloom::cli {
namespace {

namespace fs = std::filesystem;

struct Stock {
  fs::path file;  ///< empty: nothing is to be written
  std::string text;
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
  if (*changed == *text) return Stock{};
  stock.text = std::move(*changed);
  return stock;
}

}  // namespace

int record(const std::filesystem::path& folder, const std::filesystem::path& into,
           const Recording& what, const Common& common) {
  const auto plan = read_file(folder / "plan.json");
  if (!plan) return fail(plan.error(), common);
  std::filesystem::path file = into;
  if (file.empty()) {
    const auto job = job_of_plan(*plan);
    if (!job) return fail(job.error(), common);
    file =
        (folder / std::filesystem::u8path(*job)).lexically_normal().parent_path() / "as-built.json";
  }
  std::string before;
  std::error_code failed;
  if (std::filesystem::exists(file, failed)) {
    const auto old = read_file(file);
    if (!old) return fail(old.error(), common);
    before = *old;
  }
  const auto text = recorded(*plan, before, what);
  if (!text) return fail(text.error(), common);
  const auto stock = stock_after(folder, *plan, before, *text, common.house);
  if (!stock) return fail(stock.error(), common);
  if (const Status written = write_file(file, *text); !written)
    return fail(written.error(), common);
  if (!stock->file.empty())
    if (const Status written = write_file(stock->file, stock->text); !written)
      return fail(written.error(), common);
  if (common.json) {
    std::fwrite(text->data(), 1, text->size(), stdout);
  } else if (!common.quiet) {
    std::printf("Recorded in %s. Name it in the job, \"as_built\": \"%s\", and route again.\n",
                file.string().c_str(), file.filename().string().c_str());
    if (const auto beside = told_beside(*plan, before, what); beside && !beside->empty()) {
      std::string names;
      for (const std::string& one : *beside) names += (names.empty() ? "" : ", ") + one;
      std::printf(
          "Recorded with %s, as planned: %s. Record a hole again if it is of another "
          "width.\n",
          what.run.c_str(), names.c_str());
    }
    for (const auto& [hole, wide] : what.hole_m)
      std::printf("%s: %.1f mm (%.2f in) wide.\n", hole.c_str(), 1000 * wide, wide / 0.0254);
    const auto taken = taken_over_by(*plan, what.run);
    if (taken && !taken->empty())
      std::printf("The cable of %s is %s's now: that provision is planned no more.\n",
                  taken->c_str(), what.run.c_str());
    if (const auto narrow = narrow_holes(*plan, what))
      for (const std::string& hole : *narrow)
        std::printf("%s: route again, and the sheets say whether it must be widened.\n",
                    hole.c_str());
    if (!stock->file.empty())
      std::printf("What is left of spools and raceway is in the stock of %s.\n",
                  stock->file.string().c_str());
  }
  return done;
}

}  // namespace roomloom::cli
