#pragma once

#include <nlohmann/json.hpp>

#include "types/planned.h"

namespace roomloom {

using Json = nlohmann::ordered_json;

inline Json to_json(const Vec3& p) { return Json::array({p.x, p.y, p.z}); }

/// Ids of runs, by index.
Json run_ids_json(const std::vector<int>& runs, const Ends& ends);
Json holes_json(const Planned& planned);
/// Tiles that may be cut: their crossing, the corner that holes are measured from, and the sides
/// along which, in metres.
Json tiles_json(const Room& room);
Json raceways_json(const Planned& planned);
/// Pieces as they are cut, by the names of the list raceway_pieces.
Json pieces_json(const Planned& planned);
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
