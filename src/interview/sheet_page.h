#pragma once

#include <functional>
#include <memory>
#include <string>

// The page that the measuring sheet is drawn on; sheet.cpp and sheet_figures.cpp only.
namespace roomloom {

/// A4 pages, upright; places and sizes in millimetres from the upper left corner.
class SheetPage {
 public:
  /// @param bytes  takes the file; must outlive the page
  explicit SheetPage(std::string& bytes);
  ~SheetPage();
  SheetPage(const SheetPage&) = delete;
  SheetPage& operator=(const SheetPage&) = delete;
  void line(double x1, double y1, double x2, double y2, bool dashed = false);
  void box(double x, double y, double width, double height, bool dashed = false);
  /// @return the height of the text
  double text(double x, double y, double width, const std::string& words, double points = 8);
  /// A line with a tick at each end and a number in a circle upon it: what to measure.
  void measure(double x1, double y1, double x2, double y2, const std::string& number);
  /// A number in a circle.
  void number(double x, double y, const std::string& number);
  /// How high text would stand.
  double height_of(double width, const std::string& words, double points = 8);
  void next();
  /// @return whether all was drawn
  bool finish();

 private:
  struct Canvas;
  std::unique_ptr<Canvas> canvas_;
};

constexpr double kFigureWidth = 62, kFigureHeight = 44;

/// A little drawing of what belongs together, kFigureWidth by kFigureHeight.
struct SheetFigure {
  std::string title;
  /// Draws it with its upper left corner at x, y. `number_of` a question's key gives its number on
  /// the sheet, "" where it is not asked.
  std::function<void(SheetPage&, double x, double y,
                     const std::function<std::string(const std::string&)>& number_of)>
      draw;  ///< empty = nothing is drawn
};

/// Where a question belongs.
SheetFigure figure_of(const std::string& key);

}  // namespace roomloom
