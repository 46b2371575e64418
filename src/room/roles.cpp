#include "room/roles.h"

#include <algorithm>
#include <map>
#include <set>
#include <span>
#include <tuple>

#include "base/glob.h"
#include "geometry/inside.h"
#include "geometry/rectangle.h"
#include "geometry/triangles.h"
#include "room/words.h"

namespace roomloom {
namespace {

constexpr const char* kNoStructure = "its shape is that of no wall, floor or ceiling";
constexpr const char* kHangs = "it hangs too high for furniture";
constexpr double kLowestHanging = 2.0;  // over the model's lowest point
constexpr double kHighestStorey = 4.5;  // a higher model has floors on which furniture stands
constexpr double kThickestWall = 0.6, kLowestWall = 1.8, kSmallestSlab = 2.0;

bool is_identifier(const std::string& key) {
  const std::vector<std::string> words = words_of(key);
  return std::any_of(words.begin(), words.end(), [](const std::string& w) {
    return w == "id" || w == "uuid" || w == "guid" || w == "globalid";
  });
}

std::optional<Build> build_from(const std::string& text) {
  for (const Build b : {Build::masonry, Build::stud, Build::outside, Build::concrete, Build::board})
    if (text == to_string(b)) return b;
  return std::nullopt;
}

void apply_rule(const Job& job, const Part& part, PartRole& role, std::vector<bool>& used) {
  for (std::size_t i = 0; i < job.parts.size(); ++i) {
    const PartRule& rule = job.parts[i];
    if (!matches_pattern(rule.match, part.name) && !matches_pattern(rule.match, part.path))
      continue;
    used[i] = true;
    role.rule = static_cast<int>(i);
    role.role = rule.role;
    role.build = rule.build;
    role.why = "the job says so (" + rule.pointer + ")";
    return;
  }
}

bool take_words(const std::string& text, const std::string& where, bool known_slab,
                PartRole& role) {
  const auto found = role_in_words(words_of(text));
  if (!found) return false;
  // A slab is a slab, whatever it rests on: "Floor: wood joist with subflooring".
  const std::vector<std::string> words = words_of(text);
  const bool slab = std::find(words.begin(), words.end(), "slab") != words.end();
  if ((slab || known_slab) && !is_structure(found->role)) return false;
  role.role = found->role;
  role.why = where + " says \"" + found->words + "\"";
  return true;
}

// Converters of building models write "class|label|number". A noted class wins over what the label
// says besides ("IfcFurnishingElement|M_Base Cabinet"), and an opening named after what it serves
// ("Window|Closet 100x100") stays an opening.
bool take_class(const std::string& name, bool known_slab, PartRole& role) {
  const auto bar = name.find('|');
  if (bar == std::string::npos) return false;
  const std::string head = name.substr(0, bar);
  const std::vector<std::string> words = words_of(head);
  const auto said = role_in_words(words);
  if (!said) return false;
  const bool opening = said->role == Role::window || said->role == Role::door;
  const auto whole = role_in_words(words_of(name));
  const bool strays = whole && whole->role != Role::window && whole->role != Role::door;
  const bool noted = words.front() == "ifc";
  return (noted || (opening && strays)) && take_words(head, "its class", known_slab, role);
}

// The class that a building model's exporter noted, if it is one that place and shape decide.
bool is_noted_slab(const Part& part) {
  return std::any_of(part.extras.begin(), part.extras.end(), [](const auto& extra) {
    return extra.second == "IfcSlab" || extra.second == "IfcRoof" || extra.second == "IfcCovering";
  });
}

/// "Ground floor", "Floor 2", "1st floor": a storey, with all that stands on it.
bool names_a_storey(const std::string& text) {
  static const std::set<std::string> kWhich = {"ground", "first", "second", "third",    "fourth",
                                               "fifth",  "upper", "lower",  "top",      "main",
                                               "st",     "nd",    "rd",     "basement", "level"};
  const std::vector<std::string> words = words_of(text);
  const auto found = role_in_words(words);
  return found && found->role == Role::floor &&
         std::any_of(words.begin(), words.end(), [](const std::string& word) {
           const bool number = word.size() <= 2 && word.front() != '0' &&
                               word.find_first_not_of("0123456789") == std::string::npos;
           return number || kWhich.contains(word);
         });
}

/// The names of a part's groups, the nearest first.
std::vector<std::string> groups_of(const Part& part) {
  std::string_view path(part.path);
  if (path.ends_with(part.name)) path.remove_suffix(part.name.size());
  std::vector<std::string> groups;
  while (!path.empty()) {
    if (path.back() == '/') path.remove_suffix(1);
    const auto slash = path.rfind('/');
    const std::size_t begin = slash == std::string_view::npos ? 0 : slash + 1;
    groups.emplace_back(path.substr(begin));
    path = path.substr(0, begin);
  }
  return groups;
}

void apply_words(const Part& part, PartRole& role) {
  const bool slab = is_noted_slab(part);
  if (role.role == Role::automatic) {
    const auto is = part.extras.find("is");
    if (is != part.extras.end()) {
      if (const auto exact = role_from(is->second)) {
        role.role = *exact;
        role.why = "its extra \"is\" says so";
      }
    }
  }
  for (const auto& [key, value] : part.extras) {
    if (role.role != Role::automatic || value.size() > 60 || is_identifier(key)) continue;
    take_words(value, "its extra \"" + key + "\"", slab, role);
  }
  if (role.role == Role::automatic) take_class(part.name, slab, role);
  if (role.role == Role::automatic) take_words(part.name, "its name", slab, role);
  if (role.role == Role::automatic && !names_a_storey(part.layer))
    take_words(part.layer, "its layer", slab, role);
  if (part.kind == PartKind::marker) return;
  // The nearest that says anything: "House/Ground floor/Walls/Cube" is a wall.
  for (const std::string& group : groups_of(part))
    if (role.role == Role::automatic && !names_a_storey(group))
      take_words(group, "its group", slab, role);
}

void apply_build_words(const Part& part, PartRole& role) {
  if (role.role != Role::wall || role.build != Build::unknown) return;
  const auto extra = part.extras.find("build");
  if (extra != part.extras.end()) role.build = build_from(extra->second).value_or(Build::unknown);
  if (role.build == Build::unknown)
    role.build = build_in_words(words_of(part.name)).value_or(Build::unknown);
  if (role.build == Build::unknown)
    role.build = build_in_words(words_of(part.layer)).value_or(Build::unknown);
}

PartRole role_by_shape(const UprightBox& box, const Box3& whole) {
  PartRole role;
  const Vec3 size = whole.size();
  const double footprint = box.length * box.width;
  const bool spans_plan = footprint > 0.6 * size.x * size.y && footprint > 3;
  if (spans_plan && box.height() > 0.6 * size.z && box.height() >= kLowestWall) {
    role.role = Role::wall;
    role.why = "it encloses the model";
  } else if (box.width <= kThickestWall && box.height() >= kLowestWall && box.length >= 0.3) {
    role.role = Role::wall;
    role.why = "it is upright, thin and high";
  } else if (box.height() <= kThickestWall && footprint >= kSmallestSlab && box.width >= 0.9) {
    const bool low = 0.5 * (box.low_z + box.high_z) < whole.low.z + 0.4 * size.z;
    role.role = low ? Role::floor : Role::deck;
    role.why = low ? "it is flat, wide and low" : "it is flat, wide and high";
  } else {
    const bool hangs = whole.size().z < kHighestStorey && box.low_z > whole.low.z + kLowestHanging;
    role.role = box.height() < 2.3 && footprint < 6 && !hangs ? Role::furniture : Role::obstacle;
    role.why = hangs ? kHangs : kNoStructure;
  }
  return role;
}

// The beginning that the names of some parts have in common.
std::string common_start(const Scene& scene, const std::vector<int>& parts) {
  std::string start = scene.parts[static_cast<std::size_t>(parts.front())].name;
  for (const int i : parts) {
    const std::string& name = scene.parts[static_cast<std::size_t>(i)].name;
    std::size_t same = 0;
    while (same < start.size() && same < name.size() && start[same] == name[same]) ++same;
    start.resize(same);
  }
  while (!start.empty() && (static_cast<unsigned char>(start.back()) & 0x80U) != 0)
    start.pop_back();
  return start;
}

// Some models hold bodies that stand for a zone, a cut or a dig: they swallow walls and doors
// whole.
bool swallows_structure(const Scene& scene, const std::vector<PartRole>& roles, std::size_t body) {
  constexpr int kFew = 2;
  const Part& part = scene.parts[body];
  const Box3 box = box_of(scene, part);
  const Vec3 size = box.size();
  if (part.closure == Closure::open || size.x * size.y < 4 || size.z < 1) return false;
  const TriangleTree tree(
      scene.points, std::span(scene.triangles).subspan(part.first_triangle, part.triangle_count));
  int inside = 0;
  for (std::size_t i = 0; i < scene.parts.size() && inside <= kFew; ++i) {
    if (i == body || !seals(roles[i].role) || scene.parts[i].kind != PartKind::mesh) continue;
    const Vec3 centre = box_of(scene, scene.parts[i]).centre();
    inside += box.contains(centre) && is_inside(tree, centre, box.high.z);
  }
  return inside > kFew;
}

}  // namespace

bool is_structure(Role role) {
  return role == Role::wall || role == Role::floor || role == Role::ceiling ||
         role == Role::suspended_ceiling || role == Role::deck;
}

bool seals(Role role) {
  return is_structure(role) || role == Role::door || role == Role::window || role == Role::vent;
}

const PartRule* rule_of(const Job& job, const PartRole& role) {
  return role.rule < 0 ? nullptr : &job.parts[static_cast<std::size_t>(role.rule)];
}

std::string name_stem(const std::string& name) {
  const auto end = std::find_if(name.begin(), name.end(), [](unsigned char c) {
    return (c >= '0' && c <= '9') || c == '.' || c == ':' || c == '#' || c == '|';
  });
  std::string result(name.begin(), end);
  while (!result.empty() && (result.back() == ' ' || result.back() == '_')) result.pop_back();
  return result;
}

std::string pattern_for(const Scene& scene, const std::vector<int>& parts) {
  const std::string& first = scene.parts[static_cast<std::size_t>(parts.front())].name;
  if (parts.size() == 1) return first.empty() ? "*" : first;
  const std::string pattern = common_start(scene, parts) + "*";
  std::size_t matched = 0;
  for (const Part& part : scene.parts) matched += matches_pattern(pattern, part.name);
  return matched == parts.size() && pattern != "*" ? pattern : first;
}

std::string display_name(const Scene& scene, int part) {
  const std::string& name = scene.parts[static_cast<std::size_t>(part)].name;
  return name.empty() ? "part " + std::to_string(part + 1) : name;
}

Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) box.add(scene.points[part.first_point + i]);
  return box;
}

