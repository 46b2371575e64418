#include <algorithm>
#include <cmath>
#include <map>

#include "drawings/dimensions.h"
#include "drawings/sheets.h"
#include "drawings/table.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

const TextStyle kHead{1.8, true, false, {0.1, 0.1, 0.1}};
constexpr double kPort_mm = 1.1;
constexpr std::size_t kMostLetters = 40;  // of a name, over as many lines as its cell needs

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

/// Ports of one device at one height, from the left.
struct PortRow {
  struct Named {
    Vec2 at;
    std::string id;
  };
  std::vector<Named> ports;
};

Label name_of(const PortRow::Named& port) {
  Label label{port.id, port.at, kHead, 1.4, {0, -1}, "Port " + port.id};
  label.edge_mm = kPort_mm;
  return label;
}

constexpr double kPitch = 1.9;     // of a capital's height: of ids that stand upright, side by side
constexpr double kToIds_mm = 3.2;  // from the ports' middle

/// An id that stands upright above or below its port.
struct Upright {
  const PortRow::Named* port;
  Vec2 base, from, to;  ///< of the text; its leader
};

TextStyle upright_style() {
  TextStyle style = kHead;
  style.upright = true;
  return style;
}

/// Side by side in one line, each with a leader to its port.
std::vector<Upright> side_by_side(const Work& work, const std::vector<const PortRow::Named*>& ports,
                                  bool above) {
  const TextStyle style = upright_style();
  std::vector<double> wanted;
  for (const PortRow::Named* port : ports) wanted.push_back(port->at.x);
  const std::vector<double> placed = moved_apart(wanted, kPitch * work.draft.cap_mm(kHead));
  std::vector<Upright> ids;
  for (std::size_t i = 0; i < ports.size(); ++i) {
    const Vec2& at = ports[i]->at;
    const double foot = at.y + (above ? -kToIds_mm : kToIds_mm);
    const double base = above ? foot : foot + work.draft.text_width(ports[i]->id, style);
    ids.push_back({ports[i],
                   {placed[i] + work.draft.cap_mm(style) / 2, base},
                   {at.x, at.y + (above ? -kPort_mm : kPort_mm)},
                   {placed[i], foot}});
  }
  return ids;
}

/// Neither texts nor ports nor the gear's edge are in its way.
bool has_room(const Work& work, const Upright& id) {
  const PaperBox box = work.draft.text_box(id.port->id, id.base, upright_style());
  return work.draft.is_free(box) && !work.draft.over_wide_line(box);
}

