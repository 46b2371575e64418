#include <algorithm>
#include <cmath>
#include <map>

#include "drawings/sheets.h"
#include "drawings/table.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

const TextStyle kHead{1.8, true, false, {0.1, 0.1, 0.1}};

/// A run's end at the gear.
struct Port {
  int run = -1, end = -1;
  bool starts = false;
};

std::vector<Port> ports_of(const DrawingRequest& r, const GearBox& gear) {
  std::vector<Port> ports;
  for (std::size_t i = 0; i < r.ends.runs.size(); ++i) {
    const Run& run = r.ends.runs[i];
    for (const int end : {run.from, run.to}) {
      if (r.ends.ends[static_cast<std::size_t>(end)].gear == gear.id)
        ports.push_back({static_cast<int>(i), end, end == run.from});
    }
  }
  return ports;
}

/// Seen from behind, as one kneels there with the cables in hand.
Frame from_behind(const GearBox& gear) {
  const Vec3 back = -gear.frame.v;
  return {gear.frame.origin, cross(gear.frame.n, back), gear.frame.n, back};
}

void draw_back(Work& work, const GearBox& gear, const std::vector<Port>& ports) {
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec3& p : {Vec3{0, 0, 0}, Vec3{gear.size.x, 0, gear.size.z}})
    extend(low, high, work.view(gear.frame.to_world(p)));
  work.draft.shape({low, {high.x, low.y}, high, {low.x, high.y}}, pen_of(LineKind::wide),
                   shade(0.97), "Gear " + plain_text(gear.id, 24));
  std::map<std::string, Vec2> devices;  // name of the device -> its leftmost port
  for (const Port& port : ports) {
    const Run& run = work.request.ends.runs[static_cast<std::size_t>(port.run)];
    const End& end = work.request.ends.ends[static_cast<std::size_t>(port.end)];
    const Rgb colour = visible(srgb(service_colour(run.service)));
    const Vec2 at = work.view(end.place.position);
    const std::string id = plain_text(run.id, 10);
    work.draft.circle(at, 1.1, Pen{colour, 0.35, {}}, paler(colour, 0.6), "Port " + id);
    work.draft.label({id, at, kHead, 1.4, {0, -1}, id});
    const std::string device = end.id.substr(0, end.id.rfind('.'));
    const auto [found, fresh] = devices.try_emplace(device, at);
    if (!fresh && at.x < found->second.x) found->second = at;
  }
  for (const auto& [device, at] : devices)
    work.draft.label(
        {plain_text(device, 20), at, {1.8, false, false, shade(0.4)}, 2.2, {-1, 0}, ""});
}

/// What is left of a cable at this end: its loop, its coil, its pull-out.
std::string spare_text(const DrawingRequest& r, const Port& port) {
  const CableShape& shape = r.shapes.cables[static_cast<std::size_t>(port.run)];
  const End& end = r.ends.ends[static_cast<std::size_t>(port.end)];
  std::string text;
  for (const Addend& addend : shape.addends) {
    const bool here = addend.name == (port.starts ? "loop at from" : "loop at to");
    if (!here || addend.metres <= 0) continue;
    text += "loop " + format_length(addend.metres, r.job.units, 2);
  }
  if (end.pull_out_m > 0)
    text += (text.empty() ? "" : ", ") + std::string("pull-out ") +
            format_length(end.pull_out_m, r.job.units, 2);
  if (end.state == EndState::coiled) text += ", coiled";
  return text;
}

DrawnTable table_of(const DrawingRequest& r, const std::vector<Port>& ports) {
  DrawnTable table{{"Label", "Port", "Goes to", "Cable", "Cut", "Kept here"},
                   {},
                   {false, false, false, false, true}};
  const auto name = [&](int end) {
    return plain_text(r.ends.ends[static_cast<std::size_t>(end)].id, 18);
  };
  for (const Port& port : ports) {
    const Run& run = r.ends.runs[static_cast<std::size_t>(port.run)];
    const RunRow& row = r.takeoff.runs[static_cast<std::size_t>(port.run)];
    table.rows.push_back({plain_text(run.id, 10), name(port.end),
                          name(port.starts ? run.to : run.from), plain_text(row.cable, 20),
                          row.routed ? format_length(row.cut_m, r.job.units, 2) : "no way found",
                          row.routed ? spare_text(r, port) : ""});
  }
  return table;
}

void draw_gear_end(std::vector<Page>& pages, const DrawingRequest& r, const Lettering& lettering,
                   const GearBox& gear) {
  const std::vector<Port> ports = ports_of(r, gear);
  if (ports.empty()) return;
  const DrawnTable table = table_of(r, ports);
  const std::string name = plain_text(gear.id, 24);
  std::size_t done = 0;
  while (done < ports.size()) {
    Work work(r, lettering, "Back of the " + name, "back-of-" + stem_of(name));
    Box2 area = work.layout.drawing;
    if (done == 0) {
      const Frame frame = from_behind(gear);
      Vec2 low{1e30, 1e30};
      Vec2 high{-1e30, -1e30};
      for (const Vec3& p : {Vec3{0, 0, 0}, Vec3{gear.size.x, 0, gear.size.z}})
        extend(low, high, frame.to_plane(gear.frame.to_world(p)));
      const double share = 0.45 * work.layout.drawing.height();
      fit_view(work, frame, low, high, {24, 10, 12, work.layout.drawing.height() - share});
      area.low.y = work.view.at(low).y + 12;
      draw_back(work, gear, ports);
      work.draft.keep_off(area);
      draw_foot(work);
    }
    done += draw_table(work.draft, area, table, done);
    work.rows.push_back({"How to read it", true, {}});
    work.rows.push_back(
        {"Seen from behind, with the gear pulled out and you before it.", false, {}});
    work.rows.push_back(
        {"Label both ends of each cable with the run's id. Kept here: what the cut "
         "length holds in hand at this end.",
         false,
         {}});
    work.rows.push_back({"Service", true, {}});
    for (const ServiceSum& sum : service_sums(r))
      work.rows.push_back({to_string(sum.service), false,
                           Pen{visible(srgb(service_colour(sum.service))), 1.2, {}}});
    for (Page& page : finished(work)) pages.push_back(std::move(page));
  }
}

}  // namespace

void draw_gear_ends(std::vector<Page>& pages, const DrawingRequest& r, const Lettering& lettering) {
  for (const GearBox& gear : r.ends.gear) draw_gear_end(pages, r, lettering, gear);
}

}  // namespace roomloom
