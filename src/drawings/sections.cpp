#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "drawings/sheets.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHeading{2.2, true, false, {0.1, 0.1, 0.1}};

/// One cut through a trunk.
struct Section {
  std::string name, place;
  std::vector<int> runs;
  Vec3 from, to, away;
  int raceway = -1;  ///< into the catalogue; -1 = none
};

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

double area_of(const DrawingRequest& r, int run) {
  const double d = at(r.job.catalogue.cables, at(r.ends.runs, run).cable).diameter_m;
  return kPi * d * d / 4;
}

std::string trunk_or_run(const DrawingRequest& r, const Trunks& trunks, std::vector<int> runs) {
  std::sort(runs.begin(), runs.end());
  const auto found = std::find(trunks.sets.begin(), trunks.sets.end(), runs);
  if (found != trunks.sets.end()) return trunk_name(static_cast<int>(found - trunks.sets.begin()));
  return shortened(run_ids(runs, r.ends), 4);
}

/// Each raceway size with each set of runs once, at its longest piece.
std::vector<Section> raceway_sections(const DrawingRequest& r, const Trunks& trunks) {
  std::map<std::pair<int, std::vector<int>>, const RacewayShape*> longest;
  for (const RacewayShape& piece : r.shapes.raceways) {
    const RacewayShape*& kept = longest[{piece.raceway, piece.runs}];
    if (kept == nullptr || distance(piece.from, piece.to) > distance(kept->from, kept->to))
      kept = &piece;
  }
  std::vector<Section> sections;
  for (const auto& [key, piece] : longest) {
    const std::string where = piece->sheet >= 0 ? at(r.room.sheets, piece->sheet).name : "";
    sections.push_back({trunk_or_run(r, trunks, piece->runs), plain_text(where, 20), piece->runs,
                        piece->from, piece->to, piece->normal, piece->raceway});
  }
  return sections;
}

/// Each set of runs that goes together through a void, at its longest straight.
std::vector<Section> void_sections(const DrawingRequest& r, const Trunks& trunks) {
  std::map<int, Section> longest;
  for (const Stretch& stretch : trunks.stretches) {
    if (stretch.trunk < 0 || stretch.home.kind != PlaceKind::void_space) continue;
    for (std::size_t i = 0; i + 1 < stretch.line.size(); ++i) {
      const Vec3& a = stretch.line[i];
      const Vec3& b = stretch.line[i + 1];
      const auto found = longest.find(stretch.trunk);
      if (found != longest.end() &&
          distance(found->second.from, found->second.to) >= distance(a, b))
        continue;
      const bool plumb = std::abs(normalized(b - a).z) > 0.7;
      longest[stretch.trunk] = {trunk_name(stretch.trunk),
                                plain_text(at(r.room.voids, stretch.home.index).name, 20),
                                stretch.runs,
                                a,
                                b,
                                plumb ? Vec3{0, 1, 0} : Vec3{0, 0, 1},
                                -1};
    }
  }
  std::vector<Section> sections;
  for (auto& [trunk, section] : longest) sections.push_back(std::move(section));
  return sections;
}

/// A cable's cut face: its service's colour round it, its id in it or beside it.
void draw_cable(Draft& draft, const DrawingRequest& r, int run_index, const Vec2& centre,
                double mm_per_m) {
  const Run& run = at(r.ends.runs, run_index);
  const Rgb colour = srgb(service_colour(run.service));
  const double radius = at(r.job.catalogue.cables, run.cable).diameter_m / 2 * mm_per_m;
  const std::string id = plain_text(run.id, 16);
  draft.circle(centre, radius, Pen{colour, 0.5, {}}, paler(colour, 0.75), "Run " + id);
  TextStyle style{std::min(2.5, radius * 0.6), true, false, shade(0.05)};
  style.cap_mm = std::max(1.8, style.cap_mm);
  const double width = draft.text_width(id, style);
  if (width < 1.8 * radius && style.cap_mm < 1.2 * radius &&
      draft.text(id, centre + Vec2{-width / 2, style.cap_mm / 2}, style))
    return;
  draft.label({id, centre, style, radius + 0.5, {}, id});
}

