#include "drawings/section_list.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "drawings/carried.h"
#include "drawings/text.h"
#include "drawings/words.h"
#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kTouches_m = 0.0005;
constexpr std::size_t kIdsWide = 32;

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

double cable_area_m2(const DrawingRequest& r, int run) {
  const double d = at(r.job.catalogue.cables, at(r.ends.runs, run).cable).diameter_m;
  return kPi * d * d / 4;
}

/// Does the trunk's line come by here?
bool passes_by(const Trunks& trunks, int trunk, const Vec3& point) {
  constexpr double kBeside_m = 0.12;  // two of the widest raceway side by side
  return std::any_of(trunks.stretches.begin(), trunks.stretches.end(), [&](const Stretch& stretch) {
    if (stretch.trunk != trunk) return false;
    for (std::size_t i = 0; i + 1 < stretch.line.size(); ++i)
      if (point_segment_distance(point, stretch.line[i], stretch.line[i + 1]) < kBeside_m)
        return true;
    return false;
  });
}

/// Names the section by its trunk. One that holds a part of a trunk, in raceway beside another, is
/// named by that trunk: there its line has the trunk's name.
void name_section(const DrawingRequest& r, const Trunks& trunks, CrossSection& section) {
  std::vector<int> runs = section.runs;
  std::sort(runs.begin(), runs.end());
  const Vec3 middle = 0.5 * (section.from + section.to);
  for (std::size_t i = 0; i < trunks.sets.size(); ++i) {
    const std::vector<int>& set = trunks.sets[i];
    const auto trunk = static_cast<int>(i);
    const bool same = set == runs;
    const bool part = section.raceway >= 0 && runs.size() > 1 && set.size() > runs.size() &&
                      std::includes(set.begin(), set.end(), runs.begin(), runs.end()) &&
                      passes_by(trunks, trunk, middle);
    if (!same && !part) continue;
    section.trunk = trunk;
    section.part = part;
    if (same) break;
  }
  section.name = section.trunk < 0 ? shortened(run_ids(runs, r.ends), 4)
                 : section.part    ? "part of " + trunks.name(section.trunk)
                                   : trunks.name(section.trunk);
}

/// A single run's sections are alike where raceway and cable are; one with a straight is drawn.
std::vector<CrossSection> with_singles_once(const DrawingRequest& r,
                                            std::vector<CrossSection> sections) {
  std::vector<CrossSection> out;
  std::map<std::pair<int, int>, std::size_t> first;  // raceway and cable -> into `out`
  for (CrossSection& section : sections) {
    if (section.runs.size() != 1) {
      out.push_back(std::move(section));
      continue;
    }
    const int run = section.runs.front();
    const auto [found, fresh] =
        first.try_emplace({section.raceway, at(r.ends.runs, run).cable}, out.size());
    if (fresh) {
      section.alike = {run};
      out.push_back(std::move(section));
      continue;
    }
    CrossSection& kept = out[found->second];
    std::vector<int> alike = kept.alike;
    if (std::find(alike.begin(), alike.end(), run) == alike.end()) alike.push_back(run);
    if (lanes_of(r, kept).empty()) kept = std::move(section);
    kept.alike = std::move(alike);
  }
  for (CrossSection& section : out) {
    if (section.alike.size() < 2) continue;
    section.name = counted(static_cast<int>(section.alike.size()), "single run");
    section.place.clear();
  }
  return out;
}

