#include "interview/sheet_page.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

namespace roomloom {
namespace {

constexpr double kMillimetre = 72 / 25.4;
constexpr double kPageWidth = 210 * kMillimetre, kPageHeight = 297 * kMillimetre;

using Layout = std::unique_ptr<PangoLayout, void (*)(gpointer)>;

cairo_status_t append(void* to, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

struct SheetPage::Canvas {
  explicit Canvas(std::string& bytes)
      : surface(cairo_pdf_surface_create_for_stream(append, &bytes, kPageWidth, kPageHeight),
                cairo_surface_destroy),
        context(cairo_create(surface.get()), cairo_destroy) {}

  Layout layout_of(double width, const std::string& words, double points) {
    Layout layout(pango_cairo_create_layout(context.get()), g_object_unref);
    const std::unique_ptr<PangoFontDescription, void (*)(PangoFontDescription*)> font(
        pango_font_description_from_string("DejaVu Sans"), pango_font_description_free);
    pango_font_description_set_absolute_size(font.get(), points * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_width(layout.get(), static_cast<int>(width * kMillimetre * PANGO_SCALE));
    pango_layout_set_text(layout.get(), words.c_str(), -1);
    return layout;
  }

  std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> surface;
  std::unique_ptr<cairo_t, void (*)(cairo_t*)> context;
};

SheetPage::SheetPage(std::string& bytes) : canvas_(new Canvas(bytes)) {
  // No date: the same answers give the same bytes.
  cairo_pdf_surface_set_metadata(canvas_->surface.get(), CAIRO_PDF_METADATA_TITLE,
                                 "Measuring sheet");
  cairo_set_line_width(canvas_->context.get(), 0.35 * kMillimetre);
}

SheetPage::~SheetPage() = default;

void SheetPage::line(double x1, double y1, double x2, double y2, bool dashed) {
  const double dashes[] = {2 * kMillimetre, 1 * kMillimetre};
  cairo_set_dash(canvas_->context.get(), dashes, dashed ? 2 : 0, 0);
  cairo_move_to(canvas_->context.get(), x1 * kMillimetre, y1 * kMillimetre);
  cairo_line_to(canvas_->context.get(), x2 * kMillimetre, y2 * kMillimetre);
  cairo_stroke(canvas_->context.get());
}

void SheetPage::box(double x, double y, double width, double height, bool dashed) {
  line(x, y, x + width, y, dashed);
  line(x + width, y, x + width, y + height, dashed);
  line(x + width, y + height, x, y + height, dashed);
  line(x, y + height, x, y, dashed);
}

double SheetPage::height_of(double width, const std::string& words, double points) {
  int pixels = 0;
  pango_layout_get_pixel_size(canvas_->layout_of(width, words, points).get(), nullptr, &pixels);
  return pixels / kMillimetre;
}

double SheetPage::text(double x, double y, double width, const std::string& words, double points) {
  const auto layout = canvas_->layout_of(width, words, points);
  cairo_move_to(canvas_->context.get(), x * kMillimetre, y * kMillimetre);
  pango_cairo_show_layout(canvas_->context.get(), layout.get());
  int pixels = 0;
  pango_layout_get_pixel_size(layout.get(), nullptr, &pixels);
  return pixels / kMillimetre;
}

void SheetPage::number(double x, double y, const std::string& number) {
  if (number.empty()) return;
  constexpr double kRadius = 2.3;
  cairo_set_dash(canvas_->context.get(), nullptr, 0, 0);
  cairo_new_sub_path(canvas_->context.get());
  cairo_arc(canvas_->context.get(), x * kMillimetre, y * kMillimetre, kRadius * kMillimetre, 0, 7);
  cairo_set_source_rgb(canvas_->context.get(), 1, 1, 1);
  cairo_fill_preserve(canvas_->context.get());
  cairo_set_source_rgb(canvas_->context.get(), 0, 0, 0);
  cairo_stroke(canvas_->context.get());
  text(x - (number.size() > 1 ? 1.7 : 0.9), y - 1.6, 8, number, 7.5);
}

void SheetPage::measure(double x1, double y1, double x2, double y2, const std::string& number) {
  if (number.empty()) return;
  constexpr double kTick = 1.2;
  const bool upright = x1 == x2;
  line(x1, y1, x2, y2);
  for (const auto& [x, y] : {std::pair(x1, y1), std::pair(x2, y2)})
    line(x - (upright ? kTick : 0), y - (upright ? 0 : kTick), x + (upright ? kTick : 0),
         y + (upright ? 0 : kTick));
  this->number((x1 + x2) / 2, (y1 + y2) / 2, number);
}

void SheetPage::next() { cairo_show_page(canvas_->context.get()); }

bool SheetPage::finish() {
  cairo_surface_finish(canvas_->surface.get());
  return cairo_surface_status(canvas_->surface.get()) == CAIRO_STATUS_SUCCESS;
}

}  // namespace roomloom
