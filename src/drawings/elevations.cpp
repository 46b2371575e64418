#include <algorithm>
#include <cmath>
#include <set>

#include "drawings/dimensions.h"
#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kQuiet{1.8, false, false, {0.4, 0.4, 0.4}};
constexpr double kBefore = 0.8;  // what lies free this close before a wall is shown on its sheet

/// What one sheet of the room carries.
struct Carried {
  std::vector<const Stretch*> on, in, before;  ///< on its face, in its bays, lying free before it
  std::vector<const RacewayShape*> raceways;
  std::vector<int> ends;
  std::vector<const HoleShape*> holes;
  bool empty() const {
    return on.empty() && in.empty() && before.empty() && raceways.empty() && ends.empty() &&
           holes.empty();
  }
};

bool drawn_as_elevation(const Sheet& sheet) {
  return sheet.role != SheetRole::suspended_ceiling && sheet.role != SheetRole::ceiling &&
         sheet.role != SheetRole::open_side;
}

bool behind_gear(const Ends& ends, int zone) {
  return std::any_of(ends.gear.begin(), ends.gear.end(),
                     [&](const GearBox& gear) { return gear.zone == zone; });
}

/// The wall or floor that a stretch lying free is nearest to.
int backdrop_of(const Room& room, const Stretch& stretch) {
  int best = -1;
  double least = kBefore;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (sheet.role != SheetRole::wall || sheet.front_air != room.main_air) continue;
    double far = 0;
    for (const Vec3& p : stretch.line) {
      const double height = sheet.frame.height(p);
      far = std::max(far, height < -0.02 ? 1e9 : height);
      if (border_distance(sheet.region, sheet.frame.to_plane(p)) > 0.1 &&
          !contains(sheet.region.outline, sheet.frame.to_plane(p)))
        far = 1e9;
    }
    if (far >= least) continue;
    least = far;
    best = static_cast<int>(i);
  }
  return best;
}

void add_stretch(std::vector<Carried>& all, const DrawingRequest& r, const Stretch& stretch) {
  const auto of = [&](int sheet) -> Carried& { return all[static_cast<std::size_t>(sheet)]; };
  if (stretch.home.kind == PlaceKind::sheet) {
    of(stretch.home.index).on.push_back(&stretch);
  } else if (stretch.home.kind == PlaceKind::void_space) {
    const int wall = r.room.voids[static_cast<std::size_t>(stretch.home.index)].wall;
    if (wall >= 0) of(wall).in.push_back(&stretch);
  } else if (stretch.home.kind == PlaceKind::zone && !behind_gear(r.ends, stretch.home.index)) {
    const int wall = backdrop_of(r.room, stretch);
    if (wall >= 0) of(wall).before.push_back(&stretch);
  }
}

std::vector<Carried> carried_by(const DrawingRequest& r, const Trunks& trunks) {
  std::vector<Carried> all(r.room.sheets.size());
  const auto of = [&](int sheet) -> Carried& { return all[static_cast<std::size_t>(sheet)]; };
  for (const Stretch& stretch : trunks.stretches) add_stretch(all, r, stretch);
  for (const RacewayShape& piece : r.shapes.raceways)
    if (piece.sheet >= 0) of(piece.sheet).raceways.push_back(&piece);
  for (std::size_t i = 0; i < r.ends.ends.size(); ++i) {
    const PlaceId& home = r.ends.ends[i].place.home;
    if (home.kind == PlaceKind::sheet) of(home.index).ends.push_back(static_cast<int>(i));
  }
  for (const HoleShape& hole : r.shapes.holes) {
    const Crossing& crossing = r.room.crossings[static_cast<std::size_t>(hole.crossing)];
    for (const PlaceId& side : {crossing.from, crossing.to})
      if (side.kind == PlaceKind::sheet) of(side.index).holes.push_back(&hole);
  }
  return all;
}

