#include "pipeline/all_problems.h"

#include <algorithm>

#include "base/files.h"
#include "pipeline/read_scene.h"
#include "place/place.h"
#include "room/room.h"

namespace roomloom {
namespace {

/// "job.json:12:5 /runs/3/to" -> "/runs/3": the entry that a problem is about.
std::string entry_of(const Error& problem) {
  const std::size_t start = problem.where.find(" /");
  if (start == std::string::npos) return problem.where;
  const std::string pointer = problem.where.substr(start + 1);
  const std::size_t second = pointer.find('/', 1);
  if (second == std::string::npos) return pointer;
  return pointer.substr(0, pointer.find('/', second + 1));
}

/// What the model has to say against the job.
std::vector<Error> problems_with_model(const Job& job, const std::filesystem::path& job_file,
                                       const PlanOptions& options) {
  const auto scene = read_scene(job, model_path(job, job_file), options);
  if (!scene) return {scene.error()};
  const auto room = understand_room(*scene, job);
  if (!room) return {room.error()};
  const Ends ends = place_ends(*scene, *room, job);
  std::vector<Error> problems = ends.problems;
  for (Error& problem : short_cables(ends, job)) problems.push_back(std::move(problem));
  if (const auto text = read_file(job_file)) add_lines(problems, job, *text);
  return problems;
}

}  // namespace

std::filesystem::path model_path(const Job& job, const std::filesystem::path& job_file) {
  const std::filesystem::path model = std::filesystem::u8path(job.model.file);
  return model.is_absolute() ? model : job_file.parent_path() / model;
}

Error all_problems(JobReading reading, const std::filesystem::path& job_file,
                   const PlanOptions& options) {
  std::vector<Error> all = std::move(reading.problems);
  if (reading.draft) {
    const std::size_t own = all.size();
    for (Error& problem : problems_with_model(*reading.draft, job_file, options)) {
      const std::string entry = entry_of(problem);
      const bool known = std::any_of(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(own),
                                     [&](const Error& one) { return entry_of(one) == entry; });
      if (!known) all.push_back(std::move(problem));
    }
  }
  return all_in_one(all, job_file.string());
}

}  // namespace roomloom
