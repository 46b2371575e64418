#include "drawings/page_files.h"

#include <cairo-pdf.h>
#include <cairo.h>

#include <cmath>
#include <memory>

namespace roomloom {
namespace {

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};
using Surface = std::unique_ptr<cairo_surface_t, Destroy>;
using Context = std::unique_ptr<cairo_t, Destroy>;

constexpr double kPointsPerMm = 72 / 25.4;

Error failed(cairo_status_t status) {
  return {"drawings.failed", std::string("Cairo: ") + cairo_status_to_string(status) + ".", "",
          "Route with --no-drawings to do without drawings."};
}

void set_colour(cairo_t* context, const Rgb& colour) {
  cairo_set_source_rgb(context, colour.r, colour.g, colour.b);
}

void paint(cairo_t* context, const std::optional<Rgb>& fill, const std::optional<Pen>& pen) {
  if (fill) {
    set_colour(context, *fill);
    if (pen) {
      cairo_fill_preserve(context);
    } else {
      cairo_fill(context);
    }
  }
  if (!pen) return;
  set_colour(context, pen->colour);
  cairo_set_line_width(context, pen->width_mm);
  cairo_set_dash(context, pen->dash_mm.data(), static_cast<int>(pen->dash_mm.size()), 0);
  cairo_stroke(context);
}

struct CairoPainter {
  cairo_t* context;
  const Lettering& lettering;

  void operator()(const PathMark& mark) const {
    if (mark.points.empty()) return;
    cairo_new_path(context);
    for (const Vec2& p : mark.points) cairo_line_to(context, p.x, p.y);
    if (mark.closed) cairo_close_path(context);
    paint(context, mark.fill, mark.pen);
  }
  void operator()(const CircleMark& mark) const {
    cairo_new_path(context);
    cairo_arc(context, mark.centre.x, mark.centre.y, mark.radius_mm, 0, 2 * kPi);
    cairo_close_path(context);
    paint(context, mark.fill, mark.pen);
  }
  void operator()(const TextMark& mark) const { lettering.draw(context, mark); }
};

void draw(cairo_t* context, const std::vector<Mark>& marks, const Lettering& lettering) {
  cairo_set_line_cap(context, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join(context, CAIRO_LINE_JOIN_ROUND);
  for (const Mark& mark : marks) std::visit(CairoPainter{context, lettering}, mark);
}

/// Cairo's pixels, a word each, as bytes of red, green and blue.
void take_colours(const std::uint32_t* pixels, int count, std::uint8_t* rgb) {
  for (int i = 0; i < count; ++i, rgb += 3) {
    rgb[0] = static_cast<std::uint8_t>(pixels[i] >> 16);
    rgb[1] = static_cast<std::uint8_t>(pixels[i] >> 8);
    rgb[2] = static_cast<std::uint8_t>(pixels[i]);
  }
}

cairo_status_t append(void* text, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(data), length);  // NOLINT
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

Result<std::string> pdf_of(const std::vector<Page>& pages, const Lettering& lettering,
                           const std::string& title, const std::string& program) {
  std::string bytes;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1));
  const auto tell = [&](cairo_pdf_metadata_t what, const char* value) {
    cairo_pdf_surface_set_metadata(surface.get(), what, value);
  };
  tell(CAIRO_PDF_METADATA_TITLE, title.c_str());
  tell(CAIRO_PDF_METADATA_CREATOR, program.c_str());
  tell(CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
  const Context context(cairo_create(surface.get()));
  for (const Page& page : pages) {
    cairo_pdf_surface_set_size(surface.get(), page.size_mm.x * kPointsPerMm,
                               page.size_mm.y * kPointsPerMm);
    cairo_save(context.get());
    cairo_scale(context.get(), kPointsPerMm, kPointsPerMm);
    draw(context.get(), page.marks, lettering);
    cairo_restore(context.get());
    cairo_show_page(context.get());
  }
  cairo_surface_finish(surface.get());
  for (const cairo_status_t status :
       {cairo_status(context.get()), cairo_surface_status(surface.get())}) {
    if (status != CAIRO_STATUS_SUCCESS) return failed(status);
  }
  return bytes;
}

Status draw_over(Image& image, const std::vector<Mark>& marks, const Lettering& lettering) {
  const auto pixels =
      static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height);
  std::vector<std::uint32_t> words(pixels);
  for (std::size_t i = 0; i < pixels; ++i) {
    const std::uint8_t* p = &image.rgb[i * 3];
    words[i] = static_cast<std::uint32_t>(p[0] << 16 | p[1] << 8 | p[2]);
  }
  {
    const Surface surface(cairo_image_surface_create_for_data(
        reinterpret_cast<unsigned char*>(words.data()), CAIRO_FORMAT_RGB24,  // NOLINT
        image.width, image.height, image.width * 4));
    const Context context(cairo_create(surface.get()));
    draw(context.get(), marks, lettering);
    cairo_surface_flush(surface.get());
    if (const auto status = cairo_status(context.get()); status != CAIRO_STATUS_SUCCESS)
      return failed(status);
  }
  take_colours(words.data(), static_cast<int>(pixels), image.rgb.data());
  return Done{};
}

Result<Image> image_of(const Page& page, const Lettering& lettering, double pixels_per_mm) {
  const auto pixels = [&](double mm) { return static_cast<int>(std::lround(mm * pixels_per_mm)); };
  Image image{pixels(page.size_mm.x), pixels(page.size_mm.y), {}};
  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width, image.height));
  const Context context(cairo_create(surface.get()));
  set_colour(context.get(), {1, 1, 1});
  cairo_paint(context.get());
  cairo_scale(context.get(), pixels_per_mm, pixels_per_mm);
  draw(context.get(), page.marks, lettering);
  cairo_surface_flush(surface.get());
  if (const auto status = cairo_status(context.get()); status != CAIRO_STATUS_SUCCESS)
    return failed(status);
  const unsigned char* data = cairo_image_surface_get_data(surface.get());
  const int stride = cairo_image_surface_get_stride(surface.get());
  image.rgb.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) *
                   3);
  std::uint8_t* out = image.rgb.data();
  for (int y = 0; y < image.height; ++y, out += static_cast<std::ptrdiff_t>(image.width) * 3)
    take_colours(reinterpret_cast<const std::uint32_t*>(  // NOLINT
                     data + static_cast<std::ptrdiff_t>(y) * stride),
                 image.width, out);
  return image;
}

}  // namespace roomloom
