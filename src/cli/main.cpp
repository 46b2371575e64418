#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>
#include <optional>

#include "base/nearest.h"
#include "cli/commands.h"
#include "cli/describe.h"

namespace {

using roomloom::cli::Common;

constexpr const char* kExamples = R"(
Examples:
  roomloom start my-room                      from a tape measure: asks, then says how much cable
  roomloom sketch room.json -o room.step      make a model from tape measurements
  roomloom survey room.step --start job.json  see how a model is understood, get a first job
  roomloom route job.json -o result           plan every run; writes models, lists and plan.json
  roomloom route job.json --from result -o new   plan again after a change, moving little
  roomloom check result                       judge a written result afresh from its files
  roomloom compare old new                    what changed between two results
  roomloom record result --run S4 --measured "12.3 m"   what lies now, for the next plan
  roomloom record result --forget --run S4    take back what was recorded by mistake
  roomloom explain bend-radius                what a finding means, and where its limit is from
  roomloom explain cables                     the built-in cables and raceway sizes
  roomloom explain layouts                    the loudspeaker layouts that a job can name

Exit status: 0 done, 1 done but a check failed, 2 bad usage or input, 3 internal fault.)";

const std::map<std::string, roomloom::DisplayUnits> kUnits = {
    {"metric", roomloom::DisplayUnits::metric}, {"feet", roomloom::DisplayUnits::feet_and_inches}};
const std::map<std::string, roomloom::PlanEffort> kEfforts = {
    {"quick", roomloom::PlanEffort::quick},
    {"normal", roomloom::PlanEffort::normal},
    {"prove", roomloom::PlanEffort::prove}};
const std::map<std::string, roomloom::Preset> kPresets = {
    {"balanced", roomloom::Preset::balanced},
    {"least cable", roomloom::Preset::least_cable},
    {"least seen", roomloom::Preset::least_seen},
    {"least work", roomloom::Preset::least_work}};

const std::map<std::string, roomloom::Paper> kPapers = {
    {"a3", roomloom::Paper::a3}, {"a4", roomloom::Paper::a4}, {"letter", roomloom::Paper::letter}};

void add_common(CLI::App& command, Common& common) {
  command.add_flag("--json", common.json, "Machine-readable output");
  command.add_flag("--quiet,-q", common.quiet, "Print errors only");
  command
      .add_option_function<std::string>(
          "--units", [&common](const std::string& word) { common.units = kUnits.at(word); },
          "Units to print: metric or feet (feet and inches)")
      ->check(CLI::IsMember(kUnits))
      ->type_name("UNITS");
}

void add_reading(CLI::App& command, Common& common) {
  command
      .add_option("--memory", common.plan.memory_limit_gb,
                  "Memory that reading the model may take, in GB (default 4)")
      ->check(CLI::Range(0.1, 1024.0));
  command.add_flag("--allow-outside", common.plan.allow_outside_references,
                   "Follow the model's references out of its folder");
}

/// What a person or firm keeps for all jobs. Commands that read a job resolve it before they start.
void add_house(CLI::App& command, Common& common) {
  command.add_option("--house", common.house,
                     "House file with prices, minutes, stock and defaults; none for no such file "
                     "(default: $ROOMLOOM_HOUSE, else roomloom/house.json where programs keep "
                     "their settings)");
}

/// Options of one invocation; CLI11 fills them.
struct Invocation {
  Common common;
  std::string input, output, job, start;
  roomloom::Recording recording;
  bool forget = false;
};

void add_start(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand(
      "start", "Ask for measures, one at a time, and say how much cable it takes");
  command->add_option("DIR", in.output,
                      "Folder for the answers, the room and the job (default: .)");
  command->add_option("--answers", in.start,
                      "Take the answers from this file (a filled-in measuring sheet, or CSV)");
  add_house(*command, in.common);
  add_common(*command, in.common);
  command->callback([&] { status = roomloom::cli::start(in.output, in.start, in.common); });
}

void add_sketch(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("sketch", "Build a room model from tape measurements");
  command->add_option("ROOM", in.input, "Room file (JSON)")->required();
  command->add_option("-o,--output", in.output, "Model to write: .step, .obj or .glb")->required();
  add_common(*command, in.common);
  command->callback([&] { status = roomloom::cli::sketch(in.input, in.output, in.common); });
}

