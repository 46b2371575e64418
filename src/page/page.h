#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "types/annotation.h"
#include "types/drawn_sheet.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/takeoff.h"

namespace roomloom {

/// Something to know before work begins, with where it is from.
struct PageCaution {
  std::string text, source;
};

/// What the page shows, by reference; it only reads it.
struct PageRequest {
  const Job& job;
  const Scene& scene;
  const Room& room;
  const Ends& ends;
  const Plan& plan;
  const CableShapes& shapes;
  const Takeoff& takeoff;
  const Annotation& annotation;
  const Findings& findings;
  std::vector<DrawnSheet> sheets;     ///< drawn inline; empty = none
  std::vector<PageCaution> cautions;  ///< in order
  std::string program;                ///< "roomloom 0.1.0"
};

/// report.html: one file that needs no other and asks nothing of the network; it carries a content
/// security policy that forbids both. On top the answer, then the room in 3D, the lists of
/// Takeoff::tables, the sheets, the findings and the cautions. Readable without scripts but for the
/// 3D and the sheets. Names of the user's are escaped, and shown without control characters and
/// marks of direction, at most 200 characters of them. The same request gives the same bytes.
/// @error `page.failed` when packing fails for want of memory
Result<std::string> page_html(const PageRequest& request);

}  // namespace roomloom
