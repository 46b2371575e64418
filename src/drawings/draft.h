#pragma once

#include <compare>
#include <optional>
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
  /// As its line or circle is named on the page, "Trunk T3"; empty = it names no one thing. It has
  /// a leader where another thing of that kind is nearer to it.
  std::string name;
  /// What stands in the column as well is left out where it would be farther away than this.
  double reach_mm = 1e9;
  int rank = 0;                 ///< the lower are placed first, and so nearer
  std::vector<Vec2> also = {};  ///< other points that it may stand by instead, as along a line
  std::optional<PaperBox> within = {};  ///< it must not leave this
  double edge_mm = 0;  ///< how far what it names reaches from the point: there its leader ends
};

/// Labels that found no place of their own.
struct Elsewhere {
  struct Numbered {
    int number;
    Label label;
  };
  /// A number in a circle stands for each; ascending.
  std::vector<Numbered> numbered;
  /// Not even a number found a place.
  std::vector<Label> unplaced;
  std::vector<std::string> left_out;  ///< names of those that may not be farther away than they are
  int crossed = 0;                    ///< how often leaders cross each other
  int covering = 0;                   ///< how many labels lie on a run or an outline
  bool empty() const { return numbered.empty() && unplaced.empty(); }
};

/// A page while it is drawn. Holds to one promise: no two texts on it overlap, no leader passes a
/// text, and no label leaves the area kept for labels. Whatever finds no place under these terms is
/// told to the caller, who writes it elsewhere.
class Draft {
 public:
  /// Labels stay within `area` and off every text. All lettering is `enlarged` times its style.
  Draft(Vec2 size_mm, PaperBox area, const Lettering& lettering, double enlarged = 1);

  void path(std::vector<Vec2> points, const Pen& pen, const std::string& name = "");
  void shape(std::vector<Vec2> ring, const std::optional<Pen>& pen, const std::optional<Rgb>& fill,
             const std::string& name = "");
  void circle(Vec2 centre, double radius_mm, const std::optional<Pen>& pen,
              const std::optional<Rgb>& fill, const std::string& name = "");
  /// Text at a place of its own, if that is free; false = not drawn.
  [[nodiscard]] bool text(const std::string& text, Vec2 left_of_base, const TextStyle& style);
  /// Text at a place of its own with a leader to it from the thing named, if the place is free and
  /// the leader passes no text; false = not drawn.
  [[nodiscard]] bool led_text(const std::string& text, Vec2 left_of_base, const TextStyle& style,
                              const Vec2& from, const Vec2& to, const std::string& name);
  /// Text at a place of its own; where that is taken, as a label beside it.
  void write(const std::string& text, Vec2 left_of_base, const TextStyle& style);
  /// Where such a text would lie.
  PaperBox text_box(const std::string& text, Vec2 left_of_base, const TextStyle& style) const;
  double cap_mm(const TextStyle& style) const { return enlarged_ * style.cap_mm; }
  double text_width(const std::string& text, const TextStyle& style) const;
  std::vector<std::string> lines_of(const std::string& text, const TextStyle& style,
                                    double width_mm) const;
  bool is_free(const PaperBox& box) const;
  /// Does a wide line, an outline or a run, pass the box?
  bool over_wide_line(const PaperBox& box) const;
  /// Labels rather go 60 mm farther than into such a box, as where dimensions stand.
  void spare(const PaperBox& box) { spared_.push_back(box); }
  /// A line that is drawn elsewhere: labels keep off it as off their page's own.
  void pass(const Vec2& a, const Vec2& b, double width_mm) { add_line(a, b, width_mm); }
  /// Keeps labels off a box that holds no text.
  void keep_off(const PaperBox& box) { kept_.push_back(box); }
  /// Kept until finish(), when all lines are known.
  void label(Label label) { labels_.push_back(std::move(label)); }

  /// What becomes of labels that find no place even when they go first.
  enum class Crowded { numbered, left_out };
  /// Places the labels. Those that find no place go first when it is tried again; those that find
  /// none even so have a number in their place, and at last nothing.
  Elsewhere finish(Crowded crowded = Crowded::numbered);

  Page page;
  const PaperBox& area() const { return area_; }

