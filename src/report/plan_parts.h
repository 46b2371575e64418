#pragma once

#include <nlohmann/json.hpp>

#include "types/planned.h"

namespace roomloom {

using Json = nlohmann::ordered_json;

inline Json to_json(const Vec3& p) { return Json::array({p.x, p.y, p.z}); }

/// Eye points, what each sees, and what was taken to stand in between.
Json sight_json(const Planned& planned);
/// What each part of the model was taken for, by its path.
Json parts_json(const Planned& planned);
/// Where things move and people walk: prisms over rings of x and y.
Json swept_json(const Room& room);
Json ramps_json(const Takeoff& takeoff);
/// Every list, its columns with their kinds; lengths in metres.
Json tables_json(const std::vector<Table>& tables);
/// Names of the ready conduits, whether anything lies in them or not.
Json conduits_json(const Room& room);

}  // namespace roomloom
