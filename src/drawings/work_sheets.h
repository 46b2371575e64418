#pragma once

#include <string>

#include "base/result.h"
#include "types/paper.h"
#include "types/takeoff.h"

namespace roomloom {

/// A sheet of labels as it is sold, by its plain dimensions. Millimetres.
struct LabelSheet {
  Vec2 size_mm;
  int columns = 1, rows = 1;
  Vec2 first_mm;  ///< upper left corner of the first label
  Vec2 label_mm;
  Vec2 pitch_mm;  ///< from one label's corner to the next one's
};
/// A4: 5 x 13 of 38.1 x 21.2 mm; Letter: 3 x 10 of 2 5/8 x 1 in. Common sizes, from memory: print
/// on plain paper first and hold it against the sheet.
LabelSheet label_sheet(Paper paper);

/// Labels as a PDF for such sheets. Each tells its code, this end, the far end and the cable.
/// @param labels  the list "labels" of Takeoff::tables
/// @error `drawings.failed`
Result<std::string> labels_pdf(const Table& labels, Paper paper, const std::string& program);

/// The ladder sheet on paper: steps by day and place, each with a box to tick and its minutes.
/// @error `drawings.failed`
Result<std::string> ladder_pdf(const Takeoff& takeoff, const std::string& name, Paper paper,
                               const std::string& program);

/// The quote on paper, for the customer alone: what is done, what it costs by kind and in all, and
/// lines to sign. None of the crew's steps, minutes or single prices.
/// @error `drawings.failed`
Result<std::string> quote_pdf(const Takeoff& takeoff, const std::string& name,
                              const std::string& currency, DisplayUnits units, Paper paper,
                              const std::string& program);

}  // namespace roomloom