void draw_raceway(Draft& draft, const RacewayType& type, const Vec2& middle, double mm_per_m) {
  const auto box = [&](double width, double depth) {
    const Vec2 half{width / 2 * mm_per_m, depth / 2 * mm_per_m};
    return std::vector<Vec2>{middle - half, middle + Vec2{half.x, -half.y}, middle + half,
                             middle + Vec2{-half.x, half.y}};
  };
  draft.shape(box(type.width_m, type.depth_m), pen_of(LineKind::wide), shade(0.85),
              "Raceway " + plain_text(type.id, 20));
  draft.shape(box(type.inner_width_m, type.inner_depth_m), pen_of(LineKind::narrow), shade(1));
  // The wall it lies on, hatched as ISO 128-3 does cut material.
  const double left = middle.x - type.width_m / 2 * mm_per_m - 4;
  const double right = middle.x + type.width_m / 2 * mm_per_m + 4;
  const double base = middle.y + type.depth_m / 2 * mm_per_m;
  draft.path({{left, base}, {right, base}}, pen_of(LineKind::wide));
  for (double x = left + 1; x < right; x += 2.5)
    draft.path({{x + 1.5, base}, {x, base + 1.5}}, {shade(0.4), 0.13, {}});
}

std::string fill_text(const DrawingRequest& r, const Section& section) {
  double sum = 0;
  for (const int run : section.runs) sum += area_of(r, run);
  if (section.raceway < 0)
    return counted(static_cast<int>(section.runs.size()), "cable") + ", " +
           (r.job.units == DisplayUnits::metric
                ? format_number(sum * 1e6, 0) + " mm²"
                : format_number(sum / (0.0254 * 0.0254), 2) + " sq in") +
           " together";
  const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
  const double clear = type.inner_width_m * type.inner_depth_m;
  if (clear <= 0) return "";
  return counted(static_cast<int>(section.runs.size()), "cable") + ", filled to " +
         format_number(100 * sum / clear, 0) + " % of at most " +
         format_number(100 * r.job.prefer.fill_limit, 0) + " %";
}

/// Bounds of what a section shows, metres, about the middle of its line.
Box2 extent(const DrawingRequest& r, const Section& section, const std::map<int, Vec2>& lanes) {
  Box2 box{{1e30, 1e30}, {-1e30, -1e30}};
  for (const auto& [run, lane] : lanes) {
    const double radius = at(r.job.catalogue.cables, at(r.ends.runs, run).cable).diameter_m / 2;
    extend(box.low, box.high, lane - Vec2{radius, radius});
    extend(box.low, box.high, lane + Vec2{radius, radius});
  }
  if (section.raceway >= 0) {
    const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
    const Vec2 half{type.width_m / 2, type.depth_m / 2};
    extend(box.low, box.high, {-half.x, -half.y});
    extend(box.low, box.high, half);
  }
  if (box.low.x > box.high.x) box = {{-0.01, -0.01}, {0.01, 0.01}};
  return box;
}

std::map<int, Vec2> lanes_of(const DrawingRequest& r, const Section& section) {
  std::map<int, Vec2> lanes;
  for (const int run : section.runs) {
    const auto lane =
        lanes_beside(at(r.shapes.cables, run), section.from, section.to, section.away);
    if (lane.empty()) continue;
    if (section.raceway >= 0) {
      // A piece that slants in from outside says nothing of where the cable lies within.
      const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
      if (std::abs(lane.front().x) > type.inner_width_m / 2 ||
          std::abs(lane.front().y) > type.inner_depth_m / 2)
        continue;
    }
    lanes[run] = lane.front();
  }
  return lanes;
}

