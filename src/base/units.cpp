#include "base/units.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <optional>
#include <utility>

namespace roomloom {
namespace {

constexpr double kFoot_m = 0.3048;

struct Unit {
  std::string_view word;
  double factor;
};

// Longest words first, so that "mm" is not read as "m".
constexpr std::array<Unit, 22> kLengthUnits = {
    {{"millimetres", 0.001}, {"millimeters", 0.001}, {"centimetres", 0.01}, {"centimeters", 0.01},
     {"metres", 1.0},        {"meters", 1.0},        {"metre", 1.0},        {"meter", 1.0},
     {"inches", 0.0254},     {"inch", 0.0254},       {"feet", 0.3048},      {"foot", 0.3048},
     {"mm", 0.001},          {"cm", 0.01},           {"ft", 0.3048},        {"in", 0.0254},
     {"\u2032", 0.3048},     {"\u2033", 0.0254},     {"''", 0.0254},        {"m", 1.0},
     {"'", 0.3048},          {"\"", 0.0254}}};

constexpr std::array<Unit, 5> kAngleUnits = {{{"degrees", std::numbers::pi / 180},
                                              {"deg", std::numbers::pi / 180},
                                              {"\u00b0", std::numbers::pi / 180},
                                              {"radians", 1.0},
                                              {"rad", 1.0}}};

void skip_spaces(std::string_view& text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
}

// Digits with one decimal point or comma; no exponent, no sign.
std::optional<double> take_decimal(std::string_view& text) {
  std::string digits;
  std::size_t used = 0;
  bool point = false;
  bool any = false;
  for (; used < text.size() && digits.size() < 40; ++used) {
    const char c = text[used];
    if (c >= '0' && c <= '9') {
      digits += c;
      any = true;
    } else if ((c == '.' || c == ',') && !point) {
      digits += '.';
      point = true;
    } else {
      break;
    }
  }
  if (!any) return std::nullopt;
  double value = 0;
  const auto done = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (done.ec != std::errc{}) return std::nullopt;
  text.remove_prefix(used);
  return value;
}

// "/8" behind a number turns it into a fraction.
bool take_denominator(std::string_view& text, double& value) {
  std::string_view rest = text;
  skip_spaces(rest);
  if (rest.empty() || rest.front() != '/') return true;
  rest.remove_prefix(1);
  skip_spaces(rest);
  const auto below = take_decimal(rest);
  if (!below || *below == 0) return false;
  value /= *below;
  text = rest;
  return true;
}

// "7", "6 3/8", "3/8", "6-3/8": a number as a tape shows it.
std::optional<double> take_tape_number(std::string_view& text) {
  auto whole = take_decimal(text);
  if (!whole) return std::nullopt;
  double value = *whole;
  const std::string_view before = text;
  if (!take_denominator(text, value)) return std::nullopt;
  if (text.data() != before.data()) return value;
  std::string_view rest = text;
  skip_spaces(rest);
  if (!rest.empty() && rest.front() == '-') rest.remove_prefix(1);
  if (rest.data() == text.data()) return value;
  std::string_view fraction = rest;
  if (auto top = take_decimal(fraction)) {
    double part = *top;
    const std::string_view unchanged = fraction;
    if (!take_denominator(fraction, part)) return std::nullopt;
    if (fraction.data() != unchanged.data()) {
      text = fraction;
      return value + part;
    }
  }
  return value;
}

template <std::size_t N>
std::optional<double> take_unit(std::string_view& text, const std::array<Unit, N>& units) {
  for (const Unit& unit : units) {
    if (text.substr(0, unit.word.size()) == unit.word) {
      text.remove_prefix(unit.word.size());
      return unit.factor;
    }
  }
  return std::nullopt;
}

bool is_imperial(double factor) { return factor == 0.3048 || factor == 0.0254; }

Error not_a_length(std::string_view text) {
  return {"length.syntax", "\"" + std::string(text) + "\" is not a length.", "",
          "Write for example 2.31 m, 231 cm, 600 mm, 7 ft 6 in, 7' 6 3/8\" or a number of metres."};
}

std::string feet_and_inches(double metres) {
  constexpr double kFarthest = 1e9;  // beyond it no tape counts sixteenths
  if (!(std::abs(metres) < kFarthest)) return format_number(metres / 0.3048, 0) + " ft";
  constexpr long long kFoot = 12LL * 16;
  const bool negative = metres < 0;
  auto sixteenths = std::llround(std::abs(metres) / 0.0254 * 16);
  const auto feet = sixteenths / kFoot;
  sixteenths %= kFoot;
  const auto inches = sixteenths / 16;
  auto top = sixteenths % 16;
  long long below = 16;
  while (top != 0 && top % 2 == 0) {
    top /= 2;
    below /= 2;
  }
  std::string text = negative && (feet != 0 || inches != 0 || top != 0) ? "-" : "";
  if (feet != 0) text += std::to_string(feet) + " ft ";
  const bool fraction_alone = feet == 0 && inches == 0 && top != 0;
  if (!fraction_alone) text += std::to_string(inches);
  if (top != 0)
    text += (fraction_alone ? "" : " ") + std::to_string(top) + "/" + std::to_string(below);
  return text + " in";
}

/// -1 after a minus sign, else 1; spaces about it are taken too.
double take_sign(std::string_view& text) {
  skip_spaces(text);
  if (text.empty() || (text.front() != '-' && text.front() != '+')) return 1;
  const double sign = text.front() == '-' ? -1 : 1;
  text.remove_prefix(1);
  skip_spaces(text);
  return sign;
}

}  // namespace

Result<double> parse_length(std::string_view text) {
  const std::string_view all = text;
  const double sign = take_sign(text);
  double sum = 0;
  int terms = 0;
  double smallest_unit = 1e9;
  while (!text.empty()) {
    const auto number = take_tape_number(text);
    if (!number) return not_a_length(all);
    skip_spaces(text);
    auto unit = take_unit(text, kLengthUnits);
    if (!unit && terms == 0 && text.empty()) unit = 1.0;
    if (!unit || *unit >= smallest_unit) return not_a_length(all);
    if (terms > 0 && is_imperial(*unit) != is_imperial(smallest_unit)) return not_a_length(all);
    smallest_unit = *unit;
    sum += *number * *unit;
    ++terms;
    skip_spaces(text);
  }
  if (terms == 0 || !std::isfinite(sum)) return not_a_length(all);
  return sign * sum;
}

Result<double> parse_angle(std::string_view text) {
  const Error error{"angle.syntax", "\"" + std::string(text) + "\" is not an angle.", "",
                    "Write for example 30 deg, 30\u00b0, 0.5 rad or a number of degrees."};
  const double sign = take_sign(text);
  const auto number = take_decimal(text);
  if (!number) return error;
  skip_spaces(text);
  double factor = std::numbers::pi / 180;
  if (!text.empty()) {
    const auto unit = take_unit(text, kAngleUnits);
    skip_spaces(text);
    if (!unit || !text.empty()) return error;
    factor = *unit;
  }
  return sign * *number * factor;
}

std::string format_number(double value, int decimals) {
  std::array<char, 400> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, decimals);
  std::string text(buffer.data(), end.ptr);
  if (text.size() > 1 && text.front() == '-' &&
      text.find_first_not_of("-0.") == std::string::npos) {
    text.erase(0, 1);
  }
  return text;
}

