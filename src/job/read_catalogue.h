#pragma once

#include "job/field.h"
#include "types/catalogue.h"

namespace roomloom {

/// Adds the cables and raceways of `document` (an object with "cables" and "raceways") to
/// `catalogue`. An id that is there already is overruled figure by figure.
void read_catalogue(const Field& document, Catalogue& catalogue);

}  // namespace roomloom
