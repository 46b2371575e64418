#include "annotate/annotate.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "annotate/tags.h"
#include "base/units.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr double kTagHeight = 0.030;
constexpr double kRingWidth = 0.006;
constexpr double kRingThickness = 0.002;

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string run_names(const std::vector<int>& runs, const Ends& ends) {
  std::vector<std::string> names;
  for (const int run : runs) names.push_back(at(ends.runs, run).id);
  return joined(names);
}

// "loop at from" -> "loop_at_from_m"
std::string key_of(std::string name) {
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c == ' ' || c == '-'; }, '_');
  return name + "_m";
}

void add_run(Annotation& annotation, const RunRow& row, const CableShape& shape,
             double diameter_m) {
  AnnotationItem item;
  item.group = AnnotationGroup::runs;
  item.name = "Run " + row.id;
  item.colour = service_colour(row.service);
  item.layer = std::string("Runs ") + to_string(row.service);
  item.texts = {{"run", row.id},
                {"from", row.from},
                {"to", row.to},
                {"cable", row.cable},
                {"colour", row.colour},
                {"service", to_string(row.service)},
                {"shares", joined(row.shared_with)},
                {"state", row.installed   ? "installed"
                          : row.lies()    ? "to lead on"
                          : row.provision ? "provision"
                                          : "to pull"}};
  item.numbers = {{"diameter_m", diameter_m},
                  {"drawn_m", row.drawn_m},
                  {"cut_m", row.cut_m},
                  {"bends", row.bends},
                  {"tight_bends", row.tight_bends}};
  for (const Addend& addend : row.addends) item.numbers[key_of(addend.name)] = addend.metres;
  item.shape = Tube{shape.pieces, diameter_m};
  annotation.items.push_back(std::move(item));
}

void add_raceway(Annotation& annotation, std::size_t index, const RacewayShape& piece,
                 const Ends& ends, const Room& room, const Job& job) {
  const RacewayType& type = at(job.catalogue.raceways, piece.raceway);
  AnnotationItem item;
  item.group = AnnotationGroup::raceway;
  item.name = "Raceway " + std::to_string(index + 1);
  item.colour = grey(225);
  item.colour.a = 0.45F;  // so that one sees what lies in it
  item.layer = "Raceway";
  item.texts = {{"size", type.id}, {"runs", run_names(piece.runs, ends)}};
  if (piece.sheet >= 0) item.texts["on"] = at(room.sheets, piece.sheet).name;
  item.numbers = {{"length_m", distance(piece.from, piece.to)},
                  {"width_m", type.width_m},
                  {"depth_m", type.depth_m}};
  item.shape = Bar{piece.from, piece.to, normalized(cross(piece.normal, piece.to - piece.from)),
                   type.width_m, type.depth_m};
  annotation.items.push_back(std::move(item));
}

void add_hole(Annotation& annotation, const HoleShape& hole, const Ends& ends, const Room& room) {
  const Crossing& crossing = at(room.crossings, hole.crossing);
  AnnotationItem item;
  item.group = AnnotationGroup::crossings;
  item.name = "Hole " + hole.name;
  item.colour = crossing.existing ? grey(130) : service_colour(Service::mains);
  item.layer = "Crossings";
  item.texts = {{"crossing", crossing.name},
                {"kind", to_string(crossing.kind)},
                {"state", crossing.existing                       ? "exists"
                          : hole.built_m <= 0                     ? "to cut"
                          : hole.built_m < hole.diameter_m - 1e-6 ? "to widen"
                                                                  : "cut already"},
                {"runs", run_names(hole.runs, ends)}};
  item.numbers = {{"diameter_m", hole.diameter_m}, {"bundle_m", hole.bundle_m}};
  item.shape = RingShape{hole.centre, hole.normal, hole.diameter_m,
                         hole.diameter_m + 2 * kRingWidth, kRingThickness};
  annotation.items.push_back(std::move(item));
}

