#pragma once

#include <STEPCAFControl_Reader.hxx>
#include <TDocStd_Document.hxx>

#include "types/scene.h"

namespace roomloom::occt {

struct TreeOutcome {
  int faces_seen = 0;     ///< distinct faces, wherever their instances stand
  bool too_deep = false;  ///< assemblies nested deeper than is walked; what lies below is missing
};

/// Appends every leaf of the product tree to `scene`, with its groups, names, colours and layers.
/// Throws what OpenCASCADE throws.
TreeOutcome read_tree(STEPCAFControl_Reader& reader, const Handle(TDocStd_Document) & document,
                      double chord_error_m, Scene& scene);

}  // namespace roomloom::occt