/// Openings and what is fixed to the wall, each outline once with its name.
void draw_keep_outs(Work& work, const Sheet& sheet) {
  for (const SheetKeepOut& keep_out : sheet.keep_outs) {
    const std::vector<Vec2> ring = on_paper(work.view, keep_out.ring, sheet.frame);
    Vec2 low{1e30, 1e30};
    Vec2 high{-1e30, -1e30};
    for (const Vec2& p : ring) extend(low, high, p);
    if (high.x - low.x < 0.3 || high.y - low.y < 0.3) continue;
    const bool opening = keep_out.what == Role::door || keep_out.what == Role::window;
    work.draft.shape(
        ring, opening ? pen_of(LineKind::wide, shade(0.2)) : pen_of(LineKind::narrow, shade(0.45)),
        opening ? std::optional<Rgb>(shade(0.96)) : std::nullopt, plain_text(keep_out.name));
    const double room = std::min(high.x - low.x, high.y - low.y);
    const bool fits =
        room > 4 && high.x - low.x > work.draft.text_width(plain_text(keep_out.name, 28), kQuiet);
    if (!keep_out.name.empty())
      work.draft.label({plain_text(keep_out.name, 28),
                        0.5 * (low + high),
                        kQuiet,
                        fits ? 0 : room / 2 + 1,
                        {},
                        ""});
  }
}

/// Raceway as wide as it is, with its size at its middle.
void draw_raceways(Work& work, const Carried& carried, const Sheet& sheet) {
  std::set<std::string> named;
  std::vector<const RacewayShape*> pieces = carried.raceways;
  std::stable_sort(pieces.begin(), pieces.end(), [](const auto* a, const auto* b) {
    return distance(a->from, a->to) > distance(b->from, b->to);
  });
  for (const RacewayShape* piece : pieces) {
    const RacewayType& type =
        work.request.job.catalogue.raceways[static_cast<std::size_t>(piece->raceway)];
    const Vec3 half = type.width_m / 2 * normalized(cross(sheet.frame.n, piece->to - piece->from));
    std::vector<Vec2> ring;
    for (const Vec3& p :
         {piece->from + half, piece->to + half, piece->to - half, piece->from - half})
      ring.push_back(work.view(p));
    const std::string id = plain_text(type.id, 20);
    work.draft.shape(ring, Pen{shade(0.25), 0.18, {}}, shade(0.86), "Raceway " + id);
    const bool upright = std::abs(dot(piece->to - piece->from, sheet.frame.v)) >
                         std::abs(dot(piece->to - piece->from, sheet.frame.u));
    const std::string words =
        "raceway " + id +
        (piece->count > 1 ? ", " + std::to_string(piece->count) + " side by side" : "");
    if (!named.insert(words + (upright ? "|" : "-")).second) continue;
    TextStyle style{1.8, false, false, shade(0.25)};
    work.draft.label({words,
                      work.view(0.25 * piece->from + 0.75 * piece->to),
                      style,
                      work.view.mm(type.width_m / 2) + 0.8,
                      {},
                      ""});
  }
}

/// Heights above the lower edge and distances from the left one of all that is to be fixed.
void dimension_fixings(Work& work, const Carried& carried, const Sheet& sheet, const Vec2& low,
                       const Vec2& high) {
  std::vector<Reading> across = {{high.x - low.x, work.view.at({high.x, low.y})}};
  std::vector<Reading> up = {{high.y - low.y, work.view.at({low.x, high.y})}};
  const auto read = [&](const Vec2& p, bool level, bool plumb) {
    if (plumb) across.push_back({p.x - low.x, work.view.at(p)});
    if (level) up.push_back({p.y - low.y, work.view.at(p)});
  };
  for (const RacewayShape* piece : carried.raceways) {
    const Vec2 a = sheet.frame.to_plane(piece->from);
    const Vec2 b = sheet.frame.to_plane(piece->to);
    const bool level = std::abs(a.y - b.y) < 0.001;
    const bool plumb = std::abs(a.x - b.x) < 0.001;
    read(a.x + a.y < b.x + b.y ? a : b, level, plumb);
  }
  for (const int end : carried.ends)
    read(sheet.frame.to_plane(work.request.ends.ends[static_cast<std::size_t>(end)].place.position),
         true, true);
  for (const HoleShape* hole : carried.holes) read(sheet.frame.to_plane(hole->centre), true, true);
  const Vec2 origin = work.view.at(low);
  running_dimensions(work, false, origin.y + 6, origin, across, "Dimension across");
  running_dimensions(work, true, origin.x - 6, origin, up, "Dimension height");
}

