#include <algorithm>
#include <cmath>

#include "base/steps.h"
#include "drawings/section_list.h"
#include "drawings/sheets.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHeading{2.2, true, false, {0.1, 0.1, 0.1}};
constexpr double kEdge = 4;
constexpr double kBeside = 9, kAbove = 5;  // left round a section for ids
constexpr int kModules = 12;               // widths of cells are whole parts of the area's

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

/// A section ready to be drawn.
struct Cut {
  CrossSection section;
  std::map<int, Vec2> lanes;
  PaperBox box;  ///< of what is drawn, metres, about the line
  std::string heading;
  std::vector<std::string> foot;
};

/// Distances that grow with the lettering, mm.
struct Spacing {
  explicit Spacing(const Draft& draft) : cap(draft.cap_mm(kBody)) {}
  double cap;
  double line() const { return 2.2 * cap; }
  double first() const { return 3.2 * cap; }  ///< the heading's base line
  double head() const { return first() + 1.5 * line(); }
};

/// The id stands upon the cable's face if it has room there, else beside it within the cell.
void draw_cable(Draft& draft, const DrawingRequest& r, int run_index, const Vec2& centre,
                double mm_per_m, const PaperBox& cell) {
  const Run& run = at(r.ends.runs, run_index);
  const Rgb colour = visible(srgb(service_colour(run.service)));
  const double radius = at(r.job.catalogue.cables, run.cable).diameter_m / 2 * mm_per_m;
  const std::string id = plain_text(run.id, 16);
  draft.circle(centre, radius, Pen{colour, 0.5, {}}, paler(colour, 0.75), "Run " + id);
  for (const double cap : {2.5, 2.2, 1.8}) {
    TextStyle style = kBody;
    style.cap_mm *= cap / draft.cap_mm(kBody);
    const double width = draft.text_width(id, style);
    const double chord = 2 * std::sqrt(std::max(0.0, radius * radius - cap * cap / 4));
    if (width < chord - 0.4 && draft.text(id, centre + Vec2{-width / 2, cap / 2}, style)) return;
  }
  Label label{id, centre, kBody, radius + 0.5, {}, ""};
  label.edge_mm = radius;
  label.within = cell;
  draft.label(std::move(label));
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
  for (const double x : steps_below(left + 1, right, 2.5))
    draft.path({{x + 1.5, base}, {x, base + 1.5}}, {shade(0.4), 0.13, {}});
}

/// Bounds of what a section shows, metres, about the middle of its line.
PaperBox extent(const DrawingRequest& r, const CrossSection& section,
                const std::map<int, Vec2>& lanes) {
  PaperBox box{{1e30, 1e30}, {-1e30, -1e30}};
  const auto add = [&](const Vec2& centre, double half_width, double half_height) {
    extend(box.low, box.high, centre - Vec2{half_width, half_height});
    extend(box.low, box.high, centre + Vec2{half_width, half_height});
  };
  for (const auto& [run, lane] : lanes) {
    const double radius = at(r.job.catalogue.cables, at(r.ends.runs, run).cable).diameter_m / 2;
    add(lane, radius, radius);
  }
  if (section.raceway >= 0) {
    const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
    add({}, type.width_m / 2, type.depth_m / 2);
  }
  if (section.conduit >= 0) {
    const double radius = at(r.room.conduits, section.conduit).inside_diameter_m / 2;
    add({}, radius, radius);
  }
  if (box.low.x > box.high.x) box = {{-0.01, -0.01}, {0.01, 0.01}};
  return box;
}

Cut cut_of(const DrawingRequest& r, CrossSection section) {
  Cut cut;
  cut.lanes = lanes_of(r, section);
  cut.box = extent(r, section, cut.lanes);
  cut.heading = section.name;
  if (section.raceway >= 0) {
    const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
    cut.heading += " · " + plain_text(type.id, 16);
    const std::string size = raceway_size(type, r.job.units);
    section.place += (section.place.empty() || size.empty() ? "" : " · ") + size;
  }
  cut.foot = fill_lines(r, section);
  std::vector<std::string> missing;
  for (const int run : section.runs)
    if (cut.lanes.count(run) == 0) missing.push_back(plain_text(at(r.ends.runs, run).id, 16));
  if (!missing.empty()) cut.foot.push_back("not straight here: " + shortened(missing, 6));
  cut.section = std::move(section);
  return cut;
}

/// Is there something to be seen of who lies beside whom?
bool shows_something(const Cut& cut) {
  const std::size_t all = cut.section.runs.size();
  return all < 2 ? !cut.lanes.empty() : cut.lanes.size() > 1 && 2 * cut.lanes.size() >= all;
}

