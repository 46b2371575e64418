#include <algorithm>
#include <cmath>
#include <functional>
#include <set>
#include <utility>

#include "drawings/carried.h"
#include "drawings/dimensions.h"
#include "drawings/sheets.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kQuiet{1.8, false, false, {0.4, 0.4, 0.4}};
constexpr double kGearBefore_m = 0.8;  // gear this close before a wall is shown on its sheet

/// All but ceilings of tiles, which have a sheet of another kind.
bool drawn_as_elevation(const Room& room, std::size_t sheet) {
  return room.sheets[sheet].role != SheetRole::open_side &&
         std::none_of(room.grids.begin(), room.grids.end(),
                      [&](const TileGrid& grid) { return grid.sheet == static_cast<int>(sheet); });
}

bool from_below(const Sheet& sheet) {
  return sheet.role == SheetRole::ceiling || sheet.role == SheetRole::suspended_ceiling;
}

bool is_opening(Role role) { return role == Role::door || role == Role::window; }

bool is_fixed(Role role) {
  return role == Role::outlet || role == Role::vent || role == Role::power ||
         role == Role::obstacle || role == Role::luminaire || role == Role::hole;
}

/// What belongs to the wall is drawn as it is seen; what only stands before it, as ISO 128-2 has
/// the outlines of adjacent parts, since the view is cut just before the wall.
Pen pen_of_part(Role role) {
  if (is_opening(role)) return pen_of(LineKind::wide, shade(0.2));
  return is_fixed(role) ? pen_of(LineKind::narrow, shade(0.3))
                        : pen_of(LineKind::double_chain, shade(0.3));
}

/// What the sheet shows beside runs.
struct AlsoShown {
  bool gear = false, standing = false, fixed = false;
};

/// Openings, what is fixed to the wall and what stands before it, each with its name.
AlsoShown draw_keep_outs(Work& work, const Sheet& sheet) {
  AlsoShown also;
  for (const SheetKeepOut& keep_out : sheet.keep_outs) {
    const std::vector<Vec2> ring = on_paper(work.view, keep_out.ring, sheet.frame);
    Vec2 low{1e30, 1e30};
    Vec2 high{-1e30, -1e30};
    for (const Vec2& p : ring) extend(low, high, p);
    if (high.x - low.x < 0.3 || high.y - low.y < 0.3) continue;
    work.draft.shape(ring, pen_of_part(keep_out.what),
                     is_opening(keep_out.what) ? std::optional<Rgb>(shade(0.96)) : std::nullopt,
                     plain_text(keep_out.name));
    // A name upon a line of mains would be read as the line's.
    constexpr double kThin_mm = 4, kRoom_mm = 0.3;
    if (keep_out.what == Role::power && std::min(high.x - low.x, high.y - low.y) < kThin_mm)
      work.draft.keep_off(PaperBox{low, high}.grown(kRoom_mm));
    also.fixed |= is_fixed(keep_out.what);
    also.standing |= !is_fixed(keep_out.what) && !is_opening(keep_out.what);
    const double room = std::min(high.x - low.x, high.y - low.y);
    const bool fits =
        room > 4 && high.x - low.x > work.draft.text_width(plain_text(keep_out.name, 28), kQuiet);
    if (keep_out.name.empty()) continue;
    const Vec2 size = high - low;
    Label label{
        plain_text(keep_out.name, 28), low + 0.5 * size, kQuiet, fits ? 0 : room / 2 + 1, {}, ""};
    // Beside what is long and thin it may stand all along, after what has less choice.
    if (constexpr double kThinBy = 4; std::max(size.x, size.y) > kThinBy * room) {
      label.rank = 1;
      for (const double share : {0.35, 0.65, 0.2, 0.8, 0.08, 0.92})
        label.also.push_back(low + (size.x > size.y ? Vec2{share * size.x, size.y / 2}
                                                    : Vec2{size.x / 2, share * size.y}));
    }
    work.draft.label(std::move(label));
  }
  return also;
}

/// The pieces that are cut for this sheet.
std::vector<const RacewayPiece*> pieces_on(const DrawingRequest& r, const Sheet& sheet) {
  std::vector<const RacewayPiece*> pieces;
  const auto index = static_cast<int>(&sheet - r.room.sheets.data());
  for (const RacewayPiece& piece : r.takeoff.raceway_pieces)
    if (piece.sheet == index) pieces.push_back(&piece);
  return pieces;
}

