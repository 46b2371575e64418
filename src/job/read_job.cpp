#include "job/read_job.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <sstream>

#include "base/nearest.h"
#include "base/units.h"
#include "job/job.h"
#include "job/read_as_built.h"
#include "job/read_catalogue.h"
#include "job/read_house.h"
#include "job/read_living.h"
#include "job/read_model.h"
#include "job/read_places.h"
#include "job/read_preferences.h"
#include "job/read_work.h"

namespace roomloom {
namespace {

constexpr double kAnywhere = -10000;

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
  field["circuits"].read(rule.circuits);
  rule.fluorescent = field["fluorescent"].boolean();
  rule.powered = field["powered"].boolean();
  const Field member = field["member"];
  member["kind"].read(rule.member);
  member["depth"].read_length(rule.member_depth_m, 0.001);
  rule.member_edge_m = member["edge"].length().value_or(rule.member_depth_m / 2);
}

/// Measures that hardly any room has are taken as written, and told.
void query_studs(const PartRule& rule, Job& job) {
  // Studs stand 12 to 24 in apart (International Residential Code, table R602.3(5), from memory).
  constexpr double kNearest = 0.254, kFarthest = 0.8128;  // 10 and 32 in: a little beyond both
  const auto told = [&](double metres) { return format_length(metres, job.units, 2); };
  if (rule.stud_pitch_m > 0 && (rule.stud_pitch_m < kNearest || rule.stud_pitch_m > kFarthest))
    job.origin.notes.push_back("The studs of \"" + rule.match + "\" are taken to be " +
                               told(rule.stud_pitch_m) + " apart, as written; " + told(kNearest) +
                               " to " + told(kFarthest) + " is usual. Measure again.");
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
  read_moving(field, rule);
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
  if (facing.is(JsonValue::Kind::number) || (!words.empty() && parse_angle(words)))
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
  // Who limits the loss in dB alone has limited it: the share that holds unless said does not.
  if (run.loss_limit_db && !field["loss"].given())
    run.loss_limit = std::numeric_limits<double>::infinity();
  field["amplifier_damping"].read_number(run.amplifier_damping);
  run.source_ohm = read_impedance(field["source_impedance"]);
  field["picture"].read(run.picture);
  run.signal_from_to = field["signal_from"].text() == "to";
  run.cords_m = field["cords"].length();
  field["series"].read(run.series);
  field["conductors"].read(run.conductors);
}

/// A service's name stands for the favourite cable for it, where there is one.
std::string cable_named(const std::string& word, const Catalogue& catalogue) {
  for (int i = 0; i < kServiceCount && catalogue.cable(word) == nullptr; ++i) {
    const auto service = static_cast<Service>(i);
    const std::string favourite = catalogue.favourite(service);
    if (word == to_string(service) && !favourite.empty()) return favourite;
  }
  return word;
}

RunSpec read_run(const Field& field, const Catalogue& catalogue) {
  RunSpec run;
  run.pointer = field.pointer();
  field["id"].read(run.id);
  field["from"].read(run.from);
  field["to"].read(run.to);
  run.cable = cable_named(field["cable"].text(), catalogue);
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
  field["own_cable"].read(run.own_cable);
  run.measured_m = field["measured"].length(0.01);
  run.slack_m = field["slack"].length();
  field["colour"].read(run.colour);
  return run;
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

TitleBlock read_title_block(const Field& field) {
  TitleBlock block;
  field["owner"].read(block.owner);
  field["date"].read(block.date);
  field["released_by"].read(block.approved_by);
  field["drawn_by"].read(block.drawn_by);
  return block;
}

}  // namespace

void read_sections(const Field& root, Job& job) {
  root["name"].read(job.name);
  job.title_block = read_title_block(root["title_block"]);
  read_units(root, job);
  read_catalogue(root, job.catalogue);
  read_favourites(root, job.catalogue);
  job.model = read_model_input(root["model"]);
  for (const Field& field : root["parts"].items()) {
    job.parts.push_back(read_part(field, job.catalogue));
    query_studs(job.parts.back(), job);
  }
  for (const Field& field : root["gear"].items()) job.gear.push_back(read_gear(field));
  for (const Field& field : root["ends"].items()) job.ends.push_back(read_end(field));
  job.layout = read_layout(root["layout"]);
  for (const Field& field : root["runs"].items())
    job.runs.push_back(read_run(field, job.catalogue));
  root["building_year"].read(job.building_year);
  if (root["spare"].is(JsonValue::Kind::string))
    job.spares.push_back(read_spare(root["spare"], job.catalogue));
  for (const Field& field : root["spare"].items())
    job.spares.push_back(read_spare(field, job.catalogue));
  read_stock(root, job);
  if (root["stock"]["spools"].given()) job.origin.house_stock = false;
  if (root["stock"]["raceways"].given()) job.origin.house_raceway = false;
  job.sight = read_sight(root["sight"]);
  job.walkways = read_walkways(root["walkways"]);
  job.floor = read_floor(root["floor"], job.prefer.over_floor);
  read_work(root, job.catalogue, job.work);
  read_as_built(root, job);
  read_preferences(root["prefer"], job.prefer);
  tell_in(job, job.units);
}

}  // namespace roomloom
