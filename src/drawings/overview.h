#pragma once

#include "drawings/drawings.h"
#include "drawings/page_files.h"

namespace roomloom {

/// A picture without names yet, and how it looks at the room.
struct RoomPicture {
  Image image;
  Frame view;  ///< origin in the middle of the picture; n toward the viewer
  double pixels_per_m = 100;
};

/// The room from above a corner, without perspective: walls and ceilings toward the viewer are
/// left out, runs are coloured round bars thicker than they are. 1600 x 1200. The corner is that
/// from which most cable on walls is seen. Needs no fonts: may run beside other work.
RoomPicture draw_room(const DrawingRequest& request);

/// Title, legend, and the names of ends and gear, in pixels of the picture: what letter_room draws
/// over it.
Page names_in_room(const RoomPicture& picture, const DrawingRequest& request,
                   const Lettering& lettering);

/// Puts names at the runs' ends, a heading, and a legend by service over it.
/// @error `drawings.failed`
Status letter_room(RoomPicture& picture, const DrawingRequest& request, const Lettering& lettering);

}  // namespace roomloom
