#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/utf8.h"
#include "drawings/page.h"

struct _PangoLayout;  // NOLINT: Pango's own name
struct _cairo;        // NOLINT: Cairo's own name

namespace roomloom {

/// Measures and draws lines of text. One font for all drawings, so that a sheet looks alike
/// everywhere. Not for use by several threads at once.
class Lettering {
 public:
  Lettering();
  ~Lettering();
  Lettering(const Lettering&) = delete;
  Lettering& operator=(const Lettering&) = delete;

  double width_mm(const std::string& text, double cap_mm, bool bold) const;
  /// Draws in a context whose unit is the millimetre.
  void draw(_cairo* context, const TextMark& mark) const;

 private:
  void set(const std::string& text, bool bold) const;
  struct Fonts;
  std::unique_ptr<Fonts> fonts_;
};

/// Lines no wider than that, broken between words, and within a word that is wider by itself.
std::vector<std::string> lines_of(const Lettering& lettering, const std::string& text,
                                  double cap_mm, bool bold, double width_mm);

/// Name of the font family, for SVG.
const char* font_family();
/// Size of the font's square for a capital letter of 1 mm.
double em_per_cap();

}  // namespace roomloom
