#pragma once

#include <string>

namespace roomloom {

/// A sheet of paper as it was drawn, for whoever shows it again.
struct DrawnSheet {
  std::string stem;   ///< of its files: "sheet-1-void-plan"
  std::string title;  ///< "Wall left from inside"
  std::string scale;  ///< "1:25"; empty = not to scale
  double width_mm = 420, height_mm = 297;
  std::string svg;  ///< the whole file
};

}  // namespace roomloom
