#include "takeoff/seen.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "takeoff/cells.h"
#include "takeoff/together.h"
#include "types/hiding.h"
#include "types/palette.h"

namespace roomloom {
namespace {

/// A stretch of way, or a thing (then a = b), that could be seen.
struct Visible {
  const char* what = "cable";
  Vec3 a, b;
  int sheet = -1;
  double contrast = 1;
  std::vector<int> runs;
};

/// What could be seen of one track edge: each line is one run's, or one raceway's; the most that
/// is seen of any counts.
using Ways = std::map<std::pair<int, std::string>, std::vector<std::vector<Visible>>>;

struct Looker {
  const Takeoff& takeoff;
  const CableShapes& shapes;
  const Plan& plan;
  const Tracks& tracks;
  const Ends& ends;
  const Room& room;
  const Job& job;
  const Scene& scene;
  Screens screens = screens_of(scene, room, ends);

  std::optional<Colour> face_of(int sheet) const {
    return sheet < 0 ? std::nullopt : element(room.sheets, sheet).colour;
  }
  double contrast(const std::optional<Colour>& thing, int sheet) const {
    return contrast_weight(thing, face_of(sheet), job.sight.blending_weight);
  }
  int sheet_of(const PlaceId& home) const {
    return home.kind == PlaceKind::sheet ? home.index : -1;
  }
};

void add_line(const Piece& piece, const Visible& like, int edge, Together& together,
              std::vector<Visible>& line) {
  std::vector<Vec3> points;
  if (const auto* straight = std::get_if<Line3>(&piece))
    points = {straight->from, straight->to};
  else
    points = arc_points(std::get<Arc>(piece), 1e-3);
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    for (const auto& [a, b] : together.apart(points[i], points[i + 1], like.runs.front(), edge)) {
      Visible one = like;
      one.a = a;
      one.b = b;
      line.push_back(std::move(one));
    }
}

Together edges_together(const CableShapes& shapes) {
  std::vector<std::set<int>> edges_of_runs;
  for (const CableShape& shape : shapes.cables)
    edges_of_runs.emplace_back(shape.edges.begin(), shape.edges.end());
  return Together(std::move(edges_of_runs));
}

/// Runs where they lie open: bare, free, or in a void that may have an open side.
void add_cables(const Looker& look, Together& together, Ways& ways) {
  std::set<int> void_edges;
  for (std::size_t i = 0; i < look.shapes.cables.size(); ++i) {
    const CableShape& shape = look.shapes.cables[i];
    if (!shape.routed) continue;
    const auto jacket = colour_named(look.takeoff.runs[i].colour);
    std::map<int, std::vector<Visible>> lines;
    for (std::size_t p = 0; p < shape.pieces.size(); ++p) {
      const int edge = p < shape.edges.size() ? shape.edges[p] : -1;
      const PlaceId home = p < shape.homes.size() ? shape.homes[p] : PlaceId{};
      const Medium medium = edge < 0 ? Medium::free : element(look.tracks.edges, edge).medium;
      if (medium == Medium::raceway || medium == Medium::bay || medium == Medium::conduit ||
          home.kind == PlaceKind::conduit)
        continue;
      // In a void all runs of an edge lie above or below the same things: one is looked for.
      if (home.kind == PlaceKind::void_space && !void_edges.insert(edge).second) continue;
      Visible like;
      like.sheet = look.sheet_of(home);
      like.contrast = look.contrast(jacket, like.sheet);
      like.runs = {static_cast<int>(i)};
      add_line(shape.pieces[p], like, edge, together, lines[edge]);
    }
    for (auto& [edge, line] : lines) ways[{edge, "cable"}].push_back(std::move(line));
  }
}

void add_raceways(const Looker& look, Together& together, Ways& ways) {
  const auto raceway = colour_named(look.job.sight.raceway_colour);
  for (const RacewayShape& shape : look.shapes.raceways) {
    Visible one{"raceway", shape.from, shape.to, shape.sheet, 1, shape.runs};
    one.contrast = look.contrast(raceway, shape.sheet);
    together.apart(shape.from, shape.to, -1, shape.edge);
    ways[{shape.edge, "raceway"}].push_back({one});
  }
}

/// Corner pieces and the like, and the ends of runs outside the gear.
std::vector<Visible> things_of(const Looker& look) {
  std::vector<Visible> things;
  for (const PlannedCharge& paid : look.plan.charges) {
    const Charge& charge = element(look.tracks.charges, paid.charge);
    if (charge.kind == ChargeKind::fitting)
      things.push_back({"fitting", charge.where, charge.where, -1, 1, paid.runs});
  }
  constexpr double kBefore_m = 0.01;
  for (std::size_t e = 0; e < look.ends.ends.size(); ++e) {
    const End& end = look.ends.ends[e];
    if (!end.gear.empty()) continue;
    Visible one{"end", {}, {}, look.sheet_of(end.place.home), 1, {}};
    one.a = one.b = end.place.position + kBefore_m * end.place.outward;
    for (std::size_t r = 0; r < look.ends.runs.size(); ++r)
      if (look.shapes.cables[r].routed && (look.ends.runs[r].from == static_cast<int>(e) ||
                                           look.ends.runs[r].to == static_cast<int>(e)))
        one.runs.push_back(static_cast<int>(r));
    if (!one.runs.empty()) things.push_back(std::move(one));
  }
  return things;
}

struct Landmark {
  std::string name;
  Vec3 at;
};

std::vector<Landmark> landmarks_of(const Looker& look) {
  std::vector<Landmark> marks;
  for (const End& end : look.ends.ends)
    if (end.gear.empty()) marks.push_back({end.id, end.place.position});
  for (const GearBox& box : look.ends.gear)
    marks.push_back({box.id, box.frame.to_world(0.5 * box.size)});
  for (std::size_t i = 0; i < look.scene.parts.size() && i < look.room.roles.size(); ++i) {
    const Role role = look.room.roles[i].role;
    if (role != Role::furniture && role != Role::cupboard && role != Role::seat) continue;
    const Part& part = look.scene.parts[i];
    Box3 box;
    for (std::uint32_t p = 0; p < part.point_count; ++p)
      box.add(look.scene.points[part.first_point + p]);
    if (!box.empty() && !part.name.empty()) marks.push_back({part.name, box.centre()});
  }
  return marks;
}

/// Where one looks for it: behind or beside the thing nearest to it, else on its face.
std::string where_of(const Looker& look, const std::vector<Landmark>& marks, const Vec3& eye,
                     const Vec3& at, int sheet) {
  constexpr double kNear_m = 0.7, kBehind = 0.97;  // cosine: 14 degrees
  const Landmark* nearest = nullptr;
  for (const Landmark& mark : marks)
    if (distance(mark.at, at) < kNear_m &&
        (nearest == nullptr || distance(mark.at, at) < distance(nearest->at, at)))
      nearest = &mark;
  if (nearest != nullptr) {
    const Vec3 to_mark = nearest->at - eye, to_it = at - eye;
    const bool in_line = dot(normalized(to_mark), normalized(to_it)) > kBehind;
    const bool nearer = norm(to_mark) < norm(to_it) - 0.02;
    return (in_line && nearer ? "behind " : "beside ") + nearest->name;
  }
  if (sheet < 0) return "in the open";
  const Sheet& face = element(look.room.sheets, sheet);
  constexpr double kEdge_m = 0.12;
  if (face.role == SheetRole::wall && at.z < look.room.floor_z_m + kEdge_m)
    return "along the foot of " + face.name;
  return "on " + face.name;
}

/// What one eye point sees in one state, by where and what.
struct Tally {
  const Looker& look;
  const std::vector<Landmark>& marks;
  const EyePoint& eye;
  bool closed = false;
  std::map<std::pair<std::string, std::string>, SeenStretch> found{};
  std::map<std::pair<std::string, std::string>, double> longest{};

