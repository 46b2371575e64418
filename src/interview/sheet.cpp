#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <memory>
#include <string>

#include "base/files.h"
#include "interview/interview.h"

namespace roomloom {
namespace {

/// All that could be asked: with a suspended ceiling, studs, a screen, a projector, a door, a
/// window, an outlet.
std::vector<Question> whole_sheet(const Answers& answers) {
  Answers all;
  for (const auto& [key, value] : answers.all()) all.set(key, value);
  for (const auto& [key, value] :
       {std::pair("suspended_ceiling", "yes"), std::pair("hollow_walls", "all"),
        std::pair("screen", "yes"), std::pair("projector", "yes"),
        std::pair("loudspeakers", "0+5+0")})
    if (!all.has(key)) all.set(key, value);
  for (const char* key : {"doors", "windows", "network_points"})
    if (!all.has(key)) all.set(key, "1");
  return questions(all);
}

constexpr double kMillimetre = 72 / 25.4;
constexpr double kPageWidth = 210 * kMillimetre, kPageHeight = 297 * kMillimetre;

class SheetPage {
 public:
  explicit SheetPage(std::string& bytes)
      : surface_(cairo_pdf_surface_create_for_stream(append, &bytes, kPageWidth, kPageHeight),
                 cairo_surface_destroy),
        context_(cairo_create(surface_.get()), cairo_destroy) {
    // No date: the same answers give the same bytes.
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, "Measuring sheet");
    cairo_set_line_width(context_.get(), 0.35 * kMillimetre);
  }
  void line(double x1, double y1, double x2, double y2, bool dashed = false) {
    const double dashes[] = {2 * kMillimetre, 1 * kMillimetre};
    cairo_set_dash(context_.get(), dashes, dashed ? 2 : 0, 0);
    cairo_move_to(context_.get(), x1 * kMillimetre, y1 * kMillimetre);
    cairo_line_to(context_.get(), x2 * kMillimetre, y2 * kMillimetre);
    cairo_stroke(context_.get());
  }
  /// @return the height of the text in millimetres
  double text(double x, double y, double width, const std::string& words, double points = 9) {
    const std::unique_ptr<PangoLayout, void (*)(gpointer)> layout(
        pango_cairo_create_layout(context_.get()), g_object_unref);
    const std::unique_ptr<PangoFontDescription, void (*)(PangoFontDescription*)> font(
        pango_font_description_from_string("DejaVu Sans"), pango_font_description_free);
    pango_font_description_set_absolute_size(font.get(), points * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_width(layout.get(), static_cast<int>(width * kMillimetre * PANGO_SCALE));
    pango_layout_set_text(layout.get(), words.c_str(), -1);
    cairo_move_to(context_.get(), x * kMillimetre, y * kMillimetre);
    pango_cairo_show_layout(context_.get(), layout.get());
    int pixels = 0;
    pango_layout_get_pixel_size(layout.get(), nullptr, &pixels);
    return pixels / kMillimetre;
  }
  void next() { cairo_show_page(context_.get()); }
  bool finish() {
    cairo_surface_finish(surface_.get());
    return cairo_surface_status(surface_.get()) == CAIRO_STATUS_SUCCESS;
  }

 private:
  static cairo_status_t append(void* to, const unsigned char* data, unsigned length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
  }
  std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> surface_;
  std::unique_ptr<cairo_t, void (*)(cairo_t*)> context_;
};

/// The room from above, with its walls and diagonals named, and from the side.
void draw_room(SheetPage& page) {
  const double left = 25, top = 32, right = 95, bottom = 92;
  page.line(left, top, right, top);
  page.line(right, top, right, bottom);
  page.line(right, bottom, left, bottom);
  page.line(left, bottom, left, top);
  page.line(left, top, right, bottom, true);
  page.line(right, top, left, bottom, true);
  page.text(50, top - 5, 40, "front wall");
  page.text(50, bottom + 1, 40, "back wall");
  page.text(left - 12, 60, 11, "left wall");
  page.text(right + 1, 60, 14, "right wall");
  page.text(46, 44, 25, "diagonal 1");
  page.text(45, 77, 25, "diagonal 2");
  page.text(25, 98, 80, "From above. The front wall is the one you look at.", 8);
  const double floor = 92, ceiling = 50, above = 38, from = 130, to = 190;
  page.line(from, floor, to, floor);
  page.line(from, ceiling, to, ceiling, true);
  page.line(from, above, to, above);
  page.line(from, floor, from, above);
  page.line(to, floor, to, above);
  page.line(150, floor, 150, ceiling);
  page.text(152, 70, 35, "height of the ceiling that you see");
  page.line(170, ceiling, 170, above);
  page.text(172, 39, 17, "room above", 8);
  page.text(130, 98, 70, "From the side. With tiles: lift one and measure above it.", 8);
}

}  // namespace

std::string measuring_sheet_text(const Answers& answers) {
  std::string text =
      "# Measuring sheet. Write after the colon what you find, or don't know; then:\n"
      "#   roomloom start --answers THIS_FILE\n";
  for (const Question& question : whole_sheet(answers)) {
    text += "\n# " + question.text + "\n";
    if (!question.hint.empty()) text += "#   " + question.hint + "\n";
    if (!question.choices.empty()) {
      text += "#   One of:";
      for (const std::string& choice : question.choices) text += " " + choice + ",";
      text.back() = '.';
      text += "\n";
    }
    text += question.key + ": " + answers.text(question.key) + "\n";
  }
  return text;
}

Status write_measuring_sheet(const Answers& answers, const std::filesystem::path& pdf) {
  std::string bytes;
  {
    SheetPage page(bytes);
    page.text(15, 12, 180, "Measuring sheet", 16);
    page.text(15, 20, 180,
              "Lengths as the tape gives them: 2.31 m, 231 cm, 7' 6 3/8\". Leave open what you "
              "cannot reach.");
    draw_room(page);
    double y = 108;
    for (const Question& question : whole_sheet(answers)) {
      if (y > 275) {
        page.next();
        y = 15;
      }
      const std::string words = question.text + (question.hint.empty() ? "" : " " + question.hint);
      const double height = page.text(15, y, 115, words, 8);
      page.line(135, y + 4, 195, y + 4);
      y += std::max(height, 4.0) + 4;
    }
    if (!page.finish())
      return Error{"file.unwritable", "The sheet cannot be drawn.", pdf.string(), "Leave it out."};
  }
  return write_file(pdf, bytes);
}

}  // namespace roomloom
