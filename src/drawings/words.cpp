#include "drawings/words.h"

#include <array>
#include <cctype>

#include "drawings/text.h"

namespace roomloom {
namespace {

/// Is the number there by itself, not as part of another?
bool holds_number(const std::string& text, const std::string& number) {
  const auto digit = [&](std::size_t i) {
    return i < text.size() && text[i] >= '0' && text[i] <= '9';
  };
  for (std::size_t at = text.find(number); at != std::string::npos; at = text.find(number, at + 1))
    if ((at == 0 || !digit(at - 1)) && !digit(at + number.size())) return true;
  return false;
}

}  // namespace

std::string counted(int count, const std::string& noun) {
  return std::to_string(count) + " " + noun + (count == 1 ? "" : "s");
}

std::string shortened(const std::vector<std::string>& words, std::size_t most) {
  std::string text;
  const std::size_t shown = words.size() <= most ? words.size() : most - 1;
  for (std::size_t i = 0; i < shown; ++i) text += (i == 0 ? "" : " ") + words[i];
  if (shown < words.size()) text += " +" + std::to_string(words.size() - shown);
  return text;
}

std::vector<std::string> run_ids(const std::vector<int>& runs, const Ends& ends) {
  std::vector<std::string> ids;
  for (const int run : runs)
    ids.push_back(plain_text(ends.runs[static_cast<std::size_t>(run)].id, 16));
  return ids;
}

std::string fitting(const Lettering& lettering, std::string text, double cap_mm, bool bold,
                    double width_mm) {
  std::size_t limit = 60;
  text = plain_text(text, limit);
  while (limit > 4 && lettering.width_mm(text, cap_mm, bold) > width_mm)
    text = plain_text(text, --limit);
  return text;
}

std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
  std::vector<std::string> lines(1);
  std::size_t from = 0;
  while (from < text.size()) {
    std::size_t to = text.find(' ', from);
    if (to == std::string::npos) to = text.size();
    const std::string word = text.substr(from, to - from);
    if (!lines.back().empty() && lines.back().size() + 1 + word.size() > width)
      lines.emplace_back();
    lines.back() += (lines.back().empty() ? "" : " ") + word;
    from = to + 1;
  }
  return lines;
}

namespace {

constexpr const char* kNoBreak = "\xC2\xA0";

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  for (std::size_t at = text.find(what); at != std::string::npos;
       at = text.find(what, at + by.size()))
    text.replace(at, what.size(), by);
  return text;
}

}  // namespace

std::string with_sizes_whole(const std::string& text) {
  const auto digit = [&](std::size_t i) {
    return i < text.size() && std::isdigit(static_cast<unsigned char>(text[i])) != 0;
  };
  const auto stands = [&](std::size_t i, const char* word) {
    return text.compare(i, 2, word) == 0;
  };
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool after_number = i > 0 && digit(i - 1);
    const bool times = after_number && stands(i, " x") && text.compare(i + 2, 1, " ") == 0;
    const bool within = i > 1 && stands(i - 1, "x ") && digit(i + 1);
    const bool degrees = after_number && text.compare(i, 4, " deg") == 0;
    const bool binds = text[i] == ' ' && ((times && digit(i + 3)) || within || degrees);
    out += binds ? kNoBreak : std::string(1, text[i]);
  }
  return out;
}
std::string unbroken(const std::string& text) { return replaced(text, " ", kNoBreak); }
std::string with_plain_spaces(const std::string& text) { return replaced(text, kNoBreak, " "); }

std::string dimension(double metres, DisplayUnits units) {
  if (units == DisplayUnits::metric) return format_number(metres * 1000, 0);
  const std::string text = format_length(metres, units);
  // "0 1/2 in": the nought says nothing.
  return text.rfind("0 ", 0) == 0 && text.find('/') != std::string::npos ? text.substr(2) : text;
}

std::string raceway_size(const RacewayType& type, DisplayUnits units) {
  const std::string width = dimension(type.width_m, units);
  const std::string depth = dimension(type.depth_m, units);
  const bool metric = units == DisplayUnits::metric;
  if (metric && holds_number(type.id, width) && holds_number(type.id, depth)) return "";
  return width + " x " + depth + (metric ? " mm" : "");
}

std::string raceway_words(const RacewayType& type, DisplayUnits units) {
  const std::string id = plain_text(type.id, 20);
  const std::string size = raceway_size(type, units);
  return size.empty() ? id : id + " (" + size + ")";
}

std::string total_length(double metres, DisplayUnits units, int decimals) {
  constexpr double kFoot = 0.3048;
  if (units == DisplayUnits::feet_and_inches && metres > 10 * kFoot)
    return format_number(metres / kFoot, 0) + " ft";
  return format_length(metres, units, decimals);
}

std::string cut_words(const RunRow& row, DisplayUnits units) {
  if (!row.routed) return "no way found";
  return row.lead_m > 0 ? "lead of " + format_length(row.lead_m, units, 2) + ", uncut"
                        : format_length(row.cut_m, units, 2);
}

std::vector<ServiceSum> service_sums(const DrawingRequest& r) {
  std::array<ServiceSum, kServiceCount> all;
  for (const RunRow& row : r.takeoff.runs) {
    ServiceSum& sum = all[static_cast<std::size_t>(row.service)];
    sum.service = row.service;
    ++sum.runs;
    sum.cut_m += row.cut_m;
  }
  std::vector<ServiceSum> used;
  for (const ServiceSum& sum : all) {
    if (sum.runs > 0) used.push_back(sum);
  }
  return used;
}

std::string summary_line(const DrawingRequest& r) {
  double raceway_m = 0;
  for (const RacewayRow& row : r.takeoff.raceways) raceway_m += row.length_m;
  return counted(static_cast<int>(r.takeoff.runs.size()), "run") + " · " +
         total_length(r.takeoff.cut_m, r.job.units, 0) + " of cable to cut · " +
         counted(static_cast<int>(r.shapes.holes.size()), "hole") + " · " +
         total_length(raceway_m, r.job.units, 1) + " of raceway";
}

}  // namespace roomloom
