#include <algorithm>
#include <cmath>

#include "place/context.h"

namespace roomloom::place {
namespace {

constexpr double kSame_m = 1e-3;
constexpr double kBeside_m = 0.012;  ///< between two ports that were spread onto one place

const GearBox* box_of(const Context& context, const End& end) {
  for (const GearBox& box : context.ends.gear)
    if (!end.gear.empty() && end.place.home == PlaceId{PlaceKind::zone, box.zone}) return &box;
  return nullptr;
}

/// Whether a point is on the back that the port is on: else the gear itself stands elsewhere now.
bool on_same_back(const GearBox& box, const Vec3& port, const Vec3& point) {
  const Vec3 own = box.frame.to_local(port), other = box.frame.to_local(point);
  return std::abs(own.y - other.y) < kSame_m && other.x >= 0 && other.x <= box.size.x &&
         other.z >= 0 && other.z <= box.size.z;
}

/// The way that says most of where a run lies: that of the record, else of the plan before.
const WrittenWay* way_of(const Job& job, const std::string& run) {
  const WrittenWay* way = nullptr;
  for (const WrittenWay& one : job.written)
    if (one.run == run && !one.stretches.empty() && (way == nullptr || !way->held)) way = &one;
  return way;
}

}  // namespace

void keep_written_ports(Context& context) {
  std::vector<char> kept(context.ends.ends.size(), 0);
  const auto keep = [&](int index, const Vec3& written) {
    End& end = context.ends.ends[static_cast<std::size_t>(index)];
    const GearBox* box = box_of(context, end);
    if (box == nullptr || !on_same_back(*box, end.place.position, written)) return;
    end.place.position = written;
    kept[static_cast<std::size_t>(index)] = 1;
  };
  for (const Run& run : context.ends.runs) {
    const WrittenWay* way = way_of(context.job, run.id);
    if (way == nullptr) continue;
    keep(run.from, way->stretches.front().from);
    keep(run.to, way->stretches.back().to);
  }
  // What is new goes beside what was there.
  for (std::size_t i = 0; i < kept.size(); ++i) {
    End& end = context.ends.ends[i];
    const GearBox* box = box_of(context, end);
    if (kept[i] != 0 || box == nullptr) continue;
    const auto taken = [&] {
      for (std::size_t k = 0; k < kept.size(); ++k)
        if (kept[k] != 0 &&
            distance(context.ends.ends[k].place.position, end.place.position) < kBeside_m / 2)
          return true;
      return false;
    };
    const double side = box->frame.to_local(end.place.position).x < 0.5 * box->size.x ? 1 : -1;
    for (int steps = 0; steps < 20 && taken(); ++steps)
      end.place.position += side * kBeside_m * box->frame.u;
  }
}

}  // namespace roomloom::place