/// What has no straight to be cut in, as words.
void list_uncut(Work& work, const std::vector<Cut>& cuts) {
  if (cuts.empty()) return;
  work.rows.push_back({"Too short or too bent to be cut", true, {}});
  for (const Cut& cut : cuts) {
    std::string text = cut.heading;
    if (!cut.section.place.empty()) text += ", " + cut.section.place;
    text += ":";
    for (const std::string& id : run_ids(cut.section.runs, work.request.ends)) text += " " + id;
    for (const std::string& line : fill_lines(work.request, cut.section)) text += ", " + line;
    work.rows.push_back({text, false, {}});
  }
}

/// A cell with its heading, the section in its middle, and its fill below.
void draw_section(Draft& draft, const DrawingRequest& r, const Cut& cut, const PaperBox& cell,
                  double mm_per_m) {
  draft.shape({cell.low, {cell.high.x, cell.low.y}, cell.high, {cell.low.x, cell.high.y}},
              Pen{shade(0.75), 0.13, {}}, std::nullopt);
  const Spacing spacing(draft);
  draft.write(cut.heading, cell.low + Vec2{kEdge, spacing.first()}, kHeading);
  draft.write(cut.section.place, cell.low + Vec2{kEdge, spacing.first() + spacing.line()}, kBody);
  double base = cell.high.y - 3 - spacing.line() * static_cast<double>(cut.foot.size() - 1);
  const Vec2 middle{cell.centre().x, (cell.low.y + spacing.head() + base - spacing.line()) / 2};
  for (const std::string& line : cut.foot) {
    draft.write(line, {cell.low.x + kEdge, base}, kBody);
    base += spacing.line();
  }
  const Vec2 shift = cut.box.centre();
  const auto paper = [&](const Vec2& p) {
    return middle + Vec2{(p.x - shift.x) * mm_per_m, -(p.y - shift.y) * mm_per_m};
  };
  if (cut.section.raceway >= 0)
    draw_raceway(draft, at(r.job.catalogue.raceways, cut.section.raceway), paper({}), mm_per_m);
  if (cut.section.conduit >= 0) {
    const Conduit& conduit = at(r.room.conduits, cut.section.conduit);
    draft.circle(paper({}), conduit.inside_diameter_m / 2 * mm_per_m, pen_of(LineKind::wide),
                 shade(1), "Conduit " + plain_text(conduit.name));
  }
  for (const auto& [run, lane] : cut.lanes) draw_cable(draft, r, run, paper(lane), mm_per_m, cell);
}

struct Placed {
  std::size_t cut;
  PaperBox cell;
};

/// How wide and high a cell must be, mm; a width of whole modules.
Vec2 cell_size(const Draft& draft, const Cut& cut, double mm_per_m, double module) {
  const Spacing spacing(draft);
  double width = cut.box.width() * mm_per_m + 2 * kBeside;
  width = std::max(width, draft.text_width(cut.heading, kHeading) + 2 * kEdge);
  width = std::max(width, draft.text_width(cut.section.place, kBody) + 2 * kEdge);
  for (const std::string& line : cut.foot)
    width = std::max(width, draft.text_width(line, kBody) + 2 * kEdge);
  return {module * std::ceil(width / module - 1e-9),
          spacing.head() + cut.box.height() * mm_per_m + 2 * kAbove + 3 +
              spacing.line() * static_cast<double>(cut.foot.size())};
}

/// Cells in rows, rows on pages. Nothing when a cell is larger than a page.
std::vector<std::vector<Placed>> pages_of(const Draft& draft, const std::vector<Cut>& cuts,
                                          const PaperBox& area, double scale) {
  const double module = area.width() / kModules;
  std::vector<std::vector<Placed>> pages(1);
  std::size_t row_from = 0;  // of the last page
  Vec2 at = area.low;
  double row_height = 0;
  const auto close_row = [&] {
    for (std::size_t i = row_from; i < pages.back().size(); ++i)
      pages.back()[i].cell.high.y = at.y + row_height;
    at = {area.low.x, at.y + row_height};
    row_height = 0;
    row_from = pages.back().size();
  };
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    const Vec2 size = cell_size(draft, cuts[i], 1000 * scale, module);
    if (size.x > area.width() + 1e-6 || size.y > area.height()) return {};
    if (at.x + size.x > area.high.x + 1e-6) close_row();
    if (at.y + std::max(row_height, size.y) > area.high.y) {
      // The row that does not fit goes onto the next page as a whole.
      const std::vector<Placed> carried(pages.back().begin() + static_cast<long>(row_from),
                                        pages.back().end());
      pages.back().resize(row_from);
      const double up = at.y - area.low.y;
      pages.emplace_back(carried);
      for (Placed& placed : pages.back())
        placed.cell = {placed.cell.low - Vec2{0, up}, placed.cell.high - Vec2{0, up}};
      row_from = 0;
      at.y = area.low.y;
    }
    pages.back().push_back({i, {at, at + size}});
    at.x += size.x;
    row_height = std::max(row_height, size.y);
  }
  close_row();
  return pages;
}