std::vector<CrossSection> in_raceway(const DrawingRequest& r, const Trunks& trunks) {
  std::map<std::pair<int, std::vector<int>>, const RacewayShape*> longest;
  for (const RacewayShape& piece : r.shapes.raceways) {
    const RacewayShape*& kept = longest[{piece.raceway, piece.runs}];
    if (kept == nullptr || distance(piece.from, piece.to) > distance(kept->from, kept->to))
      kept = &piece;
  }
  std::vector<CrossSection> sections;
  for (const auto& [key, piece] : longest) {
    const std::string where = piece->sheet >= 0 ? at(r.room.sheets, piece->sheet).name : "";
    CrossSection section;
    section.place = plain_text(where, 20);
    section.runs = piece->runs;
    section.from = piece->from;
    section.to = piece->to;
    section.away = piece->normal;
    section.raceway = piece->raceway;
    name_section(r, trunks, section);
    sections.push_back(std::move(section));
  }
  return with_singles_once(r, std::move(sections));
}

std::string name_of(const DrawingRequest& r, const PlaceId& place) {
  switch (place.kind) {
    case PlaceKind::sheet:
      return at(r.room.sheets, place.index).name;
    case PlaceKind::void_space:
      return at(r.room.voids, place.index).name;
    case PlaceKind::zone:
      return at(r.ends.zones, place.index).name;
    case PlaceKind::conduit:
      return at(r.room.conduits, place.index).name;
    case PlaceKind::none:
      break;
  }
  return "";
}

/// Up is up, as far as the line lets it; on a face, away from the face.
Vec3 away_from(const DrawingRequest& r, const PlaceId& home, const Vec3& along) {
  if (home.kind == PlaceKind::sheet) return at(r.room.sheets, home.index).frame.n;
  return std::abs(normalized(along).z) > 0.7 ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
}

/// Takes the stretch's longest straight where it is longer than the section's.
void lengthen(const DrawingRequest& r, const Stretch& stretch, CrossSection& section) {
  for (std::size_t i = 0; i + 1 < stretch.line.size(); ++i) {
    const Vec3& a = stretch.line[i];
    const Vec3& b = stretch.line[i + 1];
    if (distance(section.from, section.to) >= distance(a, b)) continue;
    section.from = a;
    section.to = b;
    section.away = away_from(r, stretch.home, b - a);
    section.place = plain_text(name_of(r, stretch.home), 20);
  }
}

std::vector<CrossSection> in_conduits(const DrawingRequest& r, const Trunks& trunks) {
  std::map<int, CrossSection> by_conduit;
  for (const Stretch& stretch : trunks.stretches) {
    if (stretch.home.kind != PlaceKind::conduit) continue;
    CrossSection& section = by_conduit[stretch.home.index];
    section.conduit = stretch.home.index;
    section.runs.insert(section.runs.end(), stretch.runs.begin(), stretch.runs.end());
    lengthen(r, stretch, section);
  }
  std::vector<CrossSection> sections;
  for (auto& [index, section] : by_conduit) {
    std::sort(section.runs.begin(), section.runs.end());
    section.runs.erase(std::unique(section.runs.begin(), section.runs.end()), section.runs.end());
    name_section(r, trunks, section);
    sections.push_back(std::move(section));
  }
  return sections;
}

/// Trunks whose stretches are wanted, each once.
template <typename Wanted>
std::vector<CrossSection> in_the_open(const DrawingRequest& r, const Trunks& trunks,
                                      Wanted wanted) {
  std::map<int, CrossSection> longest;
  for (const Stretch& stretch : trunks.stretches) {
    if (stretch.trunk < 0 || !wanted(stretch)) continue;
    CrossSection& section = longest[stretch.trunk];
    section.name = trunks.name(stretch.trunk);
    section.trunk = stretch.trunk;
    section.runs = stretch.runs;
    lengthen(r, stretch, section);
  }
  std::vector<CrossSection> sections;
  for (auto& [trunk, section] : longest) sections.push_back(std::move(section));
  return sections;
}

}  // namespace

