#pragma once

#include <vector>

#include "drawings/layout.h"
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

/// A stretch as a line with its name: a trunk wide, a single run by its service's dash; what is
/// hidden in dashes.
void draw_stretch(Work& work, const Stretch& stretch, bool labelled, bool hidden);
/// Which of the stretches carry the name of their runs on this sheet: the longest of each set.
std::vector<char> label_choice(const std::vector<const Stretch*>& stretches);
/// Draws them, and puts trunks and services that occur into the column. Those from `hidden_from` on
/// are hidden.
void draw_stretches(Work& work, const Trunks& trunks, const std::vector<const Stretch*>& stretches,
                    std::size_t hidden_from = static_cast<std::size_t>(-1));
/// A cross in a circle, with the end's id and its runs.
void draw_end(Work& work, int end);
/// A hole at its true size, with its centre lines, id and diameter.
void draw_hole(Work& work, const HoleShape& hole);
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