/// A cell with its heading, the section in its middle, and its fill below.
void draw_section(Draft& draft, const DrawingRequest& r, const Section& section, const Box2& cell,
                  double mm_per_m) {
  const std::map<int, Vec2> lanes = lanes_of(r, section);
  const Box2 box = extent(r, section, lanes);
  const std::string size =
      section.raceway < 0
          ? ""
          : " · " + plain_text(at(r.job.catalogue.raceways, section.raceway).id, 16);
  draft.text(section.name + size, cell.low + Vec2{4, 6}, kHeading);
  draft.text(section.place, cell.low + Vec2{4, 10}, kBody);
  draft.text(fill_text(r, section), {cell.low.x + 4, cell.high.y - 3}, kBody);
  const Vec2 shift = box.centre();
  const Vec2 middle{cell.centre().x, cell.centre().y + 2};
  const auto paper = [&](const Vec2& p) {
    return middle + Vec2{(p.x - shift.x) * mm_per_m, -(p.y - shift.y) * mm_per_m};
  };
  if (section.raceway >= 0)
    draw_raceway(draft, at(r.job.catalogue.raceways, section.raceway), paper({0, 0}), mm_per_m);
  std::string missing;
  for (const int run : section.runs) {
    const auto lane = lanes.find(run);
    if (lane == lanes.end()) {
      missing += " " + plain_text(at(r.ends.runs, run).id, 16);
    } else {
      draw_cable(draft, r, run, paper(lane->second), mm_per_m);
    }
  }
  if (!missing.empty())
    draft.text("without a straight here:" + missing, {cell.low.x + 4, cell.high.y - 7}, kBody);
}

/// How far a section may be enlarged: 2:1, true size, or smaller.
double enlargement(const DrawingRequest& r, const std::vector<Section>& sections, double width,
                   double height) {
  for (const double scale : {2.0, 1.0, 0.5, 0.2}) {
    const bool fits = std::all_of(sections.begin(), sections.end(), [&](const Section& section) {
      const Box2 box = extent(r, section, lanes_of(r, section));
      return box.width() * 1000 * scale < width - 12 && box.height() * 1000 * scale < height - 22;
    });
    if (fits) return scale;
  }
  return 0.1;
}

void describe(Work& work) {
  work.rows.push_back({"How to read it", true, {}});
  work.rows.push_back(
      {"Cut square through each trunk, each cable in its lane, at its outer "
       "diameter.",
       false,
       {}});
  work.rows.push_back(
      {"In raceway: cross-section of the cables over the clear section within. The limit is the "
       "job's own.",
       false,
       {}});
  work.rows.push_back({"In a void: seen along the run, up is up.", false, {}});
  work.rows.push_back({"Service", true, {}});
  for (const ServiceSum& sum : service_sums(work.request))
    work.rows.push_back(
        {to_string(sum.service), false, Pen{srgb(service_colour(sum.service)), 1.2, {}}});
}

}  // namespace

void draw_sections(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                   const Lettering& lettering) {
  std::vector<Section> sections = raceway_sections(r, trunks);
  for (Section& section : void_sections(r, trunks)) sections.push_back(std::move(section));
  const PaperLayout l = layout_of(r.paper);
  const Box2 area{l.drawing.low, {l.drawing.high.x, l.border.high.y}};
  const int columns = r.paper == Paper::a3 ? 4 : 2;
  const int rows = r.paper == Paper::a3 ? 5 : 4;
  const double width = area.width() / columns;
  const double height = area.height() / rows;
  const double scale = enlargement(r, sections, width, height);
  const auto each = static_cast<std::size_t>(columns * rows);
  for (std::size_t first = 0; first < sections.size(); first += each) {
    Work work(r, lettering, "Cross-sections of trunks", "trunks");
    work.scale_text =
        scale >= 1 ? format_number(scale, 0) + ":1" : "1:" + format_number(1 / scale, 0);
    for (std::size_t i = first; i < std::min(sections.size(), first + each); ++i) {
      const auto k = static_cast<int>(i - first);
      const Vec2 low = area.low + Vec2{k % columns * width, k / columns * height};
      const Box2 cell{low, low + Vec2{width, height}};
      work.draft.shape({cell.low, {cell.high.x, cell.low.y}, cell.high, {cell.low.x, cell.high.y}},
                       Pen{shade(0.75), 0.13, {}}, std::nullopt);
      draw_section(work.draft, r, sections[i], cell, 1000 * scale);
    }
    describe(work);
    for (Page& page : finished(work)) pages.push_back(std::move(page));
  }
}

}  // namespace roomloom
