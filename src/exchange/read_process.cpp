#include "exchange/read_process.h"

#include <dlfcn.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <utility>
#include <vector>

#include "base/units.h"
#include "exchange/read_limits.h"

extern char** environ;

namespace roomloom {
namespace {

using Clock = std::chrono::steady_clock;

class Descriptor {
 public:
  explicit Descriptor(int number = -1) : number_(number) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  void close() {
    if (number_ >= 0) ::close(std::exchange(number_, -1));
  }

 private:
  int number_;
};

bool is_program(const std::filesystem::path& file) { return ::access(file.c_str(), X_OK) == 0; }

// The folder of the library that this code is in; of the program, where it is linked into one.
std::filesystem::path folder_of_library() {
  Dl_info info{};
  const bool known = ::dladdr(reinterpret_cast<const void*>(&is_program), &info) != 0;
  if (!known || info.dli_fname == nullptr) return {};
  std::error_code failed;
  return std::filesystem::weakly_canonical(info.dli_fname, failed).parent_path();
}

Result<std::filesystem::path> find_reader(const ReadOptions& options) {
  std::vector<std::filesystem::path> places;
  const char* from_environment = std::getenv("ROOMLOOM_READER");
  if (!options.reader_program.empty()) {
    places = {options.reader_program};
  } else if (from_environment != nullptr && *from_environment != '\0') {
    places = {from_environment};
  } else {
    std::error_code failed;
    const auto own = std::filesystem::read_symlink("/proc/self/exe", failed).parent_path();
    places = {own / kReaderName, own / "../libexec/roomloom" / kReaderName,
              own / "../libexec" / kReaderName};
    // The library may be installed anywhere: in lib, or on some systems in lib/<architecture>.
    if (const auto library = folder_of_library(); !library.empty()) {
      places.push_back(library / "../libexec/roomloom" / kReaderName);
      places.push_back(library / "../../libexec/roomloom" / kReaderName);
    }
    places.emplace_back(ROOMLOOM_INSTALLED_READER);
  }
  for (const auto& place : places)
    if (is_program(place)) return place;
  return Error{
      "reader.missing",
      std::string("The program ") + kReaderName + ", which reads model files, is not at " +
          places.front().string() + (places.size() > 1 ? " nor where it is installed" : "") + ".",
      places.front().string(), "Install roomloom whole, or set ROOMLOOM_READER to its path."};
}

/// What the child needs to know, as words; see reader/main.cpp.
std::vector<std::string> arguments(const std::filesystem::path& reader,
                                   const std::filesystem::path& file, const ReadOptions& options,
                                   double seconds) {
  std::vector<std::string> words = {reader.string(), file.string()};
  const auto add = [&words](const char* name, double value) {
    words.emplace_back(name);
    words.push_back(format_number(value, 9));
  };
  if (options.unit_m) add("--unit", *options.unit_m);
  if (options.up) words.insert(words.end(), {"--up", std::string(1, *options.up)});
  add("--chord", options.chord_error_m);
  add("--memory", options.memory_limit_gb);
  add("--seconds", seconds);
  if (options.allow_outside_references) words.emplace_back("--outside");
  return words;
}

/// Starts the program with `answer` as its descriptor kAnswerDescriptor and nothing else open.
int start(const std::vector<std::string>& words, int answer, pid_t& process) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, answer, kAnswerDescriptor);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 2, "/dev/null", O_WRONLY, 0);
  std::vector<char*> raw;
  for (const std::string& word : words) raw.push_back(const_cast<char*>(word.c_str()));
  raw.push_back(nullptr);
  const int failure = ::posix_spawn(&process, raw.front(), &actions, nullptr, raw.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  return failure;
}

enum class Ending { closed, too_slow, too_much };

/// Processor time of a child, which limits itself by it; 0 where it cannot be told.
double seconds_used(pid_t process) {
  clockid_t clock = 0;
  timespec used{};
  if (::clock_getcpuclockid(process, &clock) != 0 || ::clock_gettime(clock, &used) != 0) return 0;
  return static_cast<double>(used.tv_sec) + 1e-9 * static_cast<double>(used.tv_nsec);
}