 private:
  /// Kinds of things that labels must not be taken to name instead of each other.
  enum class Kind { none, line, end, hole, port };
  struct Line {
    Vec2 a, b;
    double weight;   ///< what it costs to write over it
    double half_mm;  ///< of its width
    Kind kind = Kind::none;
    std::string name = {};
  };
  /// Which lines or texts come near a place: squares of the page with what touches them.
  class Squares {
   public:
    explicit Squares(Vec2 size_mm);
    void add(const PaperBox& box, int index);
    /// Does it hold for any index that may touch the box? Each is asked at most once.
    template <typename Holds>
    bool any(const PaperBox& box, Holds holds) const;

   private:
    template <typename Visit>
    void visit(const PaperBox& box, Visit visit) const;
    int columns_, rows_;
    double side_mm_;
    std::vector<std::vector<int>> squares_;
    mutable std::vector<unsigned> seen_;  ///< by index: the question that it was asked last
    mutable unsigned question_ = 0;
  };
  struct Segment {
    Vec2 a, b;
  };
  /// A label on its way to a place: each failure makes more way for it.
  struct Wish {
    Label label;
    int failed = 0;
    int number = 0;  ///< above 0: this number in a circle is written instead of the text
    bool placed = false;
    int flawed = 0;     ///< how often its leader crossed another or it covered a run or an outline
    PaperBox box = {};  ///< where it was placed
    std::optional<Segment> leader = {};
  };
  /// All that placing a label changes.
  struct Ground {
    std::vector<Mark> marks;
    std::vector<PaperBox> texts;
    std::vector<Line> lines;
    std::vector<Segment> leaders;
    Squares near_texts, near_lines;
  };
  struct Score {
    int unplaced = 0, numbered = 0, flawed = 0;
    auto operator<=>(const Score&) const = default;
  };
  /// Places them all, in the order of what they have failed; a number of failures gives them up.
  Score place_all(std::vector<Wish>& wishes, int given_up);
  Elsewhere elsewhere(std::vector<Wish> wishes) const;
  /// Gives numbers, from the left, to those that are to have one.
  static void number(std::vector<Wish>& wishes);
  Ground ground() const;
  void restore(const Ground& ground);
  Vec2 half_of(const Wish& wish) const;
  bool place(Wish& wish);
  bool place_upon(Wish& wish, const Vec2& half);
  bool covers_line(const Wish& wish) const;
  bool is_flawed(const Wish& wish) const;
  /// The cheapest place in sight of the label's point, and what it costs.
  std::optional<std::pair<PaperBox, double>> best_place(const Wish& wish, const Vec2& half) const;
  /// The free place nearest to the label's point that covers no run, else whatever it covers.
  std::optional<PaperBox> nearest_gap(const Wish& wish, const Vec2& half) const;
  /// The line from the label's point to its text; none where they are near enough.
  std::optional<Segment> leader_to(const Wish& wish, const PaperBox& box) const;
  /// Neither is a text on the label's leader, nor does the label lie on another's.
  bool clear_of_leaders(const Wish& wish, const PaperBox& box) const;
  bool on_leader(const PaperBox& box) const;
  bool over_text(const Segment& leader) const;
  void put_leader(const Segment& leader, const TextStyle& style, const std::string& name);
  static Kind kind_of(const std::string& name);
  /// Is another line of the kind that the label names, or the middle of another circle, nearer to
  /// the box than `away_mm`?
  bool nearer_to_another(const Label& label, const PaperBox& box, double away_mm) const;
  /// Over how many wide lines it passes that it does not begin on; points count for more.
  int lines_passed(const Segment& leader) const;
  /// Does it go along a wide line for most of its way?
  bool lies_on_line(const Segment& leader) const;
  /// In millimetres of way; what is not below `limit` need not be whole.
  double cost(const PaperBox& box, const Segment& leader, double limit) const;
  void add_line(const Vec2& a, const Vec2& b, double width_mm, const std::string& name = "");
  /// `stand`: the wish at the point that it is placed beside.
  void put_label(Wish& wish, const Wish& stand, const PaperBox& box);
  bool allowed(const Label& label, const PaperBox& box) const;
  void add_lines(const std::vector<Vec2>& points, bool closed, double width_mm,
                 const std::string& name);
  /// `taken`: where no other text may stand.
  void put_text(const std::string& text, Vec2 at, const TextStyle& style, const PaperBox& taken);

  PaperBox area_;
  const Lettering* lettering_;
  double enlarged_;
  std::vector<PaperBox> texts_, kept_, spared_;
  std::vector<Line> lines_;
  std::vector<Segment> leaders_;
  Squares near_texts_, near_lines_;
  std::vector<Label> labels_;
};

}  // namespace roomloom