void describe(Work& work, const Sheet& sheet, const Carried& carried, bool moving) {
  work.rows.push_back({"Also drawn", true, {}});
  if (!carried.raceways.empty())
    work.rows.push_back({"raceway, at its true width", false, Pen{shade(0.86), 1.6, {}}});
  if (!carried.in.empty())
    work.rows.push_back({"in the wall's bays", false, pen_of(LineKind::dashed)});
  if (!carried.before.empty())
    work.rows.push_back(
        {"Runs that lie free before this face, out of sight, are drawn where they "
         "are seen from the room.",
         false,
         {}});
  work.rows.push_back({"gear before it", false, pen_of(LineKind::double_chain, shade(0.3))});
  if (moving)
    work.rows.push_back(
        {"where things move and people walk: nothing lies there", false, moving_pen()});
  const bool floor = sheet.role == SheetRole::floor;
  const std::string build =
      sheet.build == Build::unknown ? "" : std::string(" Build: ") + to_string(sheet.build) + ".";
  work.rows.push_back(
      {(floor ? "Seen from above." : "Seen square from inside the room.") + build, false, {}});
  work.rows.push_back(
      {"Running dimensions are read from the lower left corner, to the middle of "
       "raceway and to the centre of ends.",
       false,
       {}});
}

bool stands_before(const Sheet& sheet, const GearBox& gear) {
  if (sheet.role == SheetRole::floor) return true;
  return sheet.frame.height(gear.frame.origin) < kBefore &&
         sheet.frame.height(gear.frame.origin) > -0.01 &&
         contains(sheet.region.outline, sheet.frame.to_plane(gear.frame.to_world(0.5 * gear.size)));
}

void draw_elevation(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                    const Lettering& lettering, const Sheet& sheet, const Carried& carried) {
  const std::string name = plain_text(sheet.name, 30);
  Work work(r, lettering, name + (sheet.role == SheetRole::floor ? " from above" : " from inside"),
            stem_of(name));
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : sheet.region.outline) extend(low, high, p);
  fit_view(work, sheet.frame, low, high, {});
  work.draft.shape(on_paper(work.view, sheet.region.outline, sheet.frame), Pen{shade(0), 0.7, {}},
                   std::nullopt, "Outline");
  for (const Ring& hole : sheet.region.holes)
    work.draft.shape(on_paper(work.view, hole, sheet.frame), pen_of(LineKind::wide, shade(0.2)),
                     shade(0.96), "Opening");
  draw_keep_outs(work, sheet);
  for (const GearBox& gear : r.ends.gear)
    if (stands_before(sheet, gear)) draw_gear_outline(work, gear);
  const bool moving = sheet.role == SheetRole::floor && draw_moving(work, true);
  dimension_fixings(work, carried, sheet, low, high);
  draw_raceways(work, carried, sheet);
  std::vector<const Stretch*> stretches = carried.on;
  stretches.insert(stretches.end(), carried.before.begin(), carried.before.end());
  const std::size_t hidden_from = stretches.size();
  stretches.insert(stretches.end(), carried.in.begin(), carried.in.end());
  draw_stretches(work, trunks, stretches, hidden_from);
  for (const int end : carried.ends) draw_end(work, end);
  for (const HoleShape* hole : carried.holes) draw_hole(work, *hole);
  describe(work, sheet, carried, moving);
  draw_foot(work);
  for (Page& page : finished(work)) pages.push_back(std::move(page));
}

}  // namespace

void draw_elevations(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                     const Lettering& lettering) {
  const std::vector<Carried> all = carried_by(r, trunks);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].empty() && drawn_as_elevation(r.room.sheets[i]))
      draw_elevation(pages, r, trunks, lettering, r.room.sheets[i], all[i]);
  }
}

}  // namespace roomloom