void add_survey(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("survey", "Say what a model holds and how it was understood");
  command->add_option("MODEL", in.input, "Model: .step, .stp, .obj, .gltf or .glb")->required();
  command->add_option("--job", in.job, "Job whose part rules apply");
  command->add_option("--start", in.start, "Write a first job with the guesses filled in");
  add_house(*command, in.common);
  add_common(*command, in.common);
  add_reading(*command, in.common);
  command->callback([&] { status = roomloom::cli::survey(in.input, in.job, in.start, in.common); });
}

void add_route(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("route", "Plan every run of a job and write the result");
  command->add_option("JOB", in.input, "Job file (JSON)")->required();
  command->add_option(
      "-o,--output", in.output,
      "Folder for the result (default: the job's name, or its folder's for job.json, with -plan)");
  command
      ->add_option_function<std::string>(
          "--effort", [&in](const std::string& word) { in.common.plan.effort = kEfforts.at(word); },
          "How hard to search: quick, normal or prove")
      ->check(CLI::IsMember(kEfforts));
  command
      ->add_option_function<std::string>(
          "--prefer", [&in](const std::string& word) { in.common.plan.preset = kPresets.at(word); },
          "What to save: balanced, \"least cable\", \"least seen\" or \"least work\"")
      ->check(CLI::IsMember(kPresets));
  auto* from = command->add_option(
      "--from", in.common.plan.from,
      "Start from the plan in this folder: a run moves only if it must, and moved.csv says which");
  from->type_name("OLD");
  command
      ->add_option_function<double>(
          "--moving-costs", [&in](double price) { in.common.plan.moving_price = price; },
          "With --from: let a run move where that saves more than this for each metre off its old "
          "way, in the job's currency (0: move freely)")
      ->needs(from)
      ->check(CLI::NonNegativeNumber)
      ->type_name("AMOUNT");
  command->add_flag("--compare", in.common.plan.compare,
                    "Plan every preset as well, and tell which other prices would change the plan: "
                    "presets.csv, sensitivity.csv");
  command->add_flag("--certificate", in.common.plan.certificate,
                    "Write the graph and prices that prove a bound of the cost: bound.txt, which "
                    "check_bound verifies");
  command->add_option("--variant", in.common.plan.variants,
                      "Plan the job as this variant of it; given several times, all of them at "
                      "once (default: as the job's \"wire\" says, else as written)");
  command->add_flag_callback(
      "--no-variants", [&in] { in.common.plan.compare_variants = false; },
      "Leave out variants.csv, for which every variant of the job is planned");
  add_house(*command, in.common);
  command->add_flag_callback(
      "--no-drawings", [&in] { in.common.write.drawings = false; },
      "Leave out drawings.pdf, the sheets and overview.png");
  command->add_flag_callback(
      "--no-report", [&in] { in.common.write.report = false; },
      "Leave out report.html, the page to look at");
  command
      ->add_option_function<std::string>(
          "--paper", [&in](const std::string& word) { in.common.write.paper = kPapers.at(word); },
          "What drawings are for: a3, a4 or letter (default a3)")
      ->check(CLI::IsMember(kPapers))
      ->type_name("PAPER");
  command->add_flag("--progress", in.common.stages,
                    "Tell each stage on a line of standard error, for programs that show progress");
  add_common(*command, in.common);
  add_reading(*command, in.common);
  command->callback([&] { status = roomloom::cli::route(in.input, in.output, in.common); });
}

void add_check(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("check", "Judge a written result afresh from its files");
  command->add_option("DIR", in.input, "Folder that route wrote")->required();
  add_common(*command, in.common);
  add_reading(*command, in.common);
  command->callback([&] { status = roomloom::cli::check(in.input, in.common); });
}

void add_compare(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("compare", "Say what changed between two written results");
  command->add_option("OLD", in.input, "Folder that route wrote before")->required();
  command->add_option("NEW", in.output, "Folder that route wrote now")->required();
  command->add_option("--table", in.start, "Write the changes as a table to this file (CSV)");
  add_common(*command, in.common);
  command->callback(
      [&] { status = roomloom::cli::compare(in.input, in.output, in.start, in.common); });
}