/// How long a child is waited for. On a busy machine the clock runs far ahead of the processor time
/// that it gets: as long as it gets some, it is given another term.
class Patience {
 public:
  Patience(pid_t process, double seconds)
      : process_(process),
        term_(std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(seconds))),
        deadline_(Clock::now() + term_) {}

  /// Milliseconds left of the term, or of the next; 0: no more.
  long left() {
    const Clock::time_point now = Clock::now();
    if (now >= deadline_) {
      constexpr double kSome_s = 0.001;
      constexpr int kMostTerms = 30;
      const double used = seconds_used(process_);
      if (used < used_ + kSome_s || ++terms_ >= kMostTerms) return 0;
      used_ = used;
      deadline_ = now + term_;
    }
    using Milliseconds = std::chrono::milliseconds;
    return std::max<long>(1, std::chrono::duration_cast<Milliseconds>(deadline_ - now).count());
  }

 private:
  pid_t process_;
  Clock::duration term_;
  Clock::time_point deadline_;
  double used_ = 0;
  int terms_ = 0;
};

/// Collects until the other end closes, patience ends or too much has come.
Ending collect(int answer, Patience patience, std::size_t limit, std::string& bytes) {
  std::vector<char> block(1 << 16);
  while (true) {
    const long left = patience.left();
    if (left <= 0) return Ending::too_slow;
    pollfd wanted{answer, POLLIN, 0};
    const int ready = ::poll(&wanted, 1, static_cast<int>(std::min<long>(left, 1000)));
    if (ready <= 0) continue;
    const ssize_t got = ::read(answer, block.data(), block.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return Ending::closed;
    if (bytes.size() + static_cast<std::size_t>(got) > limit) return Ending::too_much;
    bytes.append(block.data(), static_cast<std::size_t>(got));
  }
}

Error too_slow(const std::string& file, double seconds) {
  return {"model.too-slow",
          "Reading takes more than " + format_number(seconds, 0) + " s and was stopped.", file,
          "The file may be damaged; if it is merely large, raise the time limit."};
}

Error too_large(const std::string& file, double gigabytes) {
  return {"model.too-large",
          "Reading needs more than " + format_number(gigabytes, 2) + " GB of memory.", file,
          "Give a simpler model or raise the memory limit."};
}

Error crashed(const std::string& file, int signal) {
  const char* name = ::sigabbrev_np(signal);
  return {"model.crashed-reader",
          "The library that reads this format failed on the file" +
              (name != nullptr ? std::string(" (SIG") + name + ")" : std::string()) + ".",
          file,
          "The file is probably damaged: load and save it with another program, or export it "
          "again."};
}

}  // namespace

double seconds_allowed(const ReadOptions& options, std::size_t bytes) {
  if (options.seconds_limit > 0) return options.seconds_limit;
  const double megabytes = static_cast<double>(bytes) / 1e6;
  return 6 + 4 * std::max(0.0, megabytes - 0.5);
}

Result<std::string> hear_out(int process, int answer, const std::filesystem::path& file,
                             const ReadOptions& options, double seconds) {
  std::string content;
  // Half of it, since the scene made from the answer is about as large.
  const auto limit = static_cast<std::size_t>(options.memory_limit_gb * 1e9 / 2);
  const Ending ending = collect(answer, Patience(process, 3 * seconds + 2), limit, content);
  if (ending != Ending::closed) ::kill(process, SIGKILL);
  int status = 0;
  pid_t ended = 0;
  while ((ended = ::waitpid(process, &status, 0)) < 0 && errno == EINTR) continue;

  if (ending == Ending::too_slow) return too_slow(file.string(), seconds);
  if (ending == Ending::too_much) return too_large(file.string(), options.memory_limit_gb);
  if (ended == process && WIFSIGNALED(status)) {
    const int signal = WTERMSIG(status);
    if (signal == SIGXCPU) return too_slow(file.string(), seconds);
    return crashed(file.string(), signal);
  }
  if (ended == process && WIFEXITED(status) && WEXITSTATUS(status) == kExitOutOfMemory)
    return too_large(file.string(), options.memory_limit_gb);
  return content;
}

Result<std::string> answer_of_reader(const std::filesystem::path& file, const ReadOptions& options,
                                     std::size_t bytes) {
  const Result<std::filesystem::path> reader = find_reader(options);
  if (!reader) return reader.error();
  const double seconds = seconds_allowed(options, bytes);
  int ends[2] = {-1, -1};
  const Error no_start{"reader.missing", "The program that reads model files cannot be started.",
                       reader->string(), "Check that it may be run and that memory is left."};
  if (::pipe2(ends, O_CLOEXEC) != 0) return no_start;
  const Descriptor answer(ends[0]);
  Descriptor other_end(ends[1]);
  pid_t process = 0;
  if (start(arguments(*reader, file, options, seconds), other_end.number(), process) != 0)
    return no_start;
  other_end.close();

  return hear_out(process, answer.number(), file, options, seconds);
}

}  // namespace roomloom
