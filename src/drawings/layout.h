#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "drawings/draft.h"
#include "drawings/drawings.h"

namespace roomloom {

/// Kinds of line after ISO 128-2, in two widths of ratio 2:1.
enum class LineKind {
  wide,         ///< visible outlines
  narrow,       ///< dimension, extension and leader lines
  dashed,       ///< hidden edges
  chain,        ///< centre lines
  double_chain  ///< outlines of what stands by
};
Pen pen_of(LineKind kind, const Rgb& colour = {});
/// Colour of the palette and a dash of its own, for those who do not tell the colours apart.
Pen pen_of(Service service, double width_mm);

/// A line of the column beside a drawing.
struct Row {
  std::string text;
  bool heading = false;
  std::optional<Pen> swatch;
  bool indented = false;  ///< as rows with a swatch are
  bool goes_on = false;   ///< the next line of the row before it
  /// Drawn with the swatch's pen about the sample's middle, as on the drawing, instead of a line;
  /// mm.
  std::vector<Vec2> sample = {};
};

/// Looks along -n: right and up are the frame's u and v. 1 : scale.
struct View {
  Frame frame;
  Vec2 origin_mm;  ///< where the frame's origin is on paper
  double scale = 50;

  Vec2 operator()(const Vec3& p) const { return at(frame.to_plane(p)); }
  Vec2 at(const Vec2& p) const { return origin_mm + Vec2{p.x * 1000 / scale, -p.y * 1000 / scale}; }
  double mm(double metres) const { return metres * 1000 / scale; }
};

/// The parts of a sheet of paper.
struct PaperLayout {
  Vec2 size_mm;
  PaperBox border;                ///< 20 mm to file it by, 10 mm elsewhere
  PaperBox drawing;               ///< what is drawn, labels and dimensions included
  PaperBox foot;                  ///< below the drawing: scale bar, mark of direction
  std::vector<PaperBox> columns;  ///< keys, lists; filled in this order
  PaperBox title;                 ///< title block
};
/// One column beside the drawing.
PaperLayout layout_of(Paper paper);
/// The drawing as wide as the paper, and a band of columns below it, at least as high as the title
/// block.
PaperLayout layout_of(Paper paper, double band_mm);

/// How a sheet is lettered: styles are meant for 1.8 mm, the least height of ISO 3098-1.
struct Hand {
  const Lettering& lettering;
  double enlarged = 1;
  /// Of what a drawing leaves above a band of columns: the rest is room for labels.
  double band_share = 0.5;
  double line_spacing = 1;  ///< of lines of keys and tables, of the usual
  /// Columns in a band below the drawing wherever that costs no scale.
  bool band_first = false;
  /// By so many usual scales smaller than the paper has room for: keys get what is left.
  int smaller = 0;
};

/// A sheet while it is drawn: the draft, and the rows for its column.
struct Work {
  Work(const DrawingRequest& request, const Hand& hand, std::string title, std::string stem);
  const DrawingRequest& request;
  Hand hand;
  PaperLayout layout;
  Draft draft;
  View view;
  /// Where coordinates are read from, in the view's plane; nothing where there are none.
  std::optional<Vec2> origin;
  std::string title, stem;
  std::string scale_text;
  bool dimensioned = true;  ///< false: the drawing has no figures that need a unit
  std::vector<Row> rows;
};

/// The least room about a drawing for what is written round it, mm.
struct Margins {
  double left = 0, right = 4, top = 7, bottom = 0;
};
/// Running dimensions to the left and below, at the sheet's lettering and in its units.
Margins dimensioned(const Work& work);
/// Chooses the largest usual scale (ISO 5455, and 1:25, 1:30, 1:40, 1:75) at which low..high, in
/// the plane of the view's frame, fits, and puts it in the middle.
void fit_view(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
              const Margins& margins);
/// As fit_view; the column goes below the drawing where that makes the scale larger, or costs none
/// and the hand has it first. For a sheet on which nothing is drawn yet.
void fit_sheet(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
               const Margins& margins);
/// Labels away from what they name or on a line, crossings of leaders, dimensions without figures,
/// words broken.
int flaws_of(const std::vector<Page>& pages);
/// Draws with lettering of 2.5 mm, ISO 3098-1's next height; with 1.8 mm where that saves a page,
/// makes the scale larger, lets more names stand beside what they name or fewer leaders cross.
void append_legible(std::vector<Page>& pages, const Lettering& lettering,
                    const std::function<std::vector<Page>(const Hand&)>& draw);
/// Scale bar, unit of the dimensions, and which way the front is.
void draw_foot(Work& work);
/// Places labels and rows, then the title block is all that is missing. What does not fit into the
/// column goes onto further pages.
std::vector<Page> finished(Work& work);
/// Fields of ISO 7200; those that only people can fill in are left empty.
void add_title_blocks(std::vector<Page>& pages, const DrawingRequest& request,
                      const Lettering& lettering);

}  // namespace roomloom