/// Lengths as a tape tells them, from the words of an option.
double length_option(const std::string& words) {
  const auto metres = roomloom::parse_length(words);
  if (!metres) throw CLI::ValidationError(words, roomloom::to_text(metres.error()));
  return *metres;
}

/// A hole's width: a number by itself is millimetres, as lists and sheets tell it.
double width_option(const std::string& words) {
  const bool is_number =
      !words.empty() && words.find_first_not_of("0123456789.") == std::string::npos;
  return length_option(is_number ? words + " mm" : words);
}

void add_record(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand(
      "record", "Record what is built: runs with their measured lengths, holes, raceway, tiles");
  roomloom::Recording& what = in.recording;
  command->add_option("DIR", in.input, "Folder of the plan that was built by")->required();
  command->add_option("--run", what.run, "Id of a run that lies now");
  CLI::Option* measured = command->add_option_function<std::string>(
      "--measured", [&what](const std::string& words) { what.measured_m = length_option(words); },
      "Its length between the cut ends");
  command->add_option(
      "--spool", what.spool,
      "Spool it was cut from, if not as planned: A2; without --run, of a cut for none, or a length "
      "of raceway: \"18 x 9 no. 1\"");
  CLI::Option* left = command->add_option_function<std::string>(
      "--left", [&what](const std::string& words) { what.left_m = length_option(words); },
      "What is left of the spool, or length of raceway, where that is less than by the record");
  CLI::Option* marks = command
                           ->add_option_function<std::vector<std::string>>(
                               "--marks",
                               [&what](const std::vector<std::string>& words) {
                                 what.mark_start_m = length_option(words.at(0));
                                 what.mark_end_m = length_option(words.at(1));
                               },
                               "Or the length marks on its jacket at both ends")
                           ->expected(2);
  command->add_option_function<std::vector<std::string>>(
      "--hole",
      [&what](const std::vector<std::string>& words) {
        for (const std::string& word : words) {
          const std::size_t equals = word.find('=');
          what.holes.push_back(word.substr(0, equals));
          if (equals != std::string::npos)
            what.hole_m[what.holes.back()] = width_option(word.substr(equals + 1));
        }
      },
      "Holes that are cut: H1, or H1=29mm where it is not as wide as planned (a number by itself "
      "is millimetres)");
  CLI::Option* at =
      command
          ->add_option_function<std::vector<std::string>>(
              "--at",
              [&what](const std::vector<std::string>& words) {
                what.hole_at = {words.at(0), width_option(words.at(1)), width_option(words.at(2))};
              },
              "With --hole: the tile that it was cut in instead, or elsewhere in, "
              "and how far from the sides that the hole schedule names: E1 80 475 "
              "(numbers by themselves are millimetres)")
          ->expected(3);
  CLI::Option* anyway =
      command->add_flag("--anyway", what.anyway,
                        "Record lengths and widths that can hardly be: they are refused otherwise");
  command->add_option("--raceway", what.raceway, "Pieces of raceway that are fixed: R3");
  command->add_option("--tile", what.tiles, "Tiles that are back in place");
  command->add_option("--draw-cord", what.draw_cords,
                      "Holes (H8) and conduits, by name, that hold a draw cord");
  command->add_option("--task", what.task, "A task that was timed, as in minutes.csv");
  CLI::Option* count = command->add_option("--count", what.count, "How many of it were done");
  CLI::Option* minutes = command->add_option("--minutes", what.minutes, "What they took together");
  CLI::Option* forget = command->add_flag(
      "--forget", in.forget,
      "Take what is named out of the record instead: --forget --run S4 --hole H2");
  // What is taken out is named; how long it was, or how wide, would go unheard.
  for (CLI::Option* told : {measured, marks, left, at, anyway, count, minutes})
    forget->excludes(told);

  command->add_option("--into", in.output, "The record (default: as-built.json beside the job)");
  command->add_option("--house", in.common.house,
                      "House file that what is left of spools and raceway goes into, if the plan's "
                      "were the house's and it lies elsewhere now");
  add_common(*command, in.common);
  command->callback([&] {
    const auto command_of = in.forget ? roomloom::cli::forget : roomloom::cli::record;
    status = command_of(in.input, in.output, in.recording, in.common);
  });
}

