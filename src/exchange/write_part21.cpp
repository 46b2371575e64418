#include "exchange/write_part21.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>

#include "base/utf8.h"

namespace roomloom {
namespace {

/// Below this a coordinate or direction is rounding noise of a turned axis.
constexpr double kNoise = 1e-13;

/// Where the statement that starts at `from` ends: past its semicolon, or npos.
std::size_t statement_end(std::string_view text, std::size_t from) {
  for (std::size_t i = from; i < text.size(); ++i) {
    const char c = text[i];
    if (c == ';') return i + 1;
    if (c == '\'' || c == '"') {
      i = text.find(c, i + 1);  // a doubled quote ends one string and starts the next
      if (i == std::string_view::npos) return i;
    } else if (c == '/' && i + 1 < text.size() && text[i + 1] == '*') {
      i = text.find("*/", i + 2);
      if (i == std::string_view::npos) return i;
      ++i;
    }
  }
  return std::string_view::npos;
}

/// Past white space and comments.
std::size_t skip_blank(std::string_view text, std::size_t from) {
  while (from < text.size()) {
    if (std::isspace(static_cast<unsigned char>(text[from])) != 0) {
      ++from;
    } else if (text.substr(from, 2) == "/*") {
      const std::size_t end = text.find("*/", from + 2);
      if (end == std::string_view::npos) return text.size();
      from = end + 2;
    } else {
      break;
    }
  }
  return from;
}

std::optional<std::uint64_t> number_at(std::string_view text, std::size_t from) {
  std::uint64_t value = 0;
  const auto read = std::from_chars(text.data() + from, text.data() + text.size(), value);
  if (read.ec != std::errc()) return std::nullopt;
  return value;
}

/// The instance numbers a body refers to, in order.
std::vector<std::uint64_t> references(std::string_view body) {
  std::vector<std::uint64_t> result;
  for (std::size_t at = body.find('#'); at != std::string_view::npos; at = body.find('#', at + 1))
    if (const auto id = number_at(body, at + 1)) result.push_back(*id);
  return result;
}

std::vector<std::string> schema_names(std::string_view statement) {
  std::vector<std::string> names;
  for (std::size_t open = statement.find('\''); open != std::string_view::npos;) {
    const std::size_t close = statement.find('\'', open + 1);
    if (close == std::string_view::npos) break;
    std::string_view name = statement.substr(open + 1, close - open - 1);
    name = name.substr(0, name.find_first_of(" {"));
    names.emplace_back(name);
    open = statement.find('\'', close + 1);
  }
  return names;
}

/// Instances that say what the lengths of a file are measured in.
struct UnitStatements {
  std::map<std::uint64_t, std::string_view> units;  ///< with LENGTH_UNIT or a length measure
  std::vector<std::string_view> contexts;           ///< with GLOBAL_UNIT_ASSIGNED_CONTEXT

