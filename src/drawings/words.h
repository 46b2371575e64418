#pragma once

#include <string>
#include <vector>

#include "base/units.h"
#include "drawings/drawings.h"
#include "drawings/text.h"

namespace roomloom {

/// With spaces at which lines are not broken: in "18 x 9" and "45 deg".
std::string with_sizes_whole(const std::string& text);
/// "1 run", "7 runs".
std::string counted(int count, const std::string& noun);
/// The first `most` words joined by spaces, and how many more there are.
std::string shortened(const std::vector<std::string>& words, std::size_t most);
/// Ids of runs as they stand on drawings.
std::vector<std::string> run_ids(const std::vector<int>& runs, const Ends& ends);
/// The text in one line, cut short where it is wider than it may be.
std::string fitting(const Lettering& lettering, std::string text, double cap_mm, bool bold,
                    double width_mm);
/// Lines of at most `width` characters, broken between words.
std::vector<std::string> wrapped(const std::string& text, std::size_t width);
/// The same with spaces at which rows of a column are not broken.
/// "18 x 9" and "45 deg" are not broken over lines.
std::string with_sizes_whole(const std::string& text);
std::string unbroken(const std::string& text);
/// Such spaces made plain again, once lines are broken.
std::string with_plain_spaces(const std::string& text);
/// A dimension as ISO 129-1 has it: whole millimetres without a unit, or feet and inches.
std::string dimension(double metres, DisplayUnits units);

/// Outer width and depth of a raceway in the units that people read, "1 9/16 in x 1 in"; nothing
/// where its id tells them already.
std::string raceway_size(const RacewayType& type, DisplayUnits units);
/// The id with that size: "40 x 25", "40 x 25 (1 9/16 in x 1 in)".
std::string raceway_words(const RacewayType& type, DisplayUnits units);

/// A total: metres, or whole feet where there are more than ten, since totals need no sixteenths.
std::string total_length(double metres, DisplayUnits units, int decimals);

/// How long to cut a run: "9.60 m", "lead of 10.00 m, uncut", "no way found".
std::string cut_words(const RunRow& row, DisplayUnits units);

struct ServiceSum {
  Service service = Service::loudspeaker;
  int runs = 0;
  double cut_m = 0;
};
/// Services in use, in the order of the type.
std::vector<ServiceSum> service_sums(const DrawingRequest& request);
/// "31 runs · 213 m of cable · 7 holes · 19.2 m of raceway"
std::string summary_line(const DrawingRequest& request);

}  // namespace roomloom