void add_explain(CLI::App& app, Invocation& in, int& status) {
  auto* command = app.add_subcommand("explain", "Say what a finding or a message means");
  command->add_option("ID", in.input,
                      "Id of a finding, as printed in brackets, or of a cable; the code of a "
                      "message; cables, layouts; "
                      "without it, all of them are listed");
  add_common(*command, in.common);
  command->callback([&] { status = roomloom::cli::explain(in.input, in.common); });
}

/// For packages: the manual page and what completes a line in a shell. Not shown in --help.
void add_describe(CLI::App& app, Invocation& in) {
  auto* command = app.add_subcommand("describe", "Print the manual page or a shell's completion");
  command->group("");
  command->add_option("WHAT", in.input, "man, bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"man", "bash", "zsh", "fish"}));
  command->callback([&app, &in] {
    std::fputs(roomloom::cli::describe(app, in.input, roomloom::program_version()).c_str(), stdout);
  });
}

/// A word that is no command, with the nearest one that is.
bool unknown_command(const CLI::App& app, int argc, char** argv) {
  if (argc < 2 || argv[1][0] == '-') return false;
  std::vector<std::string> commands;
  for (const CLI::App* command : app.get_subcommands({})) {
    if (command->get_name() == argv[1]) return false;
    commands.push_back(command->get_name());
  }
  const bool json = std::any_of(argv + 1, argv + argc,
                                [](const char* word) { return std::string(word) == "--json"; });
  const roomloom::Error error{"usage.command",
                              std::string("There is no command \"") + argv[1] + "\".", "",
                              roomloom::suggestion(argv[1], commands)};
  Common common;
  common.json = json;
  roomloom::cli::fail(error, common);
  return true;
}

/// An option that its command does not have, with the nearest one that it has.
std::optional<roomloom::Error> unknown_option(const CLI::App& app, int argc, char** argv) {
  for (const CLI::App* command : app.get_subcommands()) {
    std::vector<std::string> options;
    for (const CLI::Option* option : command->get_options({}))
      for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
    for (int i = 2; i < argc; ++i) {
      std::string word = argv[i];
      word = word.substr(0, word.find('='));
      if (word.rfind("--", 0) != 0 || word == "--") continue;
      if (std::find(options.begin(), options.end(), word) != options.end()) continue;
      return roomloom::Error{"usage.option",
                             "\"" + command->get_name() + "\" has no option \"" + word + "\".", "",
                             roomloom::suggestion(word, options)};
    }
  }
  return std::nullopt;
}

int run(int argc, char** argv) {
  CLI::App app{"Plans every cable run of a room inside the modelled room itself."};
  app.name("roomloom");
  app.footer(kExamples);
  app.set_version_flag("--version", roomloom::program_version());
  app.require_subcommand(1);
  Invocation in;
  int status = roomloom::cli::done;
  add_start(app, in, status);
  add_sketch(app, in, status);
  add_survey(app, in, status);
  add_route(app, in, status);
  add_check(app, in, status);
  add_compare(app, in, status);
  add_explain(app, in, status);
  add_record(app, in, status);
  add_describe(app, in);
  if (unknown_command(app, argc, argv)) return roomloom::cli::bad_input;
  try {
    app.parse(argc, argv);
  } catch (const CLI::ExtrasError& stop) {
    const auto option = unknown_option(app, argc, argv);
    return roomloom::cli::fail(option.value_or(roomloom::Error{"usage.arguments", stop.what(), "",
                                                               "See roomloom --help."}),
                               in.common);
  } catch (const CLI::ParseError& stop) {
    if (stop.get_exit_code() != 0 && in.common.json) {
      return roomloom::cli::fail({"usage.arguments", stop.what(), "", "See roomloom --help."},
                                 in.common);
    }
    const int code = app.exit(stop);
    return code == 0 ? roomloom::cli::done : roomloom::cli::bad_input;
  }
  return status;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("roomloom: out of memory. Try a smaller model.\n", stderr);
  } catch (const std::exception& fault) {
    std::fprintf(stderr, "roomloom: internal fault (%s). Please report it with the job.\n",
                 fault.what());
  }
  return roomloom::cli::internal_fault;
}
