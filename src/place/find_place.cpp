#include "place/context.h"

namespace roomloom::place {
namespace {

std::optional<Found> on_part(Context& context, const OnPart& part, Mount mount,
                             const std::string& pointer) {
  const bool bare = !part.from_left_m && !part.from_right_m && !part.up_m;
  if (const auto p = context.surfaces.marker(part.part); p && bare)
    return mount_point(context, *p, mount, pointer, "at marker " + part.part);
  if (mount != Mount::on_sheet) {
    bool is_furniture = false;
    auto inside = place_in_furniture(context, part, pointer, is_furniture);
    if (is_furniture) return inside;
  }
  auto found = place_on_part(context, part, pointer);
  if (found && mount != Mount::automatic) found->mount = mount;
  return found;
}

}  // namespace

std::optional<Found> find_place(Context& context, const PlaceSpec& place, const std::string& label,
                                Mount mount, const std::string& pointer) {
  if (const auto* at = std::get_if<AtPoint>(&place))
    return mount_point(context, at->point, mount, pointer + "/xyz", "at a point");
  if (const auto* marker = std::get_if<AtMarker>(&place)) {
    const auto p = marker_point(context, marker->name, pointer + "/marker");
    if (!p) return std::nullopt;
    return mount_point(context, *p, mount, pointer, "at marker " + marker->name);
  }
  if (const auto* part = std::get_if<OnPart>(&place))
    return on_part(context, *part, mount, pointer);
  if (const auto* direction = std::get_if<FromListener>(&place))
    return place_by_direction(context, *direction, mount, pointer);
  if (const auto* at = std::get_if<AtLabel>(&place))
    return place_by_label(context, at->label, mount, pointer + "/label");
  return place_by_label(context, label, mount, pointer);
}

}  // namespace roomloom::place
