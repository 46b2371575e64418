#include "drawings/overview.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "drawings/draft.h"
#include "drawings/overview_parts.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr int kWidth = 1600, kHeight = 1200;
constexpr double kLeastTubePixels = 3.4;  // what is thinner is hard to see
// Toward the viewer does not move anything on the picture; it lifts cable off its own wall.
constexpr double kLift = 0.02;

constexpr double kEndRadius_m = 0.055;
constexpr double kLeastHole_m = 0.03;

Vec3 end_middle(const End& end) { return end.place.position + 0.06 * end.place.outward; }

std::vector<Vec3> points_of(const Piece& piece) {
  if (const auto* line = std::get_if<Line3>(&piece)) return {line->from, line->to};
  return arc_points(std::get<Arc>(piece), 0.0005);
}

/// Metres of cable on walls that this direction shows.
double seen_from(const DrawingRequest& r, const Vec3& toward) {
  double sum = 0;
  for (const CableShape& cable : r.shapes.cables) {
    for (std::size_t i = 0; i < cable.pieces.size(); ++i) {
      const PlaceId home = cable.homes[i];
      if (home.kind != PlaceKind::sheet) continue;
      const Vec3& normal = r.room.sheets[static_cast<std::size_t>(home.index)].frame.n;
      if (dot(normal, toward) > 0.1) sum += length_m(cable.pieces[i]);
    }
  }
  return sum;
}

Frame best_view(const DrawingRequest& r) {
  Vec3 best;
  double most = -1;
  for (const double x : {1.0, -1.0}) {
    for (const double y : {-1.0, 1.0}) {
      const Vec3 toward = normalized({x, y, 1});  // isometric: all three axes equally short
      const double seen = seen_from(r, toward);
      if (seen <= most + 1e-6) continue;
      most = seen;
      best = toward;
    }
  }
  Frame view;
  view.n = best;
  view.u = normalized(cross({0, 0, 1}, best));
  view.v = cross(best, view.u);
  return view;
}

/// Puts the room's box in the middle of the picture, below the heading; returns pixels a metre.
double fit(Frame& view, const Box3& box) {
  Box3 flat;
  for (int corner = 0; corner < 8; ++corner) {
    flat.add(view.to_local({(corner & 1) != 0 ? box.high.x : box.low.x,
                            (corner & 2) != 0 ? box.high.y : box.low.y,
                            (corner & 4) != 0 ? box.high.z : box.low.z}));
  }
  const Vec3 size = flat.size();
  const double scale = std::min((kWidth - 240) / size.x, (kHeight - 110) / size.y);
  const Vec3 middle = flat.centre();
  view.origin = view.to_world(middle + Vec3{0, 10 / scale, 0});
  return scale;
}

Rgb colour_of(const Run& run) { return srgb(service_colour(run.service)); }

void draw_raceways(Raster& raster, const DrawingRequest& r) {
  for (const RacewayShape& piece : r.shapes.raceways) {
    const RacewayType& type = r.job.catalogue.raceways[static_cast<std::size_t>(piece.raceway)];
    const Vec3 side = normalized(cross(piece.normal, piece.to - piece.from));
    const Vec3 half = (type.width_m / 2 + 0.012) * side;
    raster.face({{piece.from + half, piece.to + half, piece.to - half, piece.from - half}},
                {0.99, 0.99, 0.99}, 1, kLift);
    for (const double sign : {1.0, -1.0})
      raster.line(piece.from + sign * half, piece.to + sign * half, 1, {0.45, 0.45, 0.45}, 1,
                  kLift);
  }
}

void draw_runs(Raster& raster, const DrawingRequest& r, const Vec3& toward) {
  for (const CableShape& cable : r.shapes.cables) {
    if (!cable.routed) continue;
    const Run& run = r.ends.runs[static_cast<std::size_t>(cable.run)];
    const double real = r.job.catalogue.cables[static_cast<std::size_t>(run.cable)].diameter_m;
    const double drawn = std::max(real, kLeastTubePixels / raster.pixels_per_m());
    for (const Piece& piece : cable.pieces) {
      const std::vector<Vec3> line = points_of(piece);
      for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const Vec3 lift = kLift * 1.5 * toward;
        raster.tube(line[i] + lift, line[i + 1] + lift, drawn, colour_of(run));
      }
    }
  }
}

void draw_holes(Raster& raster, const DrawingRequest& r) {
  for (const HoleShape& hole : r.shapes.holes) {
    const Vec3 u = normalized(
        cross(hole.normal, std::abs(hole.normal.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0}));
    const Vec3 v = cross(hole.normal, u);
    const auto disc = [&](double radius) {
      std::vector<Vec3> rim;
      for (int k = 0; k < 32; ++k) {
        const double turn = 2 * kPi * k / 32;
        rim.push_back(hole.centre + radius * (std::cos(turn) * u + std::sin(turn) * v));
      }
      return rim;
    };
    const double radius = std::max(hole.diameter_m / 2, kLeastHole_m);
    raster.face({disc(radius + 0.02), disc(radius)}, {0.1, 0.1, 0.1}, 1, kLift);
  }
}

void draw_ends(Raster& raster, const DrawingRequest& r, const Vec3& toward) {
  for (const Run& run : r.ends.runs) {
    for (const int index : {run.from, run.to}) {
      const End& end = r.ends.ends[static_cast<std::size_t>(index)];
      if (!end.gear.empty()) continue;
      raster.ball(end_middle(end) + kLift * toward, kEndRadius_m,
                  paler(colour_of(run), run.provision ? 0.45 : 0));
    }
  }
}

