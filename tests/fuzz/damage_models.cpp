// damage_models SEED COUNT MODEL...: damages models COUNT times and surveys each, as `roomloom
// survey` does: read in a confined process of its own, understood in a process that is started for
// a batch, so that a crash costs one batch and is counted. The reading process is forked, not
// loaded anew: loading its seventy libraries takes longer than most damaged files do. One line of
// JSON at the end; files that did harm are kept in ./harm. The same seed gives the same damage.

#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>

#include "exchange/read_here.h"
#include "exchange/read_process.h"
#include "exchange/scene_stream.h"
#include "fuzz/damage.h"
#include "fuzz/seeds.h"
#include "reader/answer.h"
#include "room/room.h"
#include "room/survey.h"

namespace {

namespace fs = std::filesystem;
using namespace roomloom;

constexpr int kBatch = 100;
constexpr double kHang_s = 10;

/// Shared with the parent through a pipe, one a mutation.
struct Outcome {
  int index = 0;
  int kind = 0;  ///< 0 begun, 1 a result, 2 an error in words, 3 an error without words
  double seconds = 0;
  long reader_kb = 0;
};

double processor_seconds(int who) {
  rusage usage{};
  ::getrusage(who, &usage);
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

double spent() { return processor_seconds(RUSAGE_SELF) + processor_seconds(RUSAGE_CHILDREN); }

long largest_reader_kb() {
  rusage usage{};
  ::getrusage(RUSAGE_CHILDREN, &usage);
  return usage.ru_maxrss;
}

/// As read_model does by roomloom-read: the same confinement, limits and errors.
Result<Scene> read_in_a_fork(const fs::path& file, const ReadOptions& options) {
  ReadOptions limits = options;
  limits.seconds_limit = seconds_allowed(options, fs::file_size(file));
  int ends[2];
  if (::pipe(ends) != 0) std::exit(3);
  const pid_t process = ::fork();
  if (process == 0) {
    ::close(ends[0]);
    answer_and_leave(file, limits, ends[1]);
  }
  ::close(ends[1]);
  const auto answer = hear_out(process, ends[0], file, limits, limits.seconds_limit);
  ::close(ends[0]);
  return answer ? from_stream(*answer, file.string()) : answer.error();
}

int surveyed(const fs::path& file) {
  ReadOptions options;
  options.in_process = &read_in_a_fork;
  const auto scene = read_model(file, options);
  if (!scene) {
    const Error& error = scene.error();
    const bool words = !error.code.empty() && !error.what.empty() && !error.remedy.empty();
    return words && error.code != "model.bad-answer" && error.code != "reader.missing" ? 2 : 3;
  }
  const auto room = understand_room(*scene, Job{});
  if (!room) return room.error().what.empty() ? 3 : 2;
  return survey_text(*scene, *room).empty() ? 3 : 1;
}

struct Run {
  unsigned seed = 1;
  int count = 0;
  std::vector<std::pair<std::string, std::string>> models;  ///< ending, bytes

  std::string damaged(int index) const {
    std::seed_seq mixed{seed, static_cast<unsigned>(index)};
    std::mt19937 random(mixed);
    return fuzz::mutated(models[static_cast<std::size_t>(index) % models.size()].second, random);
  }
  const std::string& ending(int index) const {
    return models[static_cast<std::size_t>(index) % models.size()].first;
  }
};

/// The child: surveys from `first` on and tells each outcome.
[[noreturn]] void survey_batch(const Run& run, int first, int last, int tell) {
  const fs::path file =
      fs::path("/dev/shm") / ("roomloom-damaged-" + std::to_string(::getpid()) + run.ending(first));
  rlimit memory{rlim_t{4} << 30, rlim_t{4} << 30};
  ::setrlimit(RLIMIT_AS, &memory);
  for (int i = first; i < last; ++i) {
    Outcome outcome{i, 0, 0, 0};
    if (::write(tell, &outcome, sizeof outcome) < 0) break;
    // Its own processor time, for a busy machine makes no hang; the clock only against a deadlock.
    const itimerval limit{{0, 0}, {60, 0}};
    ::setitimer(ITIMER_PROF, &limit, nullptr);
    ::alarm(900);
    std::ofstream(file, std::ios::binary) << run.damaged(i);
    const double before = spent();
    outcome.kind = surveyed(file);
    outcome.seconds = spent() - before;
    outcome.reader_kb = largest_reader_kb();
    if (::write(tell, &outcome, sizeof outcome) < 0) break;
  }
  std::error_code ignored;
  fs::remove(file, ignored);
  ::_exit(0);
}

struct Tally {
  int tried = 0, results = 0, errors = 0, crashes = 0, hangs = 0, wrong = 0;
  double worst_s = 0;
  long worst_kb = 0;
};

void keep(const Run& run, int index, const char* why) {
  fs::create_directories("harm");
  const fs::path file = fs::path("harm") / (std::to_string(run.seed) + "-" + std::to_string(index) +
                                            run.ending(index));
  std::ofstream(file, std::ios::binary) << run.damaged(index);
  std::fprintf(stderr, "%s: %s\n", file.c_str(), why);
}

/// Surveys a batch in a child; returns the first index that is not done.
int do_batch(const Run& run, int first, int last, Tally& tally) {
  int ends[2];
  if (::pipe(ends) != 0) std::exit(3);
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    survey_batch(run, first, last, ends[1]);
  }
  ::close(ends[1]);
  Outcome outcome;
  int begun = first, done = first;
  while (::read(ends[0], &outcome, sizeof outcome) == static_cast<ssize_t>(sizeof outcome)) {
    begun = outcome.index;
    if (outcome.kind == 0) continue;
    done = outcome.index + 1;
    ++tally.tried;
    tally.worst_s = std::max(tally.worst_s, outcome.seconds);
    tally.worst_kb = std::max(tally.worst_kb, outcome.reader_kb);
    const bool hung = outcome.seconds > kHang_s;
    tally.hangs += hung;
    tally.results += !hung && outcome.kind == 1;
    tally.errors += !hung && outcome.kind == 2;
    tally.wrong += !hung && outcome.kind == 3;
    if (hung || outcome.kind == 3) keep(run, outcome.index, hung ? "hangs" : "no words");
  }
  ::close(ends[0]);
  int status = 0;
  rusage usage{};
  ::wait4(child, &status, 0, &usage);
  tally.worst_kb = std::max(tally.worst_kb, usage.ru_maxrss);
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return last;
  ++tally.tried;
  const bool hung =
      WIFSIGNALED(status) && (WTERMSIG(status) == SIGALRM || WTERMSIG(status) == SIGPROF);
  ++(hung ? tally.hangs : tally.crashes);
  keep(run, begun, hung ? "hangs" : "crashes");
  return std::max(begun, done) + (begun >= done ? 1 : 0);
}

}  // namespace

int main(int count, char** words) {
  if (count < 4) {
    std::fputs("damage_models SEED COUNT MODEL...\n", stderr);
    return 2;
  }
  Run run;
  run.seed = static_cast<unsigned>(std::strtoul(words[1], nullptr, 10));
  run.count = std::atoi(words[2]);
  for (int i = 3; i < count; ++i) {
    run.models.emplace_back(fs::path(words[i]).extension().string(), fuzz::text_of(words[i]));
    // Once here, so that no child sets the libraries up anew.
    if (!read_model_here(words[i], {})) return 2;
  }
  Tally tally;
  for (int first = 0; first < run.count;)
    first = do_batch(run, first, std::min(first + kBatch, run.count), tally);
  std::printf(
      "{\"tried\": %d, \"results\": %d, \"errors\": %d, \"crashes\": %d, \"hangs\": %d, "
      "\"wrong\": %d, \"worst_s\": %.2f, \"worst_mb\": %.0f}\n",
      tally.tried, tally.results, tally.errors, tally.crashes, tally.hangs, tally.wrong,
      tally.worst_s, static_cast<double>(tally.worst_kb) / 1024);
  return tally.crashes + tally.hangs + tally.wrong == 0 ? 0 : 1;
}