std::vector<CrossSection> sections_of(const DrawingRequest& r, const Trunks& trunks) {
  std::vector<CrossSection> all = in_raceway(r, trunks);
  const auto add = [&](std::vector<CrossSection> more) {
    for (CrossSection& section : more) all.push_back(std::move(section));
  };
  add(in_conduits(r, trunks));
  add(in_the_open(r, trunks, [](const Stretch& stretch) {
    return stretch.home.kind == PlaceKind::void_space;
  }));
  std::set<std::vector<int>> shown;
  std::map<int, std::set<int>> in_parts;  // trunk -> runs that its parts in raceway hold
  for (const CrossSection& section : all) {
    std::vector<int> runs = section.runs;
    std::sort(runs.begin(), runs.end());
    if (section.part) in_parts[section.trunk].insert(runs.begin(), runs.end());
    shown.insert(std::move(runs));
  }
  for (const auto& [trunk, runs] : in_parts)
    if (runs.size() == at(trunks.sets, trunk).size()) shown.insert(at(trunks.sets, trunk));
  add(in_the_open(r, trunks, [&](const Stretch& stretch) {
    return shown.count(stretch.runs) == 0 && shown_at(r, stretch.home, stretch.line).has_value();
  }));
  std::stable_sort(all.begin(), all.end(), [](const CrossSection& a, const CrossSection& b) {
    const auto order = [](const CrossSection& one) {
      return std::tuple(one.runs.size() < 2, one.trunk < 0, one.trunk, one.part);
    };
    return order(a) < order(b);
  });
  return all;
}

std::map<int, Vec2> lanes_of(const DrawingRequest& r, const CrossSection& section) {
  std::map<int, Vec2> lanes;
  for (const auto& [run, lane] :
       lanes_beside(r, section.runs, section.from, section.to, section.away)) {
    if (section.raceway >= 0) {
      // A piece that slants in from outside says nothing of where the cable lies within.
      const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
      const double radius = at(r.job.catalogue.cables, at(r.ends.runs, run).cable).diameter_m / 2;
      if (std::abs(lane.x) + radius > type.inner_width_m / 2 + kTouches_m ||
          std::abs(lane.y) + radius > type.inner_depth_m / 2 + kTouches_m)
        continue;
    }
    lanes[run] = lane;
  }
  return lanes;
}

std::vector<std::string> fill_lines(const DrawingRequest& r, const CrossSection& section) {
  double sum = 0;
  for (const int run : section.runs) sum += cable_area_m2(r, run);
  const std::string area = r.job.units == DisplayUnits::metric
                               ? format_number(sum * 1e6, 0) + " mm²"
                               : format_number(sum / (0.0254 * 0.0254), 2) + " sq in";
  std::vector<std::string> lines;
  const auto list = [&](const std::vector<int>& runs) {
    std::string ids;
    for (const std::string& id : run_ids(runs, r.ends)) ids += (ids.empty() ? "" : " ") + id;
    lines = wrapped(ids, kIdsWide);
  };
  if (section.part) list(section.runs);
  if (section.alike.size() > 1) {
    list(section.alike);
    lines.push_back("each by itself, " + area);
  } else {
    lines.push_back(counted(static_cast<int>(section.runs.size()), "cable") + ", " + area +
                    (section.runs.size() > 1 ? " together" : ""));
  }
  if (section.raceway >= 0) {
    const RacewayType& type = at(r.job.catalogue.raceways, section.raceway);
    const double clear =
        type.usable_area_m2 > 0 ? type.usable_area_m2 : type.inner_width_m * type.inner_depth_m;
    if (clear > 0)
      lines.push_back("filled to " + format_number(100 * sum / clear, 0) + " %, limit " +
                      format_number(100 * r.job.prefer.fill_limit, 0) + " %");
  } else if (section.conduit >= 0) {
    const Conduit& conduit = at(r.room.conduits, section.conduit);
    const double bore = kPi * conduit.inside_diameter_m * conduit.inside_diameter_m / 4;
    if (bore > 0)
      lines.push_back("filled to " +
                      format_number(100 * (sum + conduit.occupied_area_m2) / bore, 0) + " %");
  }
  return lines;
}

}  // namespace roomloom
