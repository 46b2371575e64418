#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "exchange/write.h"
#include "exchange/write_frame.h"

namespace roomloom {

/// Text of a STEP file and what is to be said of it.
struct StepFile {
  std::string text;
  std::vector<std::string> notes;
};

/// The original's bytes with our entities before the ENDSEC of its last DATA section.
/// @error `write.original-syntax`
Result<StepFile> append_to_step(std::string_view original, const std::string& file,
                                const FileFrame& frame, const Annotation& annotation);

/// A file of our own (AP214) with the additions and, under a root `Room`, the given planes.
StepFile step_of_our_own(const FileFrame& frame, const Annotation& annotation,
                         const std::vector<SheetPlane>& sheets, const std::string& name,
                         const std::string& generator);

}  // namespace roomloom
