#pragma once

#include <filesystem>

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Takes up what a house file says, before the job that overrides it is read: catalogue,
/// favourites, prices, minutes, stock, preferences, units and currency.
/// @param problems  gets what is wrong with it, each with the house file's own lines
/// @error as those of a job, and `version.*`
void read_house(const std::filesystem::path& file, const JsonValue& schema, Job& job,
                std::vector<Error>& problems);

// What a job and a house file have in common; each leaves alone what the document does not say.

void read_units(const Field& root, Job& job);
void read_favourites(const Field& root, Catalogue& catalogue);
/// The spools of "stock", in the place of those that are there, if it has any.
void read_stock(const Field& root, Job& job);

}  // namespace roomloom