UprightBox upright_box(const Scene& scene, const Part& part) {
  std::vector<Vec2> plan;
  Box3 bounds;
  for (std::uint32_t i = 0; i < part.point_count; ++i) {
    const Vec3& p = scene.points[part.first_point + i];
    plan.push_back({p.x, p.y});
    bounds.add(p);
  }
  UprightBox best;
  if (bounds.empty()) return best;
  best.low_z = bounds.low.z;
  best.high_z = bounds.high.z;
  const TurnedRectangle least = least_rectangle(std::move(plan));
  const Vec2 size = least.box.high - least.box.low;
  const Vec2 middle = 0.5 * (least.box.low + least.box.high);
  best.centre = middle.x * least.u + middle.y * least.v();
  best.along = size.x >= size.y ? least.u : least.v();
  best.length = std::max(size.x, size.y);
  best.width = std::min(size.x, size.y);
  return best;
}

std::vector<PartRole> roles_from_words(const Scene& scene, const Job& job,
                                       std::vector<std::string>& warnings) {
  std::vector<PartRole> roles(scene.parts.size());
  std::vector<bool> used(job.parts.size(), false);
  for (std::size_t i = 0; i < roles.size(); ++i) {
    apply_rule(job, scene.parts[i], roles[i], used);
    apply_words(scene.parts[i], roles[i]);
    apply_build_words(scene.parts[i], roles[i]);
    if (scene.parts[i].kind == PartKind::marker && roles[i].role != Role::ignore) {
      roles[i].role = Role::marker;
      roles[i].why = "it is a point without a shape";
    }
  }
  for (std::size_t i = 0; i < used.size(); ++i) {
    if (used[i]) continue;
    warnings.push_back("The rule " + job.parts[i].pointer + " (\"" + job.parts[i].match +
                       "\") matches no part of the model.");
  }
  return roles;
}

