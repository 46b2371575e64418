#pragma once

#include <string>
#include <utility>
#include <vector>

#include "drawings/page.h"
#include "drawings/text.h"

namespace roomloom {

struct TextStyle {
  double cap_mm = 1.8;  ///< ISO 3098-1 has 1.8, 2.5, 3.5, 5 ...
  bool bold = false;
  bool upright = false;
  Rgb colour;
};

/// A note that belongs to a point and finds a free place near it.
struct Label {
  std::string text;
  Vec2 point;  ///< what it tells of
  TextStyle style;
  double clear_mm = 1;  ///< at least this far from the point; 0 = upon it, if it can
  Vec2 prefer;          ///< direction tried first; zero = upward to the right
  std::string name;
  /// What stands in the column as well is left out where it would be farther away than this.
  double reach_mm = 1e9;
  int rank = 0;                 ///< the lower are placed first, and so nearer
  std::vector<Vec2> also = {};  ///< other points that it may stand by instead, as along a line
};

/// A page while it is drawn. Holds to one promise: no two texts on it overlap, and no label leaves
/// the area kept for labels. As long as there is any place for a label from which its leader passes
/// no text, and where it covers no leader, it gets such a place.
class Draft {
 public:
  /// Labels stay within `area` and off every text.
  Draft(Vec2 size_mm, Box2 area, const Lettering& lettering);

  void path(std::vector<Vec2> points, const Pen& pen, const std::string& name = "");
  void shape(std::vector<Vec2> ring, const std::optional<Pen>& pen, const std::optional<Rgb>& fill,
             const std::string& name = "");
  void circle(Vec2 centre, double radius_mm, const std::optional<Pen>& pen,
              const std::optional<Rgb>& fill, const std::string& name = "");
  /// Text at a place of its own, if that is free; false = not drawn.
  [[nodiscard]] bool text(const std::string& text, Vec2 left_of_base, const TextStyle& style);
  /// Text at a place of its own with a leader to it, if the place is free and the leader passes no
  /// text; false = not drawn.
  [[nodiscard]] bool led_text(const std::string& text, Vec2 left_of_base, const TextStyle& style,
                              const Vec2& from, const Vec2& to);
  /// Text at a place of its own; where that is taken, as a label beside it.
  void write(const std::string& text, Vec2 left_of_base, const TextStyle& style);
  /// Where such a text would lie.
  Box2 text_box(const std::string& text, Vec2 left_of_base, const TextStyle& style) const;
  double text_width(const std::string& text, const TextStyle& style) const;
  std::vector<std::string> lines_of(const std::string& text, const TextStyle& style,
                                    double width_mm) const;
  bool is_free(const Box2& box) const;
  /// Does a wide line, an outline or a run, pass the box?
  bool over_wide_line(const Box2& box) const;
  /// Labels rather go 60 mm farther than into such a box, as where dimensions stand.
  void spare(const Box2& box) { spared_.push_back(box); }
  /// A line that is drawn elsewhere: labels keep off it as off their page's own.
  void pass(const Vec2& a, const Vec2& b, double width_mm) { add_line(a, b, width_mm); }
  /// Keeps labels off a box that holds no text.
  void keep_off(const Box2& box) { kept_.push_back(box); }
  /// Kept until finish(), when all lines are known.
  void label(Label label) { labels_.push_back(std::move(label)); }

  /// Places the labels. @return those for which no room was left, in order
  std::vector<Label> finish();

  Page page;
  const Box2& area() const { return area_; }

 private:
  struct Line {
    Vec2 a, b;
    double weight;  ///< what it costs to write over it
  };
  /// Which lines or texts come near a place: squares of the page with what touches them.
  class Squares {
   public:
    explicit Squares(Vec2 size_mm);
    void add(const Box2& box, int index);
    /// Each index that may touch the box, once, ascending.
    std::vector<int> near(const Box2& box) const;

   private:
    template <typename Visit>
    void visit(const Box2& box, Visit visit) const;
    int columns_, rows_;
    double side_mm_;
    std::vector<std::vector<int>> squares_;
  };
  struct Segment {
    Vec2 a, b;
  };
  enum class Leaders { clear, anyhow };
  bool place(const Label& label);
  bool place_upon(const Label& label, const Vec2& half);
  /// The cheapest place in sight of the label's point, and what it costs.
  std::optional<std::pair<Box2, double>> best_place(const Label& label, const Vec2& half,
                                                    Leaders leaders) const;
  /// The free place nearest to the label's point, whatever lines it covers.
  std::optional<Box2> nearest_gap(const Label& label, const Vec2& half, Leaders leaders) const;
  /// The line from the label's point to its text; none where they are near enough.
  std::optional<Segment> leader_to(const Label& label, const Box2& box) const;
  /// Neither is a text on the label's leader, nor does the label lie on another's.
  bool clear_of_leaders(const Label& label, const Box2& box) const;
  bool on_leader(const Box2& box) const;
  bool over_text(const Segment& leader) const;
  void put_leader(const Segment& leader, const TextStyle& style);
  double cost(const Box2& box, const Vec2& from, const Vec2& to) const;
  void add_line(const Vec2& a, const Vec2& b, double width_mm);
  void put_label(const Label& label, const Box2& box);
  bool allowed(const Label& label, const Box2& box) const;
  void add_lines(const std::vector<Vec2>& points, bool closed, double width_mm);
  void put_text(const std::string& text, Vec2 at, const TextStyle& style, double width);

  Box2 area_;
  const Lettering& lettering_;
  std::vector<Box2> texts_, kept_, spared_;
  std::vector<Line> lines_;
  std::vector<Segment> leaders_;
  Squares near_texts_, near_lines_;
  std::vector<Label> labels_;
};

}  // namespace roomloom
