#include <cmath>

#include "base/units.h"
#include "drawings/page_files.h"

namespace roomloom {
namespace {

/// XML 1.0, section 2.4: what must not stand as it is in text and in quoted attributes.
std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string number(double mm) {
  std::string text = format_number(mm, 3);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string hex(const Rgb& colour) {
  constexpr const char* kDigits = "0123456789abcdef";
  std::string text = "#";
  for (const double share : {colour.r, colour.g, colour.b}) {
    const auto byte = static_cast<unsigned>(std::lround(share * 255));
    text += kDigits[byte >> 4U];
    text += kDigits[byte & 15U];
  }
  return text;
}

std::string paint(const std::optional<Rgb>& fill, const std::optional<Pen>& pen) {
  std::string text = " fill=\"" + (fill ? hex(*fill) : std::string("none")) + "\"";
  if (!pen) return text;
  text += " stroke=\"" + hex(pen->colour) + "\" stroke-width=\"" + number(pen->width_mm) + "\"";
  if (pen->dash_mm.empty()) return text;
  text += " stroke-dasharray=\"";
  for (const double length : pen->dash_mm)
    text += (&length == pen->dash_mm.data() ? "" : " ") + number(length);
  return text + "\"";
}

std::string named(const std::string& name) {
  return name.empty() ? std::string() : " data-name=\"" + escaped(name) + "\"";
}

struct SvgWriter {
  std::string& out;

  void operator()(const PathMark& mark) const {
    if (mark.points.empty()) return;
    std::string way = "M";
    for (const Vec2& p : mark.points) {
      if (&p != mark.points.data()) way += 'L';
      way += number(p.x) + " " + number(p.y);
    }
    if (mark.closed) way += 'Z';
    out += "<path" + named(mark.name) + paint(mark.fill, mark.pen) + " d=\"" + way + "\"/>\n";
  }
  void operator()(const CircleMark& mark) const {
    out += "<circle" + named(mark.name) + paint(mark.fill, mark.pen) + " cx=\"" +
           number(mark.centre.x) + "\" cy=\"" + number(mark.centre.y) + "\" r=\"" +
           number(mark.radius_mm) + "\"/>\n";
  }
  void operator()(const TextMark& mark) const {
    const std::string x = number(mark.at.x);
    const std::string y = number(mark.at.y);
    out += "<text x=\"" + x + "\" y=\"" + y + "\" font-size=\"" +
           number(mark.cap_mm * em_per_cap()) + "\"";
    if (mark.bold) out += " font-weight=\"bold\"";
    if (mark.upright) out += " transform=\"rotate(-90 " + x + " " + y + ")\"";
    // Spaces at the head of a line count in its length: folded, they would have the rest stretched.
    if (mark.text.rfind(' ', 0) == 0) out += " xml:space=\"preserve\"";
    // Another font must not make the line longer than the place that was kept for it.
    out += " textLength=\"" + number(mark.width_mm) +
           "\" lengthAdjust=\"spacingAndGlyphs\" fill=\"" + hex(mark.colour) + "\">" +
           escaped(mark.text) + "</text>\n";
  }
};

}  // namespace

std::string svg_of(const Page& page) {
  const std::string width = number(page.size_mm.x);
  const std::string height = number(page.size_mm.y);
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  out += "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + width + "mm\" height=\"" + height +
         "mm\" viewBox=\"0 0 " + width + " " + height + "\" font-family=\"'" + font_family() +
         "', Verdana, sans-serif\" stroke-linejoin=\"round\">\n";
  out += "<title>" + escaped(page.title) + "</title>\n";
  out += "<rect width=\"" + width + "\" height=\"" + height + "\" fill=\"#ffffff\"/>\n";
  for (const Mark& mark : page.marks) std::visit(SvgWriter{out}, mark);
  return out + "</svg>\n";
}

}  // namespace roomloom
