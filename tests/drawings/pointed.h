#pragma once

#include "drawings/page.h"

namespace roomloom::testing {

/// How many labels were held, so that a test can tell that it looked at some.
struct Pointed {
  int leaders = 0, beside = 0;
};

/// Each label of a run, a trunk, an end, a hole or a port tells of that one: its leader's tip is on
/// what its words name and nearest to it of all such things, or without a leader the words stand
/// nearest to it.
void expect_labels_point(const Page& page, Pointed& pointed);

/// No text lies on a run or a trunk.
void expect_no_line_covered(const Page& page);
/// At the back of gear no text lies on a port, and no leader passes the port of another.
void expect_ports_clear(const Page& page);

void expect_no_leaders_cross(const Page& page);

}  // namespace roomloom::testing
