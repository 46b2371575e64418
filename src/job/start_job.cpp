#include <algorithm>
#include <cctype>
#include <map>

#include "base/units.h"
#include "job/job.h"
#include "job/json_text.h"

namespace roomloom {
namespace {

struct Rule {
  std::string match;
  Role role = Role::automatic;
  Build build = Build::unknown;
  std::string why;
  int count = 1;
};

/// Names with '*' or '?' in them match themselves: '?' matches any one letter.
std::string as_pattern(std::string name) {
  std::replace(name.begin(), name.end(), '*', '?');
  return name;
}

/// "Wall " of "Wall left": up to and with the last space; empty if there is none.
std::string stem_of(const std::string& name) {
  const std::size_t space = name.rfind(' ');
  return space == std::string::npos ? "" : name.substr(0, space + 1);
}

bool same_meaning(const Rule& a, const Rule& b) { return a.role == b.role && a.build == b.build; }

std::vector<Rule> rules_by_name(const Scene& scene, const Room& room) {
  std::vector<Rule> rules;
  for (std::size_t i = 0; i < scene.parts.size() && i < room.roles.size(); ++i) {
    const Part& part = scene.parts[i];
    const PartRole& found = room.roles[i];
    if (part.name.empty() || found.role == Role::automatic || found.role == Role::marker) continue;
    const Rule rule{as_pattern(part.name), found.role, found.build, found.why, 1};
    const auto known = std::find_if(rules.begin(), rules.end(),
                                    [&](const Rule& r) { return r.match == rule.match; });
    if (known == rules.end())
      rules.push_back(rule);
    else
      ++known->count;
  }
  return rules;
}

/// Puts "Wall left", "Wall right" ... under "Wall *" where all that begin so mean the same.
std::vector<Rule> gathered(const std::vector<Rule>& rules) {
  std::vector<Rule> out;
  for (const Rule& rule : rules) {
    const std::string stem = stem_of(rule.match);
    int sharers = 0;
    bool agree = !stem.empty();
    for (const Rule& other : rules) {
      if (other.match.compare(0, stem.size(), stem) != 0) continue;
      ++sharers;
      agree = agree && same_meaning(rule, other);
    }
    if (!agree || sharers < 2) {
      out.push_back(rule);
      continue;
    }
    const std::string match = stem + "*";
    const auto known =
        std::find_if(out.begin(), out.end(), [&](const Rule& r) { return r.match == match; });
    if (known == out.end())
      out.push_back({match, rule.role, rule.build, rule.why, rule.count});
    else
      known->count += rule.count;
  }
  return out;
}

std::string rule_text(const Rule& rule, const Room& room) {
  std::string text = "    { \"match\": " + json_quoted(rule.match) +
                     ", \"is\": " + json_quoted(to_string(rule.role));
  if (rule.build != Build::unknown) text += ", \"build\": " + json_quoted(to_string(rule.build));
  if (rule.role == Role::suspended_ceiling && !room.grids.empty()) {
    const TileGrid& grid = room.grids.front();
    // Tenths of a millimetre: a 2 ft tile is 609.6 mm, and over ten tiles a rounded pitch would
    // tell.
    const auto millimetres = [](double metres) {
      return json_quoted(format_number(1000 * metres, 1) + " mm");
    };
    text +=
        ", \"tile\": [" + millimetres(grid.pitch_u_m) + ", " + millimetres(grid.pitch_v_m) + "]";
  }
  if (!rule.why.empty()) text += ", \"note\": " + json_quoted("guessed: " + rule.why);
  return text + " }";
}

std::string point_text(const Vec3& point) {
  return "[" + format_number(point.x, 3) + ", " + format_number(point.y, 3) + ", " +
         format_number(point.z, 3) + "]";
}

/// Markers as comments: which of them are ends only the user knows, and an end that no run uses
/// could stop the job.
std::string marker_comments(const Scene& scene) {
  std::string text;
  std::map<std::string, int> seen;
  for (const Part& part : scene.parts)
    if (part.kind == PartKind::marker && !part.name.empty() && seen[part.name]++ == 0)
      text += "    // { \"id\": " + json_quoted(part.name) +
              ", \"marker\": " + json_quoted(part.name) + " },\n";
  return text.empty() ? "[]" : "[\n" + text + "  ]";
}

/// The rule that names most letters comes first: the first match wins.
void most_exact_first(std::vector<Rule>& rules) {
  const auto letters = [](const Rule& rule) {
    return rule.match.size() -
           static_cast<std::size_t>(std::count(rule.match.begin(), rule.match.end(), '*'));
  };
  std::stable_sort(rules.begin(), rules.end(),
                   [&](const Rule& a, const Rule& b) { return letters(a) > letters(b); });
}

std::string list_text(const std::vector<std::string>& lines) {
  if (lines.empty()) return "[]";
  std::string text = "[\n";
  for (std::size_t i = 0; i < lines.size(); ++i)
    text += lines[i] + (i + 1 < lines.size() ? ",\n" : "\n");
  return text + "  ]";
}

std::string model_file(const Scene& scene, const std::filesystem::path& job_path) {
  const std::filesystem::path model(scene.source.path);
  if (job_path.empty()) return model.filename().generic_string();
  std::error_code failed;
  const auto folder = std::filesystem::absolute(job_path, failed).parent_path();
  const auto absolute = std::filesystem::absolute(model, failed);
  const auto relative = absolute.lexically_normal().lexically_relative(folder.lexically_normal());
  return failed || relative.empty() ? model.generic_string() : relative.generic_string();
}

}  // namespace

std::string starting_job(const Scene& scene, const Room& room,
                         const std::filesystem::path& job_path, DisplayUnits units) {
  std::vector<std::string> parts;
  std::vector<Rule> rules = gathered(rules_by_name(scene, room));
  most_exact_first(rules);
  for (const Rule& rule : rules) parts.push_back(rule_text(rule, room));
  std::string model = "{ \"file\": " + json_quoted(model_file(scene, job_path));
  if (room.main_air >= 0 && room.main_air < static_cast<int>(room.airs.size()))
    model += ", \"seed\": " + point_text(room.airs[static_cast<std::size_t>(room.main_air)].seed);
  model += " }";
  const std::string name = std::filesystem::path(scene.source.path).stem().string();
  return "{\n  \"$schema\": \"roomloom-job.schema.json\",\n  \"name\": " + json_quoted(name) +
         (units == DisplayUnits::feet_and_inches ? ",\n  \"units\": \"feet and inches\"" : "") +
         ",\n  \"model\": " + model + ",\n  \"parts\": " + list_text(parts) +
         ",\n  \"gear\": [],\n  \"ends\": " + marker_comments(scene) +
         ",\n  \"runs\": [],\n  \"prefer\": \"balanced\"\n}\n";
}

}  // namespace roomloom