  void consider(std::uint64_t id, std::string_view body) {
    if (body.find("GLOBAL_UNIT_ASSIGNED_CONTEXT") != std::string_view::npos)
      contexts.push_back(body);
    else if (body.find("LENGTH_UNIT") != std::string_view::npos ||
             body.find("LENGTH_MEASURE_WITH_UNIT") != std::string_view::npos)
      units[id] = body;
  }
};

double si_prefix(std::string_view body) {
  constexpr std::array<std::pair<std::string_view, double>, 6> kPrefixes = {{{".MICRO.", 1e-6},
                                                                             {".MILLI.", 1e-3},
                                                                             {".CENTI.", 1e-2},
                                                                             {".DECI.", 1e-1},
                                                                             {".DECA.", 10},
                                                                             {".KILO.", 1e3}}};
  for (const auto& [name, factor] : kPrefixes)
    if (body.find(name) != std::string_view::npos) return factor;
  return 1;
}

std::optional<double> unit_in_metres(const UnitStatements& all, std::uint64_t id, int depth = 0);

/// "LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#30)"
std::optional<double> measure_in_metres(const UnitStatements& all, std::string_view body,
                                        int depth) {
  constexpr std::string_view kMeasure = "LENGTH_MEASURE(";
  const std::size_t at = body.find(kMeasure);
  const auto refs = references(body);
  if (at == std::string_view::npos || refs.empty()) return std::nullopt;
  const std::size_t from = skip_blank(body, at + kMeasure.size());
  double value = 0;
  const auto read = std::from_chars(body.data() + from, body.data() + body.size(), value);
  const auto unit = unit_in_metres(all, refs.back(), depth + 1);
  if (read.ec != std::errc() || !unit) return std::nullopt;
  return value * *unit;
}

std::optional<double> unit_in_metres(const UnitStatements& all, std::uint64_t id, int depth) {
  const auto found = all.units.find(id);
  if (found == all.units.end() || depth > 4) return std::nullopt;
  const std::string_view body = found->second;
  if (body.find("SI_UNIT") != std::string_view::npos) return si_prefix(body);
  const std::size_t conversion = body.find("CONVERSION_BASED_UNIT");
  if (conversion == std::string_view::npos) return measure_in_metres(all, body, depth);
  const auto refs = references(body.substr(conversion));
  return refs.empty() ? std::nullopt : unit_in_metres(all, refs.front(), depth + 1);
}

std::vector<double> declared_lengths(const UnitStatements& all) {
  std::vector<double> result;
  for (const std::string_view context : all.contexts) {
    for (const std::uint64_t id : references(context)) {
      const auto found = all.units.find(id);
      if (found == all.units.end() || found->second.find("LENGTH_UNIT") == std::string_view::npos)
        continue;
      if (const auto metres = unit_in_metres(all, id)) result.push_back(*metres);
    }
  }
  return result;
}

bool starts_with_word(std::string_view statement, std::string_view word) {
  if (!statement.starts_with(word)) return false;
  const char next = statement.size() > word.size() ? statement[word.size()] : ';';
  return std::isalnum(static_cast<unsigned char>(next)) == 0 && next != '_';
}

}  // namespace

Result<Part21Outline> outline_part21(std::string_view text, const std::string& file) {
  Part21Outline outline;
  UnitStatements units;
  bool in_data = false;
  bool found = false;
  for (std::size_t at = skip_blank(text, 0); at < text.size();) {
    const std::size_t end = statement_end(text, at);
    if (end == std::string_view::npos) break;
    const std::string_view statement = text.substr(at, end - at);
    if (in_data && statement[0] == '#') {
      const std::uint64_t id = number_at(statement, 1).value_or(0);
      outline.last_id = std::max(outline.last_id, id);
      units.consider(id, statement.substr(std::min(statement.find('='), statement.size())));
    } else if (starts_with_word(statement, "DATA")) {
      in_data = true;
    } else if (in_data && starts_with_word(statement, "ENDSEC")) {
      outline.insertion = at;
      in_data = false;
      found = true;
    } else if (starts_with_word(statement, "FILE_SCHEMA")) {
      outline.schemas = schema_names(statement);
    }
    at = skip_blank(text, end);
  }
  if (!found)
    return Error{"write.original-syntax", "It has no DATA section that ends.", file,
                 "Export the model again."};
  outline.length_units_m = declared_lengths(units);
  return outline;
}

std::string part21_real(double value) {
  if (std::abs(value) < kNoise) return "0.";
  std::array<char, 32> digits{};
  const auto printed = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  std::string text(digits.data(), printed.ptr);
  const std::size_t exponent = text.find('e');
  if (exponent != std::string::npos) text[exponent] = 'E';
  if (text.find('.') == std::string::npos) text.insert(std::min(exponent, text.size()), 1, '.');
  return text;
}

std::string part21_string(std::string_view utf8) {
  std::string text = "'";
  for (const std::uint32_t code : code_points(utf8)) {
    if (code == '\'' || code == '\\') text += static_cast<char>(code);
    if (code >= 0x20 && code < 0x7F) {
      text += static_cast<char>(code);
      continue;
    }
    const std::size_t digits = code > 0xFFFF ? 8 : 4;
    text += digits == 8 ? "\\X4\\" : "\\X2\\";
    for (std::size_t i = digits; i-- > 0;) text += "0123456789ABCDEF"[(code >> (4 * i)) & 0xFU];
    text += "\\X0\\";
  }
  return text + "'";
}

void Part21Text::append(Ref ref) {
  std::array<char, 24> digits{};
  const auto printed = std::to_chars(digits.data(), digits.data() + digits.size(), ref.id);
  text_ += '#';
  text_.append(digits.data(), printed.ptr);
}

void Part21Text::append(double number) { text_ += part21_real(number); }

void Part21Text::append(const Vec3& vector) {
  text_ += '(';
  append(vector.x);
  text_ += ',';
  append(vector.y);
  text_ += ',';
  append(vector.z);
  text_ += ')';
}

void Part21Text::append(const std::vector<Ref>& refs) {
  text_ += '(';
  for (std::size_t i = 0; i < refs.size(); ++i) {
    if (i > 0) text_ += ',';
    append(refs[i]);
  }
  text_ += ')';
}

}  // namespace roomloom