void add_roles_from_shape(const Scene& scene, std::vector<PartRole>& roles) {
  Box3 whole;
  for (std::size_t i = 0; i < roles.size(); ++i)
    if (roles[i].role != Role::ignore && scene.parts[i].kind == PartKind::mesh)
      whole.add(box_of(scene, scene.parts[i]));
  for (std::size_t i = 0; i < roles.size(); ++i) {
    if (roles[i].role != Role::automatic) continue;
    PartRole by_shape;
    if (scene.parts[i].kind == PartKind::curve) {
      by_shape.role = Role::ignore;
      by_shape.why = "it is a line without thickness";
    } else {
      by_shape = role_by_shape(upright_box(scene, scene.parts[i]), whole);
    }
    roles[i].role = by_shape.role;
    roles[i].why = by_shape.why;
    roles[i].by_shape = true;
  }
  for (std::size_t i = 0; i < roles.size(); ++i) {
    const bool thing = roles[i].role == Role::obstacle || roles[i].role == Role::furniture;
    const bool guessed = roles[i].why == kNoStructure || roles[i].why == kHangs;
    if (!thing || !guessed || !swallows_structure(scene, roles, i)) continue;
    roles[i].role = Role::ignore;
    roles[i].why = "walls, doors or windows stand inside it: it is a volume, not a thing";
  }
}

void tell_guessed_roles(const Scene& scene, const std::vector<PartRole>& roles,
                        std::vector<Guess>& guesses) {
  std::map<std::tuple<std::string, int, std::string>, std::vector<int>> groups;
  for (std::size_t i = 0; i < roles.size(); ++i) {
    const bool said = roles[i].rule >= 0 && roles[i].why.rfind("the job", 0) == 0;
    if (said || roles[i].role == Role::marker) continue;
    groups[{name_stem(scene.parts[i].name), static_cast<int>(roles[i].role), roles[i].why}]
        .push_back(static_cast<int>(i));
  }
  for (const auto& [key, parts] : groups) {
    const auto& [start, role, why] = key;
    const std::string first = display_name(scene, parts.front());
    Guess guess;
    guess.what = parts.size() == 1
                     ? "Role of " + first
                     : "Role of " + std::to_string(parts.size()) + " parts like " + first;
    guess.value = to_string(static_cast<Role>(role));
    guess.why = why;
    guess.overrule =
        "\"parts\": [{ \"match\": \"" + pattern_for(scene, parts) + "\", \"is\": \"...\" }]";
    guesses.push_back(std::move(guess));
  }
}

}  // namespace roomloom
