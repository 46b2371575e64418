#include <algorithm>
#include <cstdlib>

#include "base/files.h"
#include "base/nearest.h"
#include "base/version.h"
#include "job/check_job.h"
#include "job/embedded.h"
#include "job/idle_keys.h"
#include "job/job.h"
#include "job/read_house.h"
#include "job/read_job.h"
#include "job/schema.h"
#include "job/variants.h"

namespace roomloom {
namespace {

constexpr std::uint64_t kLargestJob = std::uint64_t{16} << 20;

const JsonValue& parsed_schema() {
  // A test reads the schema: in a build that passed, the value is there.
  static const Result<JsonValue> schema = parse_json(embedded_job_schema(), "job schema");
  return *schema;
}

bool told_before(const Error& problem, const std::vector<Error>& told) {
  return std::any_of(told.begin(), told.end(), [&](const Error& one) {
    return one.where == problem.where && one.what == problem.what;
  });
}

/// Reads one document of a job: as written, as a variant, or of several.
class JobReader {
 public:
  JobReader(const JsonValue& root, const std::string& path, const JobInput& input)
      : root_(root), document_{root, path, {}} {
    list_ = read_variants(Field(&root, "", document_));
    start_.path = path;
    start_.catalogue = built_in_catalogue();
    start_.origin.variants = list_.names();
    start_.origin.chosen =
        input.variants.empty() && !input.as_written ? list_.wire : input.variants;
    for (const std::string& name : input.variants)
      if (list_.find(name) == nullptr)
        document_.problems.push_back({"variant.unknown", "The job has no variant \"" + name + "\".",
                                      path, suggestion(name, list_.names())});
    if (!input.house.empty()) read_house(input.house, parsed_schema(), start_, document_.problems);
    validate(root, parsed_schema(), "", path, document_.problems);
  }

  JobReading read() {
    Job job = read_one(as_written(root_), "");
    for (const VariantSpec& variant : list_.all) {
      Job own = read_one(as_variant(root_, variant), "In the variant \"" + variant.name + "\": ");
      if (start_.origin.chosen == std::vector{variant.name}) job = std::move(own);
    }
    if (start_.origin.chosen.size() > 1 && document_.problems.empty())
      job = read_one(as_chosen(root_, list_, start_.origin.chosen, start_.origin.notes),
                     "Of the variants wired together: ");
    if (document_.problems.empty()) return {std::move(job), {}, std::nullopt};
    const bool of_form =
        std::any_of(document_.problems.begin(), document_.problems.end(),
                    [](const Error& problem) { return problem.code.starts_with("schema."); });
    return {std::nullopt, std::move(document_.problems),
            of_form ? std::nullopt : std::optional<Job>(std::move(job))};
  }

 private:
  /// Problems are told at their place in the job's own text, each once.
  Job read_one(const JsonValue& root, const std::string& prefix) {
    DocumentText document{root, document_.path, {}};
    if (!prefix.empty()) validate(root, parsed_schema(), "", document.path, document.problems);
    Job job = start_;
    read_sections(Field(&root, "", document), job);
    note_idle_keys(job);
    check_job(job, document);
    for (Error& problem : document.problems) {
      problem.where = in_own_text(problem.where);
      if (told_before(problem, document_.problems)) continue;
      problem.what = prefix + problem.what;
      document_.problems.push_back(std::move(problem));
    }
    return job;
  }

  std::string in_own_text(const std::string& where) const {
    if (!where.starts_with(document_.path + ":")) return where;
    TextPlace place;
    const char* at = where.c_str() + document_.path.size() + 1;
    char* end = nullptr;
    place.line = static_cast<int>(std::strtol(at, &end, 10));
    if (*end != ':') return where;
    place.column = static_cast<int>(std::strtol(end + 1, nullptr, 10));
    const std::string pointer = pointer_of(root_, place);
    return pointer.empty() ? where : where_in(document_.path, place, pointer);
  }

