#pragma once

#include <vector>

#include "drawings/layout.h"
#include "drawings/stretches.h"
#include "drawings/trunks.h"

namespace roomloom {

/// One function a kind of sheet; each appends its pages in drawing order. Title blocks come later.
void draw_void_plans(std::vector<Page>& pages, const DrawingRequest& request, const Trunks& trunks,
                     const Lettering& lettering);
void draw_ceilings(std::vector<Page>& pages, const DrawingRequest& request, const Trunks& trunks,
                   const Lettering& lettering);
void draw_elevations(std::vector<Page>& pages, const DrawingRequest& request, const Trunks& trunks,
                     const Lettering& lettering);
void draw_sections(std::vector<Page>& pages, const DrawingRequest& request, const Trunks& trunks,
                   const Lettering& lettering);
/// Every run, with the holes and trunks it goes through.
void draw_lists(std::vector<Page>& pages, const DrawingRequest& request, const Trunks& trunks,
                const Lettering& lettering);
void draw_gear_ends(std::vector<Page>& pages, const DrawingRequest& request,
                    const Lettering& lettering);

/// All pages with their title blocks.
std::vector<Page> draw_sheets(const DrawingRequest& request, const Lettering& lettering);

// What several kinds of sheet share.

/// A cross in a circle, with the end's id and its runs.
void draw_end(Work& work, int end);
/// A short stroke over each of these ends for every cable that is left coiled there: the coil hangs
/// on a support of its own. Adds the row that tells it.
void draw_coil_supports(Work& work, const std::vector<int>& ends);
/// Runs whose id is written at one of these ends.
std::set<int> named_at(const DrawingRequest& request, const std::vector<int>& ends);
/// A hole at its true size, with its centre lines, id and diameter, and what else its name tells.
void draw_hole(Work& work, const HoleShape& hole, const std::string& also = "");
/// Names of walls along their lines on what is seen from above or from below, where there is room:
/// lists and the other sheets tell places by them. They go last.
void name_walls(Work& work);
/// A polygon of the view's plane.
std::vector<Vec2> on_paper(const View& view, const Ring& ring, const Frame& frame);
/// Bounds in the frame's plane.
void extend(Vec2& low, Vec2& high, const Vec2& p);
/// Gear seen as its outline, for orientation.
void draw_gear_outline(Work& work, const GearBox& gear);
/// Where doors and cupboard doors swing, seen from above; `all`: and where seats move and people
/// walk. False if there is none. The row that explains it is the caller's.
bool draw_moving(Work& work, bool all);
Pen moving_pen();
/// A name as part of a file name: letters and digits of ASCII, joined by hyphens: "wall-left".
std::string stem_of(const std::string& name);

}  // namespace roomloom
