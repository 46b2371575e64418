#pragma once

#include <string>

#include "report/report.h"

namespace roomloom {

/// The ladder sheet as one page that needs nothing else: steps by day and place with large boxes to
/// tick, for a phone on the ladder and for paper. What is ticked is kept by the browser of that
/// phone, where it allows that.
std::string ladder_html(const Takeoff& takeoff, const std::string& name);

}  // namespace roomloom