/// A length that is a centimetre or half an inch on paper, or near that: by it one sees whether a
/// print has the size that the sheet says.
Row scale_bar(DisplayUnits units, double scale) {
  constexpr double kRoom_mm = 13, kInch_m = 0.0254;
  const bool metric = units == DisplayUnits::metric;
  const std::vector<double> lengths =
      metric ? std::vector<double>{0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5}
             : std::vector<double>{kInch_m / 4, kInch_m / 2, kInch_m,     2 * kInch_m,
                                   4 * kInch_m, 8 * kInch_m, 24 * kInch_m};
  double length_m = lengths.front();
  for (const double length : lengths)
    if (length * scale * 1000 <= kRoom_mm) length_m = length;
  const double half = length_m * scale * 1000 / 2;
  constexpr double kTick_mm = 0.8;
  return {"scale bar: " + unbroken(dimension(length_m, units) + (metric ? " mm" : "")),
          false,
          pen_of(LineKind::narrow),
          false,
          false,
          {{-half, -kTick_mm},
           {-half, kTick_mm},
           {-half, 0},
           {half, 0},
           {half, -kTick_mm},
           {half, kTick_mm}}};
}

void describe(Work& work, const std::vector<CrossSection>& sections, double scale) {
  work.rows.push_back({"How to read it", true, {}});
  const auto say = [&](const char* words) { work.rows.push_back({words, false, {}}); };
  say("Cut square through each trunk, each cable in its lane, at its outer diameter.");
  if (std::any_of(sections.begin(), sections.end(),
                  [](const CrossSection& section) { return section.raceway >= 0; }))
    say("In raceway: filled to the cables' cross-section over the clear one within; the limit is "
        "the job's own. The hatched face is what it is fixed to.");
  say("Else: seen along the run, up is up.");
  work.rows.push_back(scale_bar(work.request.job.units, scale));
  work.rows.push_back({"Service", true, {}});
  for (const ServiceSum& sum : service_sums(work.request))
    work.rows.push_back(
        {to_string(sum.service), false, Pen{visible(srgb(service_colour(sum.service))), 1.2, {}}});
}

std::vector<Page> sections_drawn(const DrawingRequest& r, const std::vector<CrossSection>& sections,
                                 const Hand& hand) {
  std::vector<Page> pages;
  std::vector<Cut> cuts;
  for (const CrossSection& section : sections) cuts.push_back(cut_of(r, section));
  const auto first_uncut = std::stable_partition(cuts.begin(), cuts.end(), shows_something);
  const std::vector<Cut> uncut(first_uncut, cuts.end());
  cuts.erase(first_uncut, cuts.end());
  const PaperLayout l = layout_of(r.paper);
  const PaperBox area{l.drawing.low, {l.drawing.high.x, l.border.high.y}};
  const Draft ruler(l.size_mm, area, hand.lettering, hand.enlarged);
  double scale = 2;  // twice the size if one page holds them all, else true size, else less
  std::vector<std::vector<Placed>> placed = pages_of(ruler, cuts, area, scale);
  if (placed.size() != 1) {
    for (const double smaller : {1.0, 0.5, 0.2, 0.1, 0.05, 0.02}) {
      scale = smaller;
      placed = pages_of(ruler, cuts, area, scale);
      if (!placed.empty()) break;
    }
  }
  for (const std::vector<Placed>& page : placed) {
    Work work(r, hand, "Cross-sections of trunks", "trunks");
    work.scale_text =
        scale >= 1 ? format_number(scale, 0) + ":1" : "1:" + format_number(1 / scale, 0);
    for (const Placed& one : page)
      draw_section(work.draft, r, cuts[one.cut], one.cell, 1000 * scale);
    describe(work, sections, scale);
    if (&page == &placed.back()) list_uncut(work, uncut);
    for (Page& drawn : finished(work)) pages.push_back(std::move(drawn));
  }
  return pages;
}

}  // namespace

void draw_sections(std::vector<Page>& pages, const DrawingRequest& r, const Trunks& trunks,
                   const Lettering& lettering) {
  const std::vector<CrossSection> sections = sections_of(r, trunks);
  if (sections.empty()) return;
  append_legible(pages, lettering,
                 [&](const Hand& hand) { return sections_drawn(r, sections, hand); });
}

}  // namespace roomloom
