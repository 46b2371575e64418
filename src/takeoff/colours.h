#pragma once

#include <optional>
#include <string>
#include <vector>

#include "types/catalogue.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// Of a face: as the job says, else as the model shows it; nothing where neither does.
std::optional<Colour> face_colour(const Sheet& sheet, const Scene* scene);

/// The offered colour that shows least on the face, on an unknown one the darkest; colours of
/// unknown look come last. Empty where none is offered.
std::string colour_least_seen(const std::vector<std::string>& offered,
                              const std::optional<Colour>& face);

/// Whether a thing of that colour needs no paint on the face. Below a difference of 10 one sees it
/// only side by side: common practice, no source.
bool looks_alike(const std::string& colour, const std::optional<Colour>& face);

/// The offered colour by which hidden cables of a service are told from others, else the first
/// offered. Common practice, no source.
std::string colour_by_service(Service service, const std::vector<std::string>& offered);

}  // namespace roomloom
