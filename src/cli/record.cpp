#include "report/record.h"

#include <cstdio>

#include "base/files.h"
#include "cli/commands.h"

namespace roomloom::cli {

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
  if (const Status written = write_file(file, *text); !written)
    return fail(written.error(), common);
  if (common.json) {
    std::fwrite(text->data(), 1, text->size(), stdout);
  } else if (!common.quiet) {
    std::printf("Recorded in %s. Name it in the job, \"as_built\": \"%s\", and route again.\n",
                file.string().c_str(), file.filename().string().c_str());
  }
  return done;
}

}  // namespace roomloom::cli
