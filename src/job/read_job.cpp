#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>

#include "base/files.h"
#include "base/nearest.h"
#include "job/check_job.h"
#include "job/embedded.h"
#include "job/field.h"
#include "job/job.h"
#include "job/read_as_built.h"
#include "job/read_catalogue.h"
#include "job/read_places.h"
#include "job/read_preferences.h"
#include "job/read_work.h"
#include "job/schema.h"

namespace roomloom {
namespace {

constexpr std::uint64_t kLargestJob = std::uint64_t{16} << 20;
constexpr double kAnywhere = -10000;

template <typename T>
T word_or(const Field& field, T otherwise, std::initializer_list<std::pair<const char*, T>> words) {
  const std::string text = field.text();
  for (const auto& [word, value] : words)
    if (text == word) return value;
  return otherwise;
}

void read_model(const Field& field, ModelInput& model) {
  field["file"].read(model.file);
  if (field["unit"].given())
    model.unit_m =
        word_or<double>(field["unit"], 1.0,
                        {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}, {"in", 0.0254}, {"ft", 0.3048}});
  if (field["up"].given()) model.up = word_or<char>(field["up"], 'z', {{"y", 'y'}, {"z", 'z'}});
  if (field["seed"].given()) {
    model.seed = Vec3{};
    field["seed"].read_point(*model.seed);
  }
}

std::optional<std::array<double, 2>> read_pair(const Field& field, double least) {
  const auto items = field.items();
  if (items.size() != 2) return std::nullopt;
  std::array<double, 2> pair{};
  items[0].read_length(pair[0], least);
  items[1].read_length(pair[1], least);
  return pair;
}

void read_studs(const Field& studs, PartRule& rule) {
  studs["pitch"].read_length(rule.stud_pitch_m, 0.05);
  studs["first"].read_length(rule.stud_first_m);
  studs["width"].read_length(rule.stud_width_m, 0.001);
  studs["depth"].read_length(rule.wall_depth_m, 0.001);
  for (const Field& height : studs["blocking"].items())
    if (const auto metres = height.length()) rule.blocking_m.push_back(*metres);
  std::sort(rule.blocking_m.begin(), rule.blocking_m.end());
}

/// Cross-section of the cables that lie in a conduit already.
double occupied_area(const Field& field, const Catalogue& catalogue) {
  double area = 0;
  std::vector<std::string> ids;
  for (const CableType& cable : catalogue.cables) ids.push_back(cable.id);
  for (const Field& item : field.items()) {
    if (const CableType* cable = catalogue.cable(item.text()))
      area += kPi / 4 * cable->diameter_m * cable->diameter_m;
    else
      item.problem("job.cable", "There is no cable \"" + item.text() + "\".",
                   suggestion(item.text(), ids));
  }
  return area;
}

/// What only the checks ask of a part.
void read_soundness(const Field& field, PartRule& rule) {
  rule.bearing = field["bearing"].boolean();
  field["fire_rated"].read(rule.fire_rated);
  field["screened"].read(rule.screened);
  rule.fluorescent = field["fluorescent"].boolean();
  rule.powered = field["powered"].boolean();
  field["recline"].read_length(rule.recline_m);
  const Field member = field["member"];
  member["kind"].read(rule.member);
  member["depth"].read_length(rule.member_depth_m, 0.001);
  rule.member_edge_m = member["edge"].length().value_or(rule.member_depth_m / 2);
}

PartRule read_part(const Field& field, const Catalogue& catalogue) {
  PartRule rule;
  rule.pointer = field.pointer();
  field["match"].read(rule.match);
  rule.role = role_from(field["is"].text()).value_or(Role::automatic);
  rule.build = word_or(field["build"], Build::unknown,
                       {{"masonry", Build::masonry},
                        {"stud", Build::stud},
                        {"outside", Build::outside},
                        {"concrete", Build::concrete},
                        {"board", Build::board}});
  rule.fixable = field["fixable"].boolean();
  rule.fishable = field["fishable"].boolean();
  if (field["studs"].given()) read_studs(field["studs"], rule);
  rule.tile_m = read_pair(field["tile"], 0.05);
  rule.tile_origin_m = read_pair(field["tile_origin"], kAnywhere);
  rule.clearance_m = field["clearance"].length();
  if (const auto air = field["handles_air"].boolean())
    rule.handles_air = *air ? HandlesAir::yes : HandlesAir::no;
  field["inside"].read_length(rule.inside_diameter_m, 0.001);
  rule.occupied_area_m2 = occupied_area(field["occupied_by"], catalogue);
  rule.occupied_count = static_cast<int>(field["occupied_by"].items().size());
  field["hides"].read(rule.hides);
  read_soundness(field, rule);
  field["swing"].read_angle(rule.swing_rad);
  return rule;
}

std::optional<LayoutSpec> read_layout(const Field& field) {
  if (!field.given()) return std::nullopt;
  LayoutSpec layout;
  layout.pointer = field.pointer();
  field["system"].read(layout.system);
  layout.listener = read_place(field["listener"]);
  if (std::holds_alternative<std::monostate>(layout.listener) && field["listener"].given())
    field["listener"].problem("job.place", "The listener has no place.",
                              "Give \"xyz\", a \"marker\", or \"at\" a part.");
  const Field facing = field["facing"];
  const std::string words = facing.text();
  layout.facing_given = facing.given();
  if (facing.is(JsonValue::Kind::number))
    facing.read_angle(layout.facing_rad);
  else if (!words.empty() && parse_angle(words))
    facing.read_angle(layout.facing_rad);
  else if (!words.empty())
    layout.facing_part = words;
  field["distance"].read_length(layout.distance_m, 0.1);
  return layout;
}

/// A number of a unit, or a text that names it.
double read_quantity(const Field& field, const std::vector<std::string>& units, const char* example,
                     double greatest) {
  double value = 0;
  field.read_number(value);
  if (field.is(JsonValue::Kind::string)) {
    const auto found = number_with_unit(field.text(), units);
    if (!found)
      field.problem("job.unit", "This is no such quantity.",
                    std::string("Write \"") + example + "\".");
    value = found.value_or(0);
  }
  if (field.given() && (value < 0 || value > greatest)) {
    field.problem("job.range", "It lies between 0 and " + format_number(greatest, 0) + ".", "");
    value = 0;
  }
  return value;
}

double read_impedance(const Field& field) {
  if (const auto thousands = number_with_unit(field.text(), {"kohm", "kilohm", "k\u03a9"}))
    return 1000 * *thousands;
  return read_quantity(field, {"ohm", "ohms", "\u03a9", "\u2126", ""}, "8 ohm", 1e6);
}

/// What the checks and the choice of a gauge want to know of a run.
void read_signal(const Field& field, RunSpec& run) {
  run.impedance_ohm = read_impedance(field["impedance"]);
  run.power_w = read_quantity(field["power"], {"W", "watt", "watts", ""}, "100 W", 1e5);
  field["loss"].read_share(run.loss_limit);
  const auto optional_number = [&](const char* key, std::optional<double>& out) {
    double value = 0;
    field[key].read_number(value);
    if (field[key].is(JsonValue::Kind::number)) out = value;
  };
  optional_number("loss_db", run.loss_limit_db);
  optional_number("damping", run.damping_least);
  field["amplifier_damping"].read_number(run.amplifier_damping);
  run.source_ohm = read_impedance(field["source_impedance"]);
  field["picture"].read(run.picture);
  run.signal_from_to = field["signal_from"].text() == "to";
  run.cords_m = field["cords"].length();
  field["series"].read(run.series);
  field["conductors"].read(run.conductors);
}

RunSpec read_run(const Field& field) {
  RunSpec run;
  run.pointer = field.pointer();
  field["id"].read(run.id);
  field["from"].read(run.from);
  field["to"].read(run.to);
  field["cable"].read(run.cable);
  if (run.cable == "speaker") run.open_cable = run.cable;
  read_signal(field, run);
  field["provision"].read(run.provision);
  run.end = read_end(field["end"]);
  field["via"].read_words(run.via);
  for (const Field& corner : field["way"].items()) corner.read_point(run.way.emplace_back());
  field["avoid"].read_words(run.avoid);
  field["same_way_as"].read_words(run.same_way_as);
  field["not_with"].read_words(run.not_with);
  field["installed"].read(run.installed);
  run.measured_m = field["measured"].length(0.01);
  run.slack_m = field["slack"].length();
  field["colour"].read(run.colour);
  return run;
}

SpoolSpec read_spool(const Field& field, const Catalogue& catalogue) {
  SpoolSpec spool;
  field["cable"].read(spool.cable);
  std::vector<std::string> ids;
  for (const CableType& cable : catalogue.cables) ids.push_back(cable.id);
  if (!spool.cable.empty() && catalogue.cable(spool.cable) == nullptr)
    field["cable"].problem("job.cable", "There is no cable \"" + spool.cable + "\".",
                           suggestion(spool.cable, ids));
  field["length"].read_length(spool.length_m, 0.1);
  field["colour"].read(spool.colour);
  field["price"].read_number(spool.price);
  field["count"].read(spool.count);
  field["on_shelf"].read(spool.on_shelf);
  return spool;
}

/// The cable that a text's words name, in whatever order: "balanced line" is "line balanced".
const CableType* cable_by_words(const std::string& text, const Catalogue& catalogue) {
  const auto words = [](const std::string& from) {
    std::vector<std::string> found;
    std::istringstream stream(from);
    for (std::string word; stream >> word;) found.push_back(word);
    std::sort(found.begin(), found.end());
    return found;
  };
  for (const CableType& cable : catalogue.cables)
    if (words(cable.id) == words(text)) return &cable;
  return nullptr;
}

/// "2 line balanced, heads fitted".
void read_spare_text(const std::string& text, SpareSpec& spare) {
  const std::size_t comma = text.find(',');
  std::string cable = text.substr(0, comma);
  const std::size_t digits = cable.find_first_not_of("0123456789");
  if (digits != 0 && digits != std::string::npos && digits < 5 && cable[digits] == ' ') {
    spare.count = std::stoi(cable.substr(0, digits));
    cable.erase(0, digits + 1);
  }
  spare.cable = cable;
  spare.heads_fitted =
      comma != std::string::npos && text.find("heads fitted", comma) != std::string::npos;
}

SpareSpec read_spare(const Field& field, const Catalogue& catalogue) {
  SpareSpec spare;
  spare.pointer = field.pointer();
  if (field.is(JsonValue::Kind::string)) {
    read_spare_text(field.text(), spare);
  } else {
    field["cable"].read(spare.cable);
    field["count"].read(spare.count);
    field["heads_fitted"].read(spare.heads_fitted);
    field["along"].read_words(spare.along);
  }
  const CableType* cable = cable_by_words(spare.cable, catalogue);
  std::vector<std::string> ids;
  for (const CableType& one : catalogue.cables) ids.push_back(one.id);
  if (cable == nullptr)
    field.problem("job.cable", "There is no cable \"" + spare.cable + "\".",
                  suggestion(spare.cable, ids));
  else
    spare.cable = cable->id;
  if (spare.count < 1) field.problem("job.range", "Room is kept for one cable at least.", "");
  return spare;
}

Job read_sections(const Field& root, const std::string& path) {
  Job job;
  job.path = path;
  root["name"].read(job.name);
  root["currency"].read(job.currency);
  job.catalogue = built_in_catalogue();
  read_catalogue(root, job.catalogue);
  read_model(root["model"], job.model);
  for (const Field& field : root["parts"].items())
    job.parts.push_back(read_part(field, job.catalogue));
  for (const Field& field : root["gear"].items()) job.gear.push_back(read_gear(field));
  for (const Field& field : root["ends"].items()) job.ends.push_back(read_end(field));
  job.layout = read_layout(root["layout"]);
  for (const Field& field : root["runs"].items()) job.runs.push_back(read_run(field));
  root["building_year"].read(job.building_year);
  if (root["spare"].is(JsonValue::Kind::string))
    job.spares.push_back(read_spare(root["spare"], job.catalogue));
  for (const Field& field : root["spare"].items())
    job.spares.push_back(read_spare(field, job.catalogue));
  for (const Field& field : root["stock"]["spools"].items())
    job.spools.push_back(read_spool(field, job.catalogue));
  job.work = read_work(root, job.catalogue);
  read_as_built(root, job);
  job.prefer = read_preferences(root["prefer"]);
  if (root["units"].text() == "feet and inches") tell_in(job, DisplayUnits::feet_and_inches);
  return job;
}

const JsonValue& parsed_schema() {
  // A test reads the schema: in a build that passed, the value is there.
  static const Result<JsonValue> schema = parse_json(embedded_job_schema(), "job schema");
  return *schema;
}

}  // namespace

JobReading examine_job(std::string_view text, const std::string& path) {
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return {std::nullopt, {root.error()}};
  DocumentText document{*root, path, {}};
  validate(*root, parsed_schema(), "", path, document.problems);
  Job job = read_sections(Field(&*root, "", document), path);
  check_job(job, document);
  if (!document.problems.empty()) return {std::nullopt, std::move(document.problems)};
  return {std::move(job), {}};
}

Result<Job> parse_job(std::string text, std::string path) {
  JobReading reading = examine_job(text, path);
  if (reading.job) return std::move(*reading.job);
  if (reading.problems.size() == 1) return reading.problems.front();
  Error all{"job.problems", std::to_string(reading.problems.size()) + " problems in the job:", path,
            ""};
  for (const Error& problem : reading.problems) all.what += "\n  " + to_text(problem);
  return all;
}

Result<Job> read_job(const std::filesystem::path& path) {
  Result<std::string> text = read_file(path, kLargestJob);
  if (!text) return text.error();
  return parse_job(std::move(*text), path.string());
}

std::string_view job_schema() { return embedded_job_schema(); }

}  // namespace roomloom