/// Each piece by the name that it has in the list of pieces; what is a joint on paper is only
/// there.
void name_raceways(Work& work, const std::vector<const RacewayPiece*>& pieces) {
  constexpr double kLeast_m = 0.01;
  for (const RacewayPiece* piece : pieces) {
    if (piece->length_m < kLeast_m) continue;
    const double width =
        work.request.job.catalogue.raceways[static_cast<std::size_t>(piece->type)].width_m;
    const auto at = [&](double share) {
      return work.view((1 - share) * piece->from + share * piece->to);
    };
    // The middle is where runs have their names.
    Label label{
        piece->name, at(0.35), {1.8, false, false, shade(0.25)}, work.view.mm(width / 2) + 0.8,
        {},          ""};
    label.edge_mm = work.view.mm(width / 2);
    label.also = {at(0.65), at(0.5), at(0.2), at(0.8)};
    work.draft.label(std::move(label));
  }
}

/// What is cut for this sheet: "R3 · 40 x 25 · 1250: square, tee / square, end cap".
void list_raceways(Work& work, const std::vector<const RacewayPiece*>& pieces) {
  if (pieces.empty()) return;
  constexpr std::size_t kMost = 2000;  // as no ends have, however many runs leave there
  const DisplayUnits units = work.request.job.units;
  work.rows.push_back({"Raceway: pieces, from the left or from below", true, {}});
  for (const RacewayPiece* piece : pieces) {
    const RacewayType& type =
        work.request.job.catalogue.raceways[static_cast<std::size_t>(piece->type)];
    work.rows.push_back(
        {piece->name + " · " + raceway_words(type, units) + " · " +
             dimension(piece->length_m, units) + " long: " + plain_text(piece->start, kMost) +
             " / " + plain_text(piece->end, kMost) +
             (piece->ways_out.empty() ? ""
                                      : "; cut out for " + plain_text(piece->ways_out, kMost)) +
             (piece->fixed ? " (is there already)" : ""),
         false,
         {}});
  }
}

/// Raceway as wide as it is; where no pieces are cut, with its size at its middle.
void draw_raceways(Work& work, const Carried& carried, const Sheet& sheet) {
  const bool by_name = !pieces_on(work.request, sheet).empty();
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
        "raceway " + raceway_words(type, work.request.job.units) +
        (piece->count > 1 ? ", " + std::to_string(piece->count) + " side by side" : "");
    if (by_name || !named.insert(words + (upright ? "|" : "-")).second) continue;
    TextStyle style{1.8, false, false, shade(0.25)};
    Label label{words, work.view(0.25 * piece->from + 0.75 * piece->to),
                style, work.view.mm(type.width_m / 2) + 0.8,
                {},    ""};
    label.edge_mm = work.view.mm(type.width_m / 2);
    work.draft.label(std::move(label));
  }
}

std::vector<const OutletBox*> boxes_on(const DrawingRequest& r, const Sheet& sheet) {
  std::vector<const OutletBox*> boxes;
  for (const OutletBox& box : r.takeoff.boxes)
    if (&r.room.sheets[static_cast<std::size_t>(box.sheet)] == &sheet) boxes.push_back(&box);
  return boxes;
}

/// The boxes that jacks sit in, over the raceway that stops at their sides. Each has its name
/// beside it where there is room; the column tells which outlets it has.
void draw_boxes(Work& work, const Sheet& sheet) {
  constexpr double kBesideBox_mm = 4;
  for (const OutletBox* box : boxes_on(work.request, sheet)) {
    std::vector<Vec2> ring;
    for (const auto& [u, v] : {std::pair{-1, -1}, {1, -1}, {1, 1}, {-1, 1}})
      ring.push_back(work.view(box->centre + u * box->half_u_m * sheet.frame.u +
                               v * box->half_v_m * sheet.frame.v));
    work.draft.shape(ring, pen_of(LineKind::wide, shade(0.2)), shade(1),
                     box->there ? "Box that is there" : "Box " + box->name);
    if (box->there) continue;
    const double high = work.view.mm(box->half_v_m);
    Label label{box->name, work.view(box->centre), {1.8, true, false, shade(0.25)}, high + 0.8, {},
                ""};
    label.edge_mm = high;
    label.reach_mm = high + kBesideBox_mm;
    label.rank = 2;
    work.draft.label(std::move(label));
  }
}

/// "B2 · 146 x 86: data 3, data 4".
void list_boxes(Work& work, const Sheet& sheet) {
  const DrawingRequest& r = work.request;
  const std::vector<const OutletBox*> boxes = boxes_on(r, sheet);
  if (!boxes.empty()) work.rows.push_back({"Boxes, as large as they are taken to be", true, {}});
  for (const OutletBox* box : boxes) {
    std::string ends;
    for (const int end : box->ends)
      ends += (ends.empty() ? "" : ", ") +
              plain_text(r.ends.ends[static_cast<std::size_t>(end)].id, 24);
    work.rows.push_back({(box->there ? "is there already" : box->name) + " · " +
                             dimension(2 * box->half_u_m, r.job.units) + " x " +
                             dimension(2 * box->half_v_m, r.job.units) + ": " + ends,
                         false,
                         {}});
  }
}

