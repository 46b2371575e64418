#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "drawings/page.h"
#include "drawings/raster.h"
#include "drawings/text.h"

namespace roomloom {

/// All pages as one PDF, one a page of its own size. No clock: the date is a fixed one.
/// @error `drawings.failed`
Result<std::string> pdf_of(const std::vector<Page>& pages, const Lettering& lettering,
                           const std::string& title, const std::string& program);

/// One page as SVG 1.1; a unit is a millimetre on paper. Text stays text; what is drawn for a run,
/// a hole or a dimension keeps its name as `data-name`. No ids, so that several can stand in one
/// document.
std::string svg_of(const Page& page);

/// One page as a picture. @error `drawings.failed`
Result<Image> image_of(const Page& page, const Lettering& lettering, double pixels_per_mm);

/// Draws marks over a picture, millimetres being pixels. @error `drawings.failed`
Status draw_over(Image& image, const std::vector<Mark>& marks, const Lettering& lettering);

}  // namespace roomloom