/// Level ids where each has room at its port, else upright ones on the one side, on the other, or
/// by turns above and below; one that finds no room so finds it elsewhere.
void name_ports(Work& work, const PortRow& row) {
  constexpr double kBetween_mm = 1.2;
  const std::vector<PortRow::Named>& ports = row.ports;
  double pitch = 1e9;
  double widest = 0;
  for (std::size_t i = 0; i < ports.size(); ++i) {
    widest = std::max(widest, work.draft.text_width(ports[i].id, kHead));
    if (i > 0) pitch = std::min(pitch, ports[i].at.x - ports[i - 1].at.x);
  }
  if (pitch > widest + kBetween_mm) {
    for (const PortRow::Named& port : ports) work.draft.label(name_of(port));
    return;
  }
  std::vector<const PortRow::Named*> all, even, odd;
  for (std::size_t i = 0; i < ports.size(); ++i) {
    all.push_back(&ports[i]);
    (i % 2 == 0 ? even : odd).push_back(&ports[i]);
  }
  std::vector<std::vector<Upright>> ways;
  if (pitch >= kPitch * work.draft.cap_mm(kHead))
    ways = {side_by_side(work, all, true), side_by_side(work, all, false)};
  ways.push_back(side_by_side(work, even, true));
  for (const Upright& id : side_by_side(work, odd, false)) ways.back().push_back(id);
  const auto rooms = [&](const std::vector<Upright>& ids) {
    return std::count_if(ids.begin(), ids.end(),
                         [&](const Upright& id) { return has_room(work, id); });
  };
  const auto best = std::max_element(
      ways.begin(), ways.end(), [&](const auto& a, const auto& b) { return rooms(a) < rooms(b); });
  for (const Upright& id : *best)
    if (!has_room(work, id) || !work.draft.led_text(id.port->id, id.base, upright_style(), id.from,
                                                    id.to, "Port " + id.port->id))
      work.draft.label(name_of(*id.port));
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
  std::map<std::string, std::vector<Vec2>> devices;      // name of the device -> its ports
  std::map<std::pair<std::string, long>, PortRow> rows;  // by device and height
  for (const Port& port : ports) {
    const Run& run = work.request.ends.runs[static_cast<std::size_t>(port.run)];
    const End& end = work.request.ends.ends[static_cast<std::size_t>(port.end)];
    const Rgb colour = visible(srgb(service_colour(run.service)));
    const Vec2 at = work.view(end.place.position);
    const std::string id = plain_text(run.id, 10);
    work.draft.circle(at, kPort_mm, Pen{colour, 0.35, {}}, paler(colour, 0.6), "Port " + id);
    const std::string device = end.id.substr(0, end.id.rfind('.'));
    devices[device].push_back(at);
    rows[{device, std::lround(at.y)}].ports.push_back({at, id});
  }
  for (auto& [place, row] : rows) {
    std::stable_sort(row.ports.begin(), row.ports.end(),
                     [](const auto& a, const auto& b) { return a.at.x < b.at.x; });
    name_ports(work, row);
  }
  for (auto& [device, at] : devices) {
    std::stable_sort(at.begin(), at.end(), [](const Vec2& a, const Vec2& b) { return a.x < b.x; });
    const TextStyle quiet{1.8, false, false, shade(0.4)};
    Label label{plain_text(device, 20), at.front(), quiet, 2.2, {-1, 0}, ""};
    label.edge_mm = kPort_mm + 0.4;
    label.also.assign(at.rbegin(), at.rend() - 1);
    work.draft.label(std::move(label));
  }
}

/// What is left of a cable at this end: its loop, its coil, its pull-out.
std::string spare_text(const DrawingRequest& r, const Port& port) {
  const CableShape& shape = r.shapes.cables[static_cast<std::size_t>(port.run)];
  const End& end = r.ends.ends[static_cast<std::size_t>(port.end)];
  std::string text;
  double pull_out = 0;  // nothing is added for it between components of one rack
  for (const Addend& addend : shape.addends) {
    if (addend.name == "pull-out") pull_out = std::min(addend.metres, end.pull_out_m);
    const bool here = addend.name == (port.starts ? "loop at from" : "loop at to");
    if (!here || addend.metres <= 0) continue;
    text += "loop " + slack_words(addend.metres, r.job.units);
  }
  if (pull_out > 0)
    text +=
        (text.empty() ? "" : ", ") + std::string("pull-out ") + slack_words(pull_out, r.job.units);
  if (end.state == EndState::coiled) text += ", coiled";
  return text;
}

DrawnTable table_of(const DrawingRequest& r, const std::vector<Port>& ports) {
  DrawnTable table{{"Label", "Port", "Goes to", "Cable", "Cut", "Kept here"},
                   {},
                   {false, false, false, false, true}};
  const auto name = [&](int end) {
    return plain_text(r.ends.ends[static_cast<std::size_t>(end)].id, kMostLetters);
  };
  for (const Port& port : ports) {
    const Run& run = r.ends.runs[static_cast<std::size_t>(port.run)];
    const RunRow& row = r.takeoff.runs[static_cast<std::size_t>(port.run)];
    table.rows.push_back({plain_text(run.id, 16), name(port.end),
                          name(port.starts ? run.to : run.from),
                          plain_text(row.cable, kMostLetters), cut_words(row, r.job.units),
                          row.routed ? spare_text(r, port) : ""});
  }
  return without_empty_columns(table);
}

