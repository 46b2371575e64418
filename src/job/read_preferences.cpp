#include "job/read_preferences.h"

#include <array>

#include "job/job.h"

namespace roomloom {
namespace {

struct Setting {
  const char* key;
  double Preferences::*member;
};

constexpr std::array<Setting, 15> kNumbers = {{
    {"cable_weight", &Preferences::cable_weight},
    {"money_per_minute", &Preferences::money_per_minute},
    {"money_per_visible_metre", &Preferences::money_per_visible_m},
    {"minutes_per_hole", &Preferences::minutes_per_hole},
    {"minutes_per_raceway_metre", &Preferences::minutes_per_raceway_m},
    {"minutes_per_fitting", &Preferences::minutes_per_fitting},
    {"minutes_per_bend", &Preferences::minutes_per_bend},
    {"minutes_per_ladder_move", &Preferences::minutes_per_ladder_move},
    {"minutes_per_void_metre", &Preferences::minutes_per_void_m},
    {"minutes_per_run_metre", &Preferences::minutes_per_run_m},
    {"hole_price", &Preferences::hole_price},
    {"symmetry_worth", &Preferences::symmetry_worth},
    {"support_price", &Preferences::support_price},
    {"temperature", &Preferences::temperature_c},
    {"pull_friction", &Preferences::pull_friction},
}};

constexpr std::array<Setting, 9> kLengths = {{
    {"tee_margin", &Preferences::tee_margin_m},
    {"tile_clearance", &Preferences::tile_clearance_m},
    {"obstacle_clearance", &Preferences::obstacle_clearance_m},
    {"power_separation", &Preferences::power_separation_m},
    {"mains_lead", &Preferences::mains_lead_m},
    {"service_loop_start", &Preferences::service_loop_start_m},
    {"service_loop_end", &Preferences::service_loop_end_m},
    {"termination", &Preferences::termination_m},
    {"coil", &Preferences::coil_m},
}};

constexpr std::array<Setting, 3> kShares = {{
    {"fill_limit", &Preferences::fill_limit},
    {"contingency", &Preferences::contingency},
    {"sag", &Preferences::sag},
}};

std::optional<Preset> preset_from(const std::string& word) {
  if (word == "balanced") return Preset::balanced;
  if (word == "least cable") return Preset::least_cable;
  if (word == "least seen") return Preset::least_seen;
  if (word == "least work") return Preset::least_work;
  return std::nullopt;
}

}  // namespace

Preferences preset_weights(Preset preset) {
  Preferences weights;
  weights.preset = preset;
  if (preset == Preset::least_cable) {
    weights.cable_weight = 5;
    weights.money_per_minute = 0.1;
    weights.money_per_visible_m = 0.2;
  } else if (preset == Preset::least_seen) {
    weights.money_per_visible_m = 20;
    weights.money_per_minute = 0.25;
  } else if (preset == Preset::least_work) {
    weights.money_per_minute = 2;
    weights.money_per_visible_m = 0.5;
    weights.cable_weight = 0.5;
  }
  return weights;
}

void apply_preset(Preferences& prefer, Preset preset) {
  const Preferences weights = preset_weights(preset);
  prefer.preset = preset;
  prefer.cable_weight = weights.cable_weight;
  prefer.money_per_minute = weights.money_per_minute;
  prefer.money_per_visible_m = weights.money_per_visible_m;
}

void tell_in(Job& job, DisplayUnits units) {
  constexpr double kInch_m = 0.0254;
  job.units = units;
  if (job.prefer.cutting_step_given) return;
  job.prefer.cutting_step_m =
      units == DisplayUnits::feet_and_inches ? kInch_m : Preferences{}.cutting_step_m;
}

void read_preferences(const Field& field, Preferences& prefer) {
  const Field word = field.is(JsonValue::Kind::object) ? field["preset"] : field;
  if (const auto preset = preset_from(word.text())) apply_preset(prefer, *preset);
  if (!field.is(JsonValue::Kind::object)) return;
  for (const Setting& setting : kNumbers) field[setting.key].read_number(prefer.*setting.member);
  for (const Setting& setting : kLengths) field[setting.key].read_length(prefer.*setting.member);
  for (const Setting& setting : kShares) field[setting.key].read_share(prefer.*setting.member);
  field["support_spacing"].read_length(prefer.support_spacing_m, 0.05);
  field["cutting_step"].read_length(prefer.cutting_step_m, 0.001);
  if (field["cutting_step"].given()) prefer.cutting_step_given = true;
  field["largest_hole"].read_length(prefer.largest_hole_m, 0.001);
  if (field["void_paths"].given())
    prefer.void_paths =
        field["void_paths"].text() == "direct" ? VoidPaths::direct : VoidPaths::square;
  field["symmetric"].read(prefer.symmetric);
  field["lay_on_tiles"].read(prefer.lay_on_tiles);
  if (prefer.lay_on_tiles && !field["tile_clearance"].given()) prefer.tile_clearance_m = 0;
}

}  // namespace roomloom
