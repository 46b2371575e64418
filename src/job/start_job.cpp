#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <utility>

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
  bool differ = false;  ///< parts of this name are of several roles
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

bool is_likely_ceiling(const Room& room, int part) {
  return std::any_of(
      room.likely_ceilings.begin(), room.likely_ceilings.end(), [&](const LikelyCeiling& likely) {
        return std::find(likely.parts.begin(), likely.parts.end(), part) != likely.parts.end();
      });
}

std::vector<Rule> rules_by_name(const Scene& scene, const Room& room) {
  std::vector<Rule> rules;
  for (std::size_t i = 0; i < scene.parts.size() && i < room.roles.size(); ++i) {
    const Part& part = scene.parts[i];
    const PartRole& found = room.roles[i];
    if (part.name.empty() || found.role == Role::automatic || found.role == Role::marker) continue;
    Rule rule{as_pattern(part.name), found.role, found.build, found.why, 1};
    if (is_likely_ceiling(room, static_cast<int>(i))) {
      rule.role = Role::suspended_ceiling;
      rule.why = "low air lies over it, as over a suspended ceiling";
    }
    const auto known = std::find_if(rules.begin(), rules.end(),
                                    [&](const Rule& r) { return r.match == rule.match; });
    if (known == rules.end()) {
      rules.push_back(rule);
    } else {
      known->differ = known->differ || !same_meaning(*known, rule);
      ++known->count;
    }
  }
  for (const LikelyCeiling& likely : room.likely_ceilings)
    if (!likely.name.empty())
      rules.push_back({likely.name, Role::suspended_ceiling, Build::unknown, "", 1});
  return rules;
}