std::string format_size(double metres, DisplayUnits units, int decimals) {
  if (units == DisplayUnits::feet_and_inches) return feet_and_inches(metres);
  std::string text = format_number(metres * 1000, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text + " mm";
}

std::string format_area(double square_metres, DisplayUnits units, int decimals) {
  if (units == DisplayUnits::metric) return format_number(square_metres, decimals) + " m2";
  return format_number(square_metres / (kFoot_m * kFoot_m), std::max(0, decimals - 1)) + " sq ft";
}

std::string format_volume(double cubic_metres, DisplayUnits units, int decimals) {
  if (units == DisplayUnits::metric) return format_number(cubic_metres, decimals) + " m3";
  return format_number(cubic_metres / (kFoot_m * kFoot_m * kFoot_m), std::max(0, decimals - 2)) +
         " cu ft";
}

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// "(1 1/4 in)" at the beginning of `text`: what stands in the brackets, else empty.
std::string_view inches_in_brackets(std::string_view text) {
  if (text.substr(0, 2) != " (" || text.size() < 3 || !is_digit(text[2])) return {};
  const auto close = text.find(')');
  if (close == std::string_view::npos || !text.substr(0, close + 1).ends_with(" in)")) return {};
  return text.substr(2, close - 2);
}

/// The unit at the beginning of `text`, as a word of its own, in metres; nothing if there is none.
std::optional<double> metric_unit(std::string_view text, std::size_t& used) {
  for (const auto& [word, metres] : {std::pair<std::string_view, double>{" mm", 0.001},
                                     std::pair<std::string_view, double>{" m", 1}}) {
    if (text.substr(0, word.size()) != word) continue;
    const char next = text.size() > word.size() ? text[word.size()] : ' ';
    if (std::isalnum(static_cast<unsigned char>(next)) != 0) continue;
    used = word.size();
    return metres;
  }
  return std::nullopt;
}

}  // namespace

std::string lengths_told_in(std::string_view text, DisplayUnits units) {
  std::string told;
  if (units == DisplayUnits::metric) return std::string(text);
  std::size_t i = 0;
  while (i < text.size()) {
    const bool starts =
        is_digit(text[i]) &&
        (i == 0 || (!is_digit(text[i - 1]) && text[i - 1] != '.' && text[i - 1] != '-'));
    std::string_view rest = text.substr(i);
    const auto number = starts ? take_decimal(rest) : std::nullopt;
    std::size_t used = 0;
    const auto unit = number ? metric_unit(rest, used) : std::nullopt;
    if (!unit) {
      told += text[i++];
      continue;
    }
    rest.remove_prefix(used);
    const std::string_view given = inches_in_brackets(rest);
    told += given.empty() ? feet_and_inches(*number * *unit) : std::string(given);
    if (!given.empty()) rest.remove_prefix(given.size() + 3);
    i = text.size() - rest.size();
  }
  return told;
}

std::string format_length(double metres, DisplayUnits units, int decimals) {
  if (units == DisplayUnits::feet_and_inches) return feet_and_inches(metres);
  return format_number(metres, decimals) + " m";
}

}  // namespace roomloom