/// The ready conduits that the stretches lie in, by their names.
void name_conduits(Work& work, const Carried& carried) {
  std::set<int> named;
  for (const auto* stretches : {&carried.on, &carried.before, &carried.behind}) {
    for (const Stretch* stretch : *stretches) {
      if (stretch->home.kind != PlaceKind::conduit || !named.insert(stretch->home.index).second)
        continue;
      const Conduit& conduit =
          work.request.room.conduits[static_cast<std::size_t>(stretch->home.index)];
      work.draft.label(
          {plain_text(conduit.name, 28), work.view(stretch->line.front()), kQuiet, 1.2, {}, ""});
    }
  }
}

/// Along each piece of raceway on the sheet, where a cap closes it.
void read_caps(const DrawingRequest& r, const Sheet& sheet,
               const std::function<void(const Vec2&, bool, bool)>& read) {
  for (const RacewayPiece& piece : r.takeoff.raceway_pieces) {
    if (piece.sheet < 0 || &r.room.sheets[static_cast<std::size_t>(piece.sheet)] != &sheet)
      continue;
    const Vec2 from = sheet.frame.to_plane(piece.from), to = sheet.frame.to_plane(piece.to);
    const bool level = std::abs(to.x - from.x) > std::abs(to.y - from.y);
    for (const auto& [end, words] : {std::pair{from, &piece.start}, {to, &piece.end}})
      if (words->find("end cap") != std::string::npos) read(end, !level, level);
  }
}

/// Heights above the lower edge and distances from the left one of all that is to be fixed, and of
/// the lines that cable takes where nothing is fixed.
void dimension_fixings(Work& work, const Carried& carried, const Sheet& sheet, FaceReadings face) {
  const auto read = [&](const Vec2& p, bool level, bool plumb) {
    add_reading(work, face, p, level, plumb);
  };
  for (const RacewayShape* piece : carried.raceways) {
    const Vec2 a = sheet.frame.to_plane(piece->from);
    const Vec2 b = sheet.frame.to_plane(piece->to);
    const bool level = std::abs(a.y - b.y) < 0.001;
    const bool plumb = std::abs(a.x - b.x) < 0.001;
    read(a.x + a.y < b.x + b.y ? a : b, level, plumb);
  }
  read_caps(work.request, sheet, read);
  for (const int end : carried.ends)
    read(sheet.frame.to_plane(work.request.ends.ends[static_cast<std::size_t>(end)].place.position),
         true, true);
  for (const HoleShape* hole : carried.holes) read(sheet.frame.to_plane(hole->centre), true, true);
  for (const auto* stretches : {&carried.on, &carried.before, &carried.behind})
    read_lines(work, *stretches, face);
  draw_readings(work, face, "Dimension across", "Dimension height");
}

bool is_sloping(const Sheet& sheet) {
  return std::abs(sheet.frame.v.z) < 0.999 && std::abs(sheet.frame.v.z) > 0.001;
}

/// How heights along a slope are found with a level: "Heights begin 1100 above the floor; each 1000
/// along the slope is 637 higher."
std::string slope_words(const DrawingRequest& r, const Sheet& sheet, const FaceReadings& face) {
  const DisplayUnits units = r.job.units;
  constexpr double kFoot_m = 0.3048;
  const bool metric = units == DisplayUnits::metric;
  const double step_m = metric ? 1 : kFoot_m;
  const double begin_m = sheet.frame.to_world(face.corner).z - r.room.floor_z_m;
  return "Heights begin " + unbroken(dimension(begin_m, units)) + " above the floor; each " +
         unbroken(metric ? dimension(step_m, units) : "1 ft") + " along the slope is " +
         unbroken(dimension(std::abs(sheet.frame.v.z) * step_m, units)) + " higher.";
}