/// Puts "Wall left", "Wall right" ... under "Wall *" where all that begin so mean the same. Parts
/// of one name that their shapes tell apart get no rule: it would make them alike.
std::vector<Rule> gathered(const std::vector<Rule>& rules) {
  std::vector<Rule> out;
  for (const Rule& rule : rules) {
    if (rule.differ) continue;
    const std::string stem = stem_of(rule.match);
    int sharers = 0;
    bool agree = !stem.empty();
    for (const Rule& other : rules) {
      if (other.match.compare(0, stem.size(), stem) != 0) continue;
      ++sharers;
      agree = agree && !other.differ && same_meaning(rule, other);
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

/// What only the user knows: an entry to fill in, as a comment, since the job is valid without it.
std::string open_question(const std::string& entry, const std::string& question) {
  return "\n      // " + entry + ",  // to answer: " + question;
}

bool guessed(const Room& room, const std::string& beginning, const std::string& end = "") {
  return std::any_of(room.guesses.begin(), room.guesses.end(), [&](const Guess& guess) {
    return guess.what.starts_with(beginning) && guess.what.ends_with(end);
  });
}

std::string questions_of(const Rule& rule, const Room& room) {
  std::string text;
  if (rule.role == Role::wall && rule.build == Build::unknown)
    text +=
        open_question("\"build\": \"stud\"",
                      "stud, masonry, concrete, board or outside? Nothing is fished through a "
                      "wall that is not said to be of studs" +
                          std::string(rule.count > 1 ? "; give walls that differ rules of their "
                                                       "own, above this one"
                                                     : ""));
  const bool air =
      !room.likely_ceilings.empty() ||
      std::any_of(room.voids.begin(), room.voids.end(), [](const Void& space) {
        return space.kind == VoidKind::plenum && space.handles_air == HandlesAir::unknown;
      });
  if (rule.role == Role::suspended_ceiling && air)
    text += open_question("\"handles_air\": false",
                          "does the void above move air for heating or cooling? If so, true: cable "
                          "there must be plenum-rated");
  return text;
}

std::string rule_text(const Rule& rule, const Room& room, DisplayUnits units) {
  std::string text = "    { \"match\": " + json_quoted(rule.match) +
                     ", \"is\": " + json_quoted(to_string(rule.role));
  if (rule.build != Build::unknown) text += ", \"build\": " + json_quoted(to_string(rule.build));
  if (rule.role == Role::suspended_ceiling && !room.grids.empty()) {
    const TileGrid& grid = room.grids.front();
    // Tenths of a millimetre: a 2 ft tile is 609.6 mm, and over ten tiles a rounded pitch would
    // tell. So feet and inches only where they say it exactly.
    const auto size = [&](double metres) {
      const auto said = parse_length(format_size(metres, units, 1));
      const bool exact = said && std::abs(*said - metres) < 5e-5;
      return json_quoted(format_size(metres, exact ? units : DisplayUnits::metric, 1));
    };
    text += ", \"tile\": [" + size(grid.pitch_u_m) + ", " + size(grid.pitch_v_m) + "]";
  }
  if (rule.role == Role::door && guessed(room, "Swing of ")) text += ", \"swing\": \"90 deg\"";
  if (!rule.why.empty()) text += ", \"note\": " + json_quoted("guessed: " + rule.why);
  const std::string questions = questions_of(rule, room);
  if (!questions.empty()) text += "," + questions + "\n   ";
  return text + " }";
}

std::string point_text(const Vec3& point, int decimals = 3) {
  return "[" + format_number(point.x, decimals) + ", " + format_number(point.y, decimals) + ", " +
         format_number(point.z, decimals) + "]";
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

/// The room's own name where the model gives one: that of its only root.
std::string room_name(const Scene& scene) {
  std::string name;
  int roots = 0;
  for (const Group& group : scene.groups)
    if (group.parent < 0 && ++roots == 1) name = group.name;
  const bool of_a_program = name.find("CASCADE") != std::string::npos || name == "Scene" ||
                            name == "RootNode" || name == "root";
  if (roots == 1 && !name.empty() && !of_a_program) return name;
  return std::filesystem::path(scene.source.path).stem().string();
}

/// Ceilings that only a statement makes one: the job starts with it.
std::string faces_text(const Room& room) {
  std::string text;
  for (const LikelyCeiling& likely : room.likely_ceilings) {
    if (likely.corners.empty()) continue;
    text += std::string(text.empty() ? "" : ",") +
            "\n      { \"name\": " + json_quoted(likely.name) +
            ", \"is\": \"suspended ceiling\",  // guessed: low air lies over it; if it is none, " +
            "take this out\n        \"corners\": [";
    for (std::size_t i = 0; i < likely.corners.size(); ++i)
      text += (i ? ", " : "") + point_text(likely.corners[i], 4);
    text += "] }";
  }
  return text.empty() ? "" : ",\n    \"faces\": [" + text + "\n    ]";
}

std::string model_text(const Scene& scene, const Room& room,
                       const std::filesystem::path& job_path) {
  static constexpr std::pair<double, const char*> kUnits[] = {
      {0.001, "mm"}, {0.01, "cm"}, {1, "m"}, {0.0254, "in"}, {0.3048, "ft"}};
  std::string text = "{ \"file\": " + json_quoted(model_file(scene, job_path));
  // Only an OBJ leaves both open.
  if (scene.source.format == ModelFormat::obj) {
    for (const auto& [metres, word] : kUnits)
      if (std::abs(scene.source.unit_m - metres) < 1e-9) text += ", \"unit\": " + json_quoted(word);
    text += ", \"up\": " + json_quoted(std::string(1, scene.source.up));
  }
  if (room.main_air >= 0 && room.main_air < static_cast<int>(room.airs.size()))
    text += ", \"seed\": " + point_text(room.airs[static_cast<std::size_t>(room.main_air)].seed);
  return text + faces_text(room) + " }";
}

/// Guesses that stand in no entry, as comments with how to overrule them.
std::string guess_comments(const Room& room) {
  std::string text;
  for (const Guess& guess : room.guesses) {
    if (guess.what.starts_with("Role of ") || guess.what.starts_with("Swing of ")) continue;
    std::string line = guess.what + ": " + guess.value + ", because " + guess.why +
                       ". To overrule: " + guess.overrule;
    std::replace(line.begin(), line.end(), '\n', ' ');
    text += "  // " + line + "\n";
  }
  return text;
}

}  // namespace

std::string starting_job(const Scene& scene, const Room& room,
                         const std::filesystem::path& job_path, DisplayUnits units) {
  std::vector<std::string> parts;
  std::vector<Rule> rules = gathered(rules_by_name(scene, room));
  most_exact_first(rules);
  for (const Rule& rule : rules) parts.push_back(rule_text(rule, room, units));
  const std::string guesses = guess_comments(room);
  return "{\n  \"$schema\": \"roomloom-job.schema.json\",\n  \"name\": " +
         json_quoted(room_name(scene)) +
         (units == DisplayUnits::feet_and_inches ? ",\n  \"units\": \"feet and inches\"" : "") +
         ",\n  \"model\": " + model_text(scene, room, job_path) + ",\n" +
         (guesses.empty() ? "" : "  // Guessed, and how to overrule it:\n" + guesses) +
         "  \"parts\": " + list_text(parts) +
         ",\n  \"gear\": [],\n  \"ends\": " + marker_comments(scene) +
         ",\n  \"runs\": [],\n  \"prefer\": \"balanced\"\n}\n";
}

}  // namespace roomloom