// A hook, shown as a short flat bar under the cables it carries.
void add_support(Annotation& annotation, std::size_t index, const SupportShape& support,
                 const CableShapes& shapes, const Ends& ends, const Job& job) {
  const Vec3 across = normalized(cross({0, 0, 1}, support.direction));
  double low = 0;
  double left = 0;
  double right = 0;
  for (const int run : support.runs) {
    const double radius = at(job.catalogue.cables, at(ends.runs, run).cable).diameter_m / 2;
    const Vec3 lane = nearest_on(at(shapes.cables, run), support.at) - support.at;
    low = std::min(low, lane.z - radius);
    left = std::min(left, dot(lane, across) - radius);
    right = std::max(right, dot(lane, across) + radius);
  }
  constexpr double kThickness = 0.002;
  constexpr double kLength = 0.02;
  const Vec3 middle = support.at + Vec3{0, 0, low - kThickness / 2} + 0.5 * (left + right) * across;
  AnnotationItem item;
  item.group = AnnotationGroup::supports;
  item.name = "Support " + std::to_string(index + 1);
  item.colour = grey(90);
  item.layer = "Supports";
  item.texts = {{"runs", run_names(support.runs, ends)}};
  item.shape =
      Bar{middle - (kLength / 2) * support.direction, middle + (kLength / 2) * support.direction,
          across, right - left + 0.01, kThickness};
  annotation.items.push_back(std::move(item));
}

class Labels {
 public:
  Labels(Annotation& annotation, const Box3& room) : annotation_(annotation), board_(room) {}

  void add(const std::string& name, const std::string& text, const Vec3& at, const Vec3& outward,
           const Colour& colour) {
    const TagBoard::Placed placed = board_.place(text, at, outward, kTagHeight);
    add_item("Tag " + name, colour, placed.tag);
    if (!placed.leader) return;
    const Vec3 way = placed.leader->to - placed.leader->from;
    const Vec3 out = cross(placed.tag.right, placed.tag.up);
    add_item(
        "Leader " + name, colour,
        Bar{placed.leader->from, placed.leader->to, normalized(cross(out, way)), 0.0015, 0.0015});
  }

 private:
  void add_item(const std::string& name, const Colour& colour, AnnotationShape shape) {
    AnnotationItem item;
    item.group = AnnotationGroup::labels;
    item.name = name;
    item.colour = colour;
    item.layer = "Labels";
    item.shape = std::move(shape);
    annotation_.items.push_back(std::move(item));
  }
  Annotation& annotation_;
  TagBoard board_;
};

void add_run_tags(Labels& labels, const RunRow& row, const Ends& ends, const Job& job) {
  const Run& run = at(ends.runs, row.run);
  const std::string text = row.id + " " + format_length(row.cut_m, job.units, 2);
  const std::pair<const char*, int> both[] = {{" from", run.from}, {" to", run.to}};
  for (const auto& [which, end] : both) {
    const EndPlace& place = at(ends.ends, end).place;
    labels.add(row.id + which, text, place.position, place.outward, service_colour(row.service));
  }
}

}  // namespace

Annotation annotate(const CableShapes& shapes, const Takeoff& takeoff, const Ends& ends,
                    const Room& room, const Job& job) {
  Annotation annotation;
  for (const RunRow& row : takeoff.runs) {
    if (!row.routed) continue;
    const double diameter = at(job.catalogue.cables, at(ends.runs, row.run).cable).diameter_m;
    add_run(annotation, row, at(shapes.cables, row.run), diameter);
  }
  for (std::size_t i = 0; i < shapes.raceways.size(); ++i)
    add_raceway(annotation, i, shapes.raceways[i], ends, room, job);
  for (const HoleShape& hole : shapes.holes) add_hole(annotation, hole, ends, room);
  for (std::size_t i = 0; i < shapes.supports.size(); ++i)
    add_support(annotation, i, shapes.supports[i], shapes, ends, job);
  Labels labels(annotation, room.box);
  for (const HoleShape& hole : shapes.holes)
    labels.add(hole.name, hole.name, hole.centre, -hole.normal, grey(20));
  for (const RunRow& row : takeoff.runs)
    if (row.routed) add_run_tags(labels, row, ends, job);
  return annotation;
}

}  // namespace roomloom
