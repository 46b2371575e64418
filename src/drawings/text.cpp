#include "drawings/text.h"

#include <pango/pangocairo.h>

#include <cstdint>

namespace roomloom {
namespace {

// Text is set at this size in units of its own and scaled, since Pango counts in whole 1/1024.
constexpr double kSetSize = 100;

struct Decoded {
  std::uint32_t code = 0xFFFD;
  std::size_t bytes = 1;
};

Decoded decode(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return {lead, 1};
  const std::size_t count = lead >= 0xF0 && lead < 0xF5   ? 4
                            : lead >= 0xE0 && lead < 0xF0 ? 3
                            : lead >= 0xC2 && lead < 0xE0 ? 2
                                                          : 0;
  if (count == 0 || text.size() < count) return {};
  std::uint32_t code = lead & (0xFFU >> (count + 1));
  for (std::size_t i = 1; i < count; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return {};
    code = code << 6U | (byte(i) & 0x3FU);
  }
  constexpr std::uint32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
  if (code < kLeast[count] || code > 0x10FFFF || (code >= 0xD800 && code < 0xE000)) return {};
  return {code, count};
}

bool is_white(std::uint32_t code) {
  return code == ' ' || code == '\t' || code == '\n' || code == '\r' || code == 0x2028 ||
         code == 0x2029;
}

/// Controls, marks of direction, byte order mark, non-characters and private use: nothing to see.
bool is_unseen(std::uint32_t code) {
  return code < 0x20 || (code >= 0x7F && code < 0xA0) || (code >= 0x200B && code <= 0x200F) ||
         (code >= 0x202A && code <= 0x202E) || (code >= 0x2060 && code <= 0x206F) ||
         code == 0x061C || code == 0xFEFF || (code & 0xFFFEU) == 0xFFFE ||
         (code >= 0xE000 && code < 0xF900) || code >= 0xE0000;
}

}  // namespace

std::string plain_text(std::string_view name, std::size_t limit) {
  std::string plain;
  std::size_t characters = 0;
  bool space = false;
  while (!name.empty()) {
    const Decoded next = decode(name);
    const std::string_view piece = name.substr(0, next.bytes);
    const bool broken = next.code == 0xFFFD;
    name.remove_prefix(next.bytes);
    if (is_white(next.code)) {
      space = !plain.empty();
      continue;
    }
    if (is_unseen(next.code)) continue;
    if (characters + (space ? 2 : 1) > limit) return plain + "…";
    if (space) plain += ' ';
    characters += space ? 2 : 1;
    space = false;
    plain += broken ? std::string_view("\xEF\xBF\xBD") : piece;
  }
  return plain;
}

struct Lettering::Fonts {
  PangoContext* context = nullptr;
  PangoLayout* layout = nullptr;
  PangoFontDescription* normal = nullptr;
  PangoFontDescription* bold = nullptr;
};

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
  set(text, bold);
  int width = 0;
  pango_layout_get_size(fonts_->layout, &width, nullptr);
  return static_cast<double>(width) / PANGO_SCALE * cap_mm * em_per_cap() / kSetSize;
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