void describe(Work& work, const Sheet& sheet, const Carried& carried, const AlsoShown& also,
              bool moving, const FaceReadings& face) {
  work.rows.push_back({"Also drawn", true, {}});
  draw_coil_supports(work, carried.ends);
  if (!carried.raceways.empty())
    work.rows.push_back({"raceway, at its true width", false, Pen{shade(0.86), 1.6, {}}});
  const bool floor = sheet.role == SheetRole::floor;
  if (!carried.behind.empty())
    work.rows.push_back(
        {floor ? "below the floor" : "within the wall", false, pen_of(LineKind::dashed)});
  // One kind of line for all that stands there: the drawing says what it is.
  if (also.gear || also.standing)
    work.rows.push_back({floor ? "what stands on it" : "what stands before it, cut away", false,
                         pen_of(LineKind::double_chain, shade(0.3))});
  if (also.fixed)
    work.rows.push_back({"what is fixed to it", false, pen_of(LineKind::narrow, shade(0.3))});
  const auto lies_in = [&](PlaceKind kind) {
    const auto is = [&](const Stretch* stretch) { return stretch->home.kind == kind; };
    return std::any_of(carried.before.begin(), carried.before.end(), is);
  };
  if (lies_in(PlaceKind::conduit))
    work.rows.push_back({"Runs in a conduit that is there already are drawn along it.", false, {}});
  if (lies_in(PlaceKind::zone))
    work.rows.push_back(
        {floor ? "Runs that lie free on the floor are drawn where they lie."
               : "Runs that lie free before this face, out of sight, are drawn where they "
                 "are seen from the room.",
         false,
         {}});
  if (moving)
    work.rows.push_back(
        {"where things move and people walk: nothing lies there", false, moving_pen()});
  const std::string build =
      sheet.build == Build::unknown ? "" : std::string(" Build: ") + to_string(sheet.build) + ".";
  work.rows.push_back(
      {(floor ? "Seen from above."
        : from_below(sheet)
            ? "Seen from below, lying on your back with your feet toward the lower edge."
            : "Seen square from inside the room.") +
           build,
       false,
       {}});
  work.rows.push_back({std::string("Dimensions are read from ") + corner_words(face) +
                           (is_sloping(sheet) ? ", upward along the slope, not plumb" : "") +
                           ", to the middle of raceway and of lines, to its free ends, and to the "
                           "centre of outlets and devices.",
                       false,
                       {}});
  if (is_sloping(sheet)) work.rows.push_back({slope_words(work.request, sheet, face), false, {}});
}

bool stands_before(const Sheet& sheet, const GearBox& gear) {
  if (sheet.role == SheetRole::floor) return true;
  if (from_below(sheet)) return false;
  return sheet.frame.height(gear.frame.origin) < kGearBefore_m &&
         sheet.frame.height(gear.frame.origin) > -0.01 &&
         contains(sheet.region.outline, sheet.frame.to_plane(gear.frame.to_world(0.5 * gear.size)));
}

std::vector<Page> elevation(const DrawingRequest& r, const Trunks& trunks, const Hand& hand,
                            const Sheet& sheet, const Carried& carried) {
  const std::string name = plain_text(sheet.name, 30);
  const char* seen = sheet.role == SheetRole::floor ? " from above"
                     : from_below(sheet)            ? " from below"
                                                    : " from inside";
  Work work(r, hand, name + seen, stem_of(name));
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec2& p : sheet.region.outline) extend(low, high, p);
  fit_sheet(work, sheet.frame, low, high, dimensioned(work));
  const FaceReadings face = readings_of(work, sheet.region.outline);
  work.draft.shape(on_paper(work.view, sheet.region.outline, sheet.frame), Pen{shade(0), 0.7, {}},
                   std::nullopt, "Outline");
  for (const Ring& hole : sheet.region.holes)
    work.draft.shape(on_paper(work.view, hole, sheet.frame), pen_of(LineKind::wide, shade(0.2)),
                     shade(0.96), "Opening");
  AlsoShown also = draw_keep_outs(work, sheet);
  for (const GearBox& gear : r.ends.gear) {
    if (!stands_before(sheet, gear)) continue;
    draw_gear_outline(work, gear);
    also.gear = true;
  }
  const bool moving = sheet.role == SheetRole::floor && draw_moving(work, true);
  dimension_fixings(work, carried, sheet, face);
  draw_raceways(work, carried, sheet);
  draw_boxes(work, sheet);
  ShownStretches stretches{carried.on, carried.behind, {}, named_at(r, carried.ends)};
  stretches.seen.insert(stretches.seen.end(), carried.before.begin(), carried.before.end());
  draw_stretches(work, trunks, stretches);
  const std::vector<const RacewayPiece*> pieces = pieces_on(r, sheet);
  name_raceways(work, pieces);
  list_raceways(work, pieces);
  list_boxes(work, sheet);
  name_conduits(work, carried);
  for (const int end : carried.ends) draw_end(work, end);
  for (const HoleShape* hole : carried.holes) draw_hole(work, *hole);
  if (sheet.role == SheetRole::floor) name_walls(work);
  describe(work, sheet, carried, also, moving, face);
  draw_foot(work);
  return finished(work);
}

}  // namespace

void draw_elevations(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                     const Lettering& lettering) {
  const std::vector<Carried> all = carried_by(r, trunks);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].empty() && drawn_as_elevation(r.room, i))
      append_legible(pages, lettering, [&](const Hand& hand) {
        return elevation(r, trunks, hand, r.room.sheets[i], all[i]);
      });
  }
}

}  // namespace roomloom
