#pragma once

#include <functional>
#include <sstream>
#include <string>
#include <vector>

#include "base/units.h"
#include "base/vec.h"

namespace roomloom::testing {

/// The OBJ's vertices changed, and its faces turned over where that mirrors them.
inline std::string changed(const std::string& obj, const std::function<Vec3(const Vec3&)>& change,
                           bool mirrored = false) {
  std::istringstream in(obj);
  std::string out;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::string keyword;
    words >> keyword;
    if (keyword == "v") {
      Vec3 p;
      words >> p.x >> p.y >> p.z;
      const Vec3 q = change(p);
      line =
          "v " + format_number(q.x, 9) + " " + format_number(q.y, 9) + " " + format_number(q.z, 9);
    } else if (keyword == "f" && mirrored) {
      std::vector<std::string> corners;
      for (std::string corner; words >> corner;) corners.push_back(corner);
      line = "f";
      for (auto corner = corners.rbegin(); corner != corners.rend(); ++corner) {
        line += " " + *corner;
      }
    }
    out += line + "\n";
  }
  return out;
}

}  // namespace roomloom::testing
