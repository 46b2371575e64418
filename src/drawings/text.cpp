#include "drawings/text.h"

#include <pango/pangocairo.h>

#include <algorithm>
#include <array>
#include <unordered_map>

namespace roomloom {
namespace {

// Text is set at this size in units of its own and scaled, since Pango counts in whole 1/1024.
constexpr double kSetSize = 100;

}  // namespace

struct Lettering::Fonts {
  PangoContext* context = nullptr;
  PangoLayout* layout = nullptr;
  PangoFontDescription* normal = nullptr;
  PangoFontDescription* bold = nullptr;
  // Of the size that text is set at, by boldness: a sheet is tried at several sizes, and most of
  // its words are measured anew at each.
  std::array<std::unordered_map<std::string, double>, 2> widths;
};

std::vector<std::string> lines_of(const Lettering& lettering, const std::string& text,
                                  double cap_mm, bool bold, double width_mm) {
  const auto fits = [&](const std::string& line) {
    return lettering.width_mm(line, cap_mm, bold) <= width_mm;
  };
  // Mostly all of it fits, which one measurement tells.
  const bool trimmed = !text.empty() && text.front() != ' ' && text.back() != ' ';
  if (trimmed && fits(text)) return {text};
  std::vector<std::string> lines{""};
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    std::string word = text.substr(from, to - from);
    from = to + 1;
    const std::string longer = lines.back().empty() ? word : lines.back() + " " + word;
    if (fits(longer)) {
      lines.back() = longer;
      continue;
    }
    if (!lines.back().empty()) lines.emplace_back();
    while (!fits(word)) {
      std::size_t keep = word.size();
      do {
        --keep;
        while (keep > 0 && (static_cast<unsigned char>(word[keep]) & 0xC0U) == 0x80U) --keep;
      } while (keep > 0 && !fits(word.substr(0, keep)));
      if (keep == 0) break;  // not even one character: the width is no width
      lines.back() = word.substr(0, keep);
      lines.emplace_back();
      word = word.substr(keep);
    }
    lines.back() = word;
  }
  return lines;
}

const char* font_family() { return "DejaVu Sans"; }
double em_per_cap() { return 1 / 0.729; }  // capitals of DejaVu Sans: 1493 of 2048 units

Lettering::Lettering() : fonts_(std::make_unique<Fonts>()) {
  PangoFontMap* map = pango_cairo_font_map_get_default();
  fonts_->context = pango_font_map_create_context(map);
  pango_context_set_round_glyph_positions(fonts_->context, FALSE);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(fonts_->context, options);
  cairo_font_options_destroy(options);
  const auto description = [](PangoWeight weight) {
    PangoFontDescription* font = pango_font_description_new();
    pango_font_description_set_family(font, font_family());
    pango_font_description_set_weight(font, weight);
    pango_font_description_set_absolute_size(font, kSetSize * PANGO_SCALE);
    return font;
  };
  fonts_->normal = description(PANGO_WEIGHT_NORMAL);
  fonts_->bold = description(PANGO_WEIGHT_BOLD);
  fonts_->layout = pango_layout_new(fonts_->context);
  pango_layout_set_single_paragraph_mode(fonts_->layout, TRUE);
}

Lettering::~Lettering() {
  g_object_unref(fonts_->layout);
  g_object_unref(fonts_->context);
  pango_font_description_free(fonts_->normal);
  pango_font_description_free(fonts_->bold);
}

void Lettering::set(const std::string& text, bool bold) const {
  pango_layout_set_font_description(fonts_->layout, bold ? fonts_->bold : fonts_->normal);
  pango_layout_set_text(fonts_->layout, text.data(), static_cast<int>(text.size()));
}

double Lettering::width_mm(const std::string& text, double cap_mm, bool bold) const {
  const auto [known, unknown] = fonts_->widths[bold ? 1 : 0].try_emplace(text);
  if (unknown) {
    set(text, bold);
    int width = 0;
    pango_layout_get_size(fonts_->layout, &width, nullptr);
    known->second = static_cast<double>(width) / PANGO_SCALE;
  }
  return known->second * cap_mm * em_per_cap() / kSetSize;
}

void Lettering::draw(_cairo* context, const TextMark& mark) const {
  set(mark.text, mark.bold);
  cairo_save(context);
  cairo_set_source_rgb(context, mark.colour.r, mark.colour.g, mark.colour.b);
  cairo_translate(context, mark.at.x, mark.at.y);
  if (mark.upright) cairo_rotate(context, -kPi / 2);
  const double scale = mark.cap_mm * em_per_cap() / kSetSize;
  cairo_scale(context, scale, scale);
  cairo_move_to(context, 0, -pango_layout_get_baseline(fonts_->layout) / double{PANGO_SCALE});
  pango_cairo_show_layout(context, fonts_->layout);
  cairo_restore(context);
}

}  // namespace roomloom