  const JsonValue& root_;
  DocumentText document_;
  VariantList list_;
  Job start_;
};

}  // namespace

namespace {

/// People hand over the file before the job or the one before that: what comes between is told.
std::optional<Error> taken_for_a_job(const std::filesystem::path& path) {
  std::string ending = path.extension().string();
  for (char& c : ending)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + 32);
  for (const char* model : {".step", ".stp", ".obj", ".gltf", ".glb"})
    if (ending == model)
      return Error{"job.is-model", "This is a model, not a job.", path.string(),
                   "Write a first job for it: roomloom survey " + path.filename().string() +
                       " --start job.json"};
  return std::nullopt;
}

std::optional<Error> room_taken_for_a_job(const JsonValue& root, const std::string& path) {
  if (root.find("outline") == nullptr || root.find("model") != nullptr) return std::nullopt;
  const std::string name = std::filesystem::path(path).filename().string();
  return Error{"job.is-room", "This is a room file, not a job.", path,
               "Make a model of it: roomloom sketch " + name +
                   " -o room.glb; then a first job: roomloom survey room.glb --start job.json"};
}

}  // namespace

JobReading examine_job(std::string_view text, const std::string& path, const JobInput& input) {
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return {std::nullopt, {root.error()}, std::nullopt};
  if (auto wrong = room_taken_for_a_job(*root, path)) return {std::nullopt, {*wrong}, std::nullopt};
  DocumentText document{*root, path, {}};
  double version = 0;
  Field(&*root, "", document)["version"].read_number(version);
  // What a newer job means by its other keys is not for this program to judge.
  if (const auto wrong = version_problem(version, kJobVersion, "job", path))
    return {std::nullopt, {*wrong}, std::nullopt};
  return JobReader(*root, path, input).read();
}

Error all_in_one(const std::vector<Error>& problems, const std::string& path) {
  if (problems.size() == 1) return problems.front();
  Error all{"job.problems", std::to_string(problems.size()) + " problems in the job:", path, ""};
  for (const Error& problem : problems) all.what += "\n  " + to_text(problem);
  return all;
}

Result<Job> parse_job(std::string text, std::string path, const JobInput& input) {
  JobReading reading = examine_job(text, path, input);
  if (reading.job) return std::move(*reading.job);
  return all_in_one(reading.problems, path);
}

Result<JobReading> examine_job_file(const std::filesystem::path& path, const JobInput& input) {
  if (auto wrong = taken_for_a_job(path)) return *wrong;
  const Result<std::string> text = read_file(path, kLargestJob);
  if (!text) return text.error();
  return examine_job(*text, path.string(), input);
}

Result<Job> read_job(const std::filesystem::path& path, const JobInput& input) {
  const Result<JobReading> reading = examine_job_file(path, input);
  if (!reading) return reading.error();
  if (reading->job) return *reading->job;
  return all_in_one(reading->problems, path.string());
}

void add_lines(std::vector<Error>& problems, const Job& job, std::string_view text) {
  const Result<JsonValue> root = parse_json(text, job.path);
  if (!root) return;
  DocumentText document{*root, job.path, {}};
  std::vector<std::string> notes;
  const JsonValue own =
      as_chosen(*root, read_variants(Field(&*root, "", document)), job.origin.chosen, notes);
  const std::string start = job.path + " /";
  for (Error& problem : problems) {
    if (problem.where.rfind(start, 0) != 0) continue;
    const std::string pointer = problem.where.substr(job.path.size() + 1);
    // What is missing has no line of its own; the nearest that holds it has.
    const JsonValue* value = nullptr;
    for (std::string near = pointer; !near.empty() && value == nullptr;) {
      value = at_pointer(own, near);
      near.resize(near.rfind('/'));
    }
    const TextPlace place = value == nullptr ? TextPlace{} : value->place;
    const std::string there = pointer_of(*root, place);
    const bool within = there.empty() || job.origin.chosen.empty();
    problem.where = where_in(job.path, place, within ? pointer : there);
  }
}

std::string_view job_schema() { return embedded_job_schema(); }

}  // namespace roomloom