  void add(const Visible& one, const Vec3& at, double metres) {
    const std::string where = where_of(look, marks, eye.at.front(), at, one.sheet);
    const std::pair key(std::string(one.what), where);
    auto [entry, fresh] = found.try_emplace(key);
    SeenStretch& seen = entry->second;
    if (fresh) seen = {eye.name, closed, one.what, 0, 0, one.contrast, where, at, {}};
    seen.metres += metres;
    seen.weighted_m += metres * one.contrast;
    if (metres > longest[key]) {
      longest[key] = metres;
      seen.at = at;
      seen.contrast = one.contrast;
    }
    for (const int run : one.runs) {
      const std::string& id = element(look.ends.runs, run).id;
      if (std::find(seen.runs.begin(), seen.runs.end(), id) == seen.runs.end())
        seen.runs.push_back(id);
    }
  }

  double seen_of(const std::vector<Visible>& line) const {
    double sum = 0;
    for (const Visible& one : line)
      sum += distance(one.a, one.b) *
             total(rest_of(look.screens.hidden(eye.at, one.a, one.b, closed)));
    return sum;
  }

  void look_at(const std::vector<std::vector<Visible>>& lines) {
    const std::vector<Visible>* most = nullptr;
    double greatest = 1e-4;
    for (const std::vector<Visible>& line : lines)
      if (const double seen = seen_of(line); seen > greatest) {
        greatest = seen;
        most = &line;
      }
    if (most == nullptr) return;
    std::vector<int> runs;
    for (const auto& line : lines)
      for (const Visible& one : line) runs.insert(runs.end(), one.runs.begin(), one.runs.end());
    for (Visible one : *most) {
      one.runs = runs;
      for (const auto& [t0, t1] : rest_of(look.screens.hidden(eye.at, one.a, one.b, closed)))
        add(one, one.a + 0.5 * (t0 + t1) * (one.b - one.a), (t1 - t0) * distance(one.a, one.b));
    }
  }
};

/// Nobody reads a sixteenth of an inch off such a sum: whole feet above ten of them, else inches.
std::string metres_text(const Job& job, double metres) {
  if (job.units == DisplayUnits::metric) return format_length(metres, job.units, 1);
  constexpr double kFoot = 0.3048, kInch = 0.0254;
  if (metres > 10 * kFoot) return format_number(metres / kFoot, 0) + " ft";
  return format_length(std::round(metres / kInch) * kInch, job.units);
}

/// "From Seat left you will see 0.4 m, behind M+030; 0.1 m with the curtains closed."
std::string sentence(const SeenFrom& seen, const Job& job, bool curtains, double longest_m) {
  constexpr double kNothing_m = 0.05;
  const std::string from = "From " + seen.eye + " you will see ";
  if (seen.open_m < kNothing_m) return from + "nothing.";
  const double share = longest_m / seen.open_m;
  std::string text = from + metres_text(job, seen.open_m) + ", ";
  if (share > 0.95)
    text += seen.where;
  else if (share > 0.5)
    text += "most of it " + seen.where;
  else
    text += metres_text(job, longest_m) + " of it " + seen.where;
  if (curtains)
    text +=
        "; " +
        (seen.closed_m < kNothing_m ? std::string("nothing") : metres_text(job, seen.closed_m)) +
        " with the curtains closed";
  return text + ".";
}

SeenFrom sum_up(const Looker& look, const Tally& open, const Tally* closed) {
  SeenFrom sum;
  sum.eye = open.eye.name;
  const auto add = [](const Tally& tally, double& metres, double& weighted, int& things) {
    for (const auto& [key, seen] : tally.found) {
      metres += seen.metres;
      weighted += seen.weighted_m;
      if (seen.what == "fitting" || seen.what == "end") ++things;
    }
  };
  add(open, sum.open_m, sum.open_weighted_m, sum.open_things);
  add(closed != nullptr ? *closed : open, sum.closed_m, sum.closed_weighted_m, sum.closed_things);
  std::map<std::string, double> places;
  for (const auto& [key, seen] : open.found)
    if (seen.metres > 0) places[seen.where] += seen.metres;
  double most = 0;
  for (const auto& [where, metres] : places)
    if (metres > most + 1e-9) {
      most = metres;
      sum.where = where;
    }
  sum.words = sentence(sum, look.job, closed != nullptr, most);
  return sum;
}

void keep(const Tally& tally, Takeoff& takeoff) {
  constexpr double kShortest_m = 0.01;  // slivers past an edge
  for (const auto& [key, seen] : tally.found)
    if (seen.metres >= kShortest_m || seen.what == "end" || seen.what == "fitting")
      takeoff.seen_stretches.push_back(seen);
}

}  // namespace

void look_from_eyes(Takeoff& takeoff, const CableShapes& shapes, const Plan& plan,
                    const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                    const Scene& scene) {
  if (ends.eyes.empty()) return;
  const Looker look{takeoff, shapes, plan, tracks, ends, room, job, scene};
  Ways ways;
  Together together = edges_together(shapes);
  add_raceways(look, together, ways);
  add_cables(look, together, ways);
  const std::vector<Visible> things = things_of(look);
  const std::vector<Landmark> marks = landmarks_of(look);
  std::vector<SeenFrom> sums;
  std::vector<Tally> tallies;
  const bool curtains = !look.screens.curtains->empty();
  for (const EyePoint& eye : ends.eyes) {
    const std::size_t first = tallies.size();
    for (const bool closed : {false, true}) {
      if (closed && !curtains) continue;
      Tally tally{look, marks, eye, closed};
      for (const auto& [key, lines] : ways) tally.look_at(lines);
      for (const Visible& thing : things)
        if (look.screens.sees(eye.at, thing.a, closed)) tally.add(thing, thing.a, 0);
      tallies.push_back(std::move(tally));
    }
    sums.push_back(sum_up(look, tallies[first], curtains ? &tallies[first + 1] : nullptr));
  }
  for (const Tally& tally : tallies) keep(tally, takeoff);
  takeoff.seen = std::move(sums);
}

Table seen_table(const Takeoff& takeoff, const Job& job) {
  Table table{"seen",
              "What is seen, and from where",
              "Metres of way that an eye sees: what lies nearer than 60 mm together counts once. "
              "Weighted: what has "
              "the colour of its background counts " +
                  format_number(job.sight.blending_weight, 2) +
                  ". Seated eyes 1.2 m over the floor, standing ones 1.6 m.",
              {{"eye", "From", ColumnKind::text},
               {"curtains", "Curtains", ColumnKind::text},
               {"what", "What", ColumnKind::text},
               {"where", "Where", ColumnKind::text},
               {"metres", "Seen", ColumnKind::length},
               {"weighted", "Weighted", ColumnKind::length},
               {"runs", "Runs", ColumnKind::text}},
              {}};
  for (const SeenStretch& seen : takeoff.seen_stretches) {
    const bool thing = seen.what == "fitting" || seen.what == "end";
    table.rows.push_back({seen.eye, std::string(seen.curtains_closed ? "closed" : "open"),
                          seen.what, seen.where, thing ? Cell{} : Cell{seen.metres},
                          thing ? Cell{} : Cell{seen.weighted_m}, listed(seen.runs)});
  }
  return table;
}

}  // namespace roomloom