/// The gear and its table one below the other, or side by side where that shows the gear larger.
/// @return what is left for the table; nothing where it has pages of its own
PaperBox fit_gear(Work& work, const GearBox& gear, const DrawnTable& table, bool apart) {
  const Frame frame = from_behind(gear);
  Vec2 low{1e30, 1e30};
  Vec2 high{-1e30, -1e30};
  for (const Vec3& p : {Vec3{0, 0, 0}, Vec3{gear.size.x, 0, gear.size.z}})
    extend(low, high, frame.to_plane(gear.frame.to_world(p)));
  PaperBox area = work.layout.drawing;
  if (apart) {
    fit_sheet(work, frame, low, high, {14, 14, 14, 14});
    return {work.layout.drawing.high, work.layout.drawing.high};
  }
  constexpr double kLeast_mm = 60;  // of paper for the gear
  const double below = 0.55 * area.height();
  const double beside = table_width(work.draft, table);
  const Margins stacked{24, 10, 12, below};
  const Margins level{24, beside + 10, 14, 14};
  fit_view(work, frame, low, high, stacked);
  if (const double scale = work.view.scale; beside + kLeast_mm < area.width()) {
    fit_view(work, frame, low, high, level);
    if (work.view.scale < scale) {
      area.low.x = area.high.x - beside;
      return area;
    }
    fit_view(work, frame, low, high, stacked);
  }
  area.low.y = work.view.at(low).y + 12;
  return area;
}

/// Do ports lie in each other on paper?
bool overlap(const Work& work, const std::vector<Port>& ports) {
  std::vector<Vec2> at;
  for (const Port& port : ports)
    at.push_back(
        work.view(work.request.ends.ends[static_cast<std::size_t>(port.end)].place.position));
  for (std::size_t i = 0; i < at.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (norm(at[i] - at[k]) < 2 * kPort_mm) return true;
  return false;
}

/// `apart`: the gear has a page to itself.
std::vector<Page> gear_end(const DrawingRequest& r, const Hand& hand, const GearBox& gear,
                           const std::vector<Port>& ports, bool apart) {
  std::vector<Page> pages;
  const DrawnTable table = table_of(r, ports);
  const std::string name = plain_text(gear.id, 24);
  std::size_t done = 0;
  for (bool first = true; done < ports.size(); first = false) {
    Work work(r, hand, "Back of the " + name, "back-of-" + stem_of(name));
    PaperBox area = work.layout.drawing;
    if (first) {
      area = fit_gear(work, gear, table, apart);
      if (!apart && overlap(work, ports)) return gear_end(r, hand, gear, ports, true);
      draw_back(work, gear, ports);
      work.draft.keep_off(area);
      work.dimensioned = false;
      draw_foot(work);
    }
    if (!first || !apart) done += draw_table(work.draft, area, table, done, hand.line_spacing);
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
  return pages;
}

}  // namespace

void draw_gear_ends(std::vector<Page>& pages, const DrawingRequest& r, const Lettering& lettering) {
  for (const GearBox& gear : r.ends.gear) {
    const std::vector<Port> ports = ports_of(r, gear);
    if (ports.empty()) continue;
    append_legible(pages, lettering, [&](const Hand& hand) {
      std::vector<Page> together = gear_end(r, hand, gear, ports, false);
      if (flaws_of(together) == 0 && together.size() == 1) return together;
      // Many ports need a larger gear to be told apart; and where the table goes on over the page,
      // the gear may as well have the page.
      std::vector<Page> apart = gear_end(r, hand, gear, ports, true);
      return flaws_of(together) > 0 || apart.size() <= together.size() ? apart : together;
    });
  }
}

}  // namespace roomloom
