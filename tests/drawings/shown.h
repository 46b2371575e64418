#pragma once

#include <vector>

#include "drawings/held_sheet.h"

namespace roomloom::testing {

/// Every metre of every routed run is drawn on some sheet, by itself or in a trunk whose key names
/// it; every end and every hole too. Cable behind gear, cable that is seen end on and the passage
/// of a hole have no line of their own.
void expect_all_shown(const std::vector<HeldSheet>& sheets, const std::vector<Page>& pages,
                      const DrawingRequest& request);

}  // namespace roomloom::testing