struct Lettered {
  Draft draft;
  const Frame& view;
  double pixels_per_m;
  Vec2 at(const Vec3& p) const {
    const Vec3 q = view.to_local(p);
    return {kWidth / 2.0 + q.x * pixels_per_m, kHeight / 2.0 - q.y * pixels_per_m};
  }
};

void name_ends(Lettered& picture, const DrawingRequest& r) {
  std::map<int, std::vector<std::string>> runs_at;
  for (const Run& run : r.ends.runs) {
    for (const int index : {run.from, run.to}) runs_at[index].push_back(plain_text(run.id, 12));
  }
  for (const auto& [index, runs] : runs_at) {
    const End& end = r.ends.ends[static_cast<std::size_t>(index)];
    if (!end.gear.empty()) continue;
    const std::string text = plain_text(end.id, 24) + " · " + shortened(runs, 3);
    Label label{text, picture.at(end_middle(end)), {10.5, false, false, shade(0.1)}, 13, {0, -1},
                ""};
    label.edge_mm = kEndRadius_m * picture.pixels_per_m;
    picture.draft.label(std::move(label));
  }
}

/// On the gear itself, with how many of its ports are in use.
void name_gear(Lettered& picture, const DrawingRequest& r) {
  std::map<std::string, int> ports;
  for (const Run& run : r.ends.runs)
    for (const int index : {run.from, run.to})
      ++ports[r.ends.ends[static_cast<std::size_t>(index)].gear];
  for (const GearBox& gear : r.ends.gear) {
    const Vec3 middle = gear.frame.to_world(Vec3{gear.size.x / 2, gear.size.y, gear.size.z / 2});
    const auto found = ports.find(gear.id);
    const std::string count =
        found == ports.end() ? "" : " · " + counted(found->second, "port") + " in use";
    picture.draft.label({plain_text(gear.id, 24) + count,
                         picture.at(middle),
                         {10.5, true, false, shade(0.1)},
                         0,
                         {0, -1},
                         ""});
  }
}

/// Labels keep off ends and holes, and rather off runs.
void keep_off_what_is_shown(Lettered& picture, const DrawingRequest& r) {
  const auto keep_off = [&](const Vec3& p, double radius_m) {
    const double half = radius_m * picture.pixels_per_m;
    picture.draft.keep_off(PaperBox{picture.at(p), picture.at(p)}.grown(half));
  };
  for (const Run& run : r.ends.runs) {
    for (const int index : {run.from, run.to}) {
      const End& end = r.ends.ends[static_cast<std::size_t>(index)];
      if (end.gear.empty()) keep_off(end_middle(end), kEndRadius_m);
    }
  }
  for (const HoleShape& hole : r.shapes.holes) keep_off(hole.centre, kLeastHole_m);
  for (const CableShape& cable : r.shapes.cables) {
    for (const Piece& piece : cable.pieces) {
      const std::vector<Vec3> line = points_of(piece);
      for (std::size_t i = 0; i + 1 < line.size(); ++i)
        picture.draft.pass(picture.at(line[i]), picture.at(line[i + 1]), kLeastTubePixels);
    }
  }
}

void draw_legend(Draft& draft, const DrawingRequest& r) {
  const TextStyle small{12, false, false, shade(0.15)};
  draft.write(plain_text(r.job.name, 60), {48, 68}, {20, true, false, shade(0.1)});
  draft.write(summary_line(r), {48, 102}, small);
  double y = kHeight - 40;
  const std::vector<ServiceSum> sums = service_sums(r);
  for (auto sum = sums.rbegin(); sum != sums.rend(); ++sum, y -= 27) {
    const Pen pen{srgb(service_colour(sum->service)), 7, {}};
    draft.path({{48, y - 5.5}, {98, y - 5.5}}, pen);
    draft.write(std::string(to_string(sum->service)) + " · " + counted(sum->runs, "run") + " · " +
                    total_length(sum->cut_m, r.job.units, 1),
                {112, y}, small);
  }
}

}  // namespace

RoomPicture draw_room(const DrawingRequest& r) {
  Frame view = best_view(r);
  Box3 box = r.room.box;
  for (const Void& space : r.room.voids) {
    if (space.kind != VoidKind::plenum) continue;
    for (const Vec2& q : space.plan.outline) box.add(space.frame.to_world(q, space.height_m));
  }
  const double scale = fit(view, box);
  Raster raster(kWidth, kHeight, view, scale);
  draw_shell(raster, r, view.n);
  draw_furnishing(raster, r, view.n, false);
  draw_raceways(raster, r);
  draw_ends(raster, r, view.n);
  draw_runs(raster, r, view.n);
  draw_holes(raster, r);
  draw_outlines(raster, r, view.n);
  draw_furnishing(raster, r, view.n, true);
  return {raster.image(), view, scale};
}

Page names_in_room(const RoomPicture& picture, const DrawingRequest& r,
                   const Lettering& lettering) {
  Lettered lettered{Draft({kWidth, kHeight}, {{24, 24}, {kWidth - 24, kHeight - 24}}, lettering),
                    picture.view, picture.pixels_per_m};
  draw_legend(lettered.draft, r);
  name_gear(lettered, r);
  // Before anything keeps it off: what is behind gear is not seen. A picture has no key, so that
  // what finds no place is left to the sheets.
  lettered.draft.finish(Draft::Crowded::left_out);
  keep_off_what_is_shown(lettered, r);
  name_ends(lettered, r);
  lettered.draft.finish(Draft::Crowded::left_out);
  return std::move(lettered.draft.page);
}

Status letter_room(RoomPicture& picture, const DrawingRequest& r, const Lettering& lettering) {
  return draw_over(picture.image, names_in_room(picture, r, lettering).marks, lettering);
}

}  // namespace roomloom
