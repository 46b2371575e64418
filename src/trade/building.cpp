#include "trade/building.h"

namespace roomloom::trade {

double greatest_stud_hole_m(double depth_m, bool bearing) {
  return (bearing ? 0.40 : 0.60) * depth_m;
}

double greatest_stud_notch_m(double depth_m, bool bearing) {
  return (bearing ? 0.25 : 0.40) * depth_m;
}

double greatest_joist_hole_m(double depth_m) { return depth_m / 3; }

}  // namespace roomloom::trade
