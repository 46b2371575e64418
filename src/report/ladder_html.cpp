#include "report/ladder_html.h"

#include <algorithm>

#include "base/minutes_text.h"
#include "base/words.h"

namespace roomloom {
namespace {

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '"')
      out += "&quot;";
    else
      out += c;
  }
  return out;
}

constexpr const char* kHead = R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>)";

constexpr const char* kStyle = R"(</title>
<style>
:root { color-scheme: light dark; }
body { font: 16px/1.45 system-ui, sans-serif; margin: 0 auto; max-width: 46rem; padding: 0.75rem; }
h1 { font-size: 1.4rem; margin: 0.2rem 0; }
h2 { font-size: 1.2rem; margin: 1.4rem 0 0.3rem; border-bottom: 2px solid; }
h3 { font-size: 1rem; margin: 0.9rem 0 0.2rem; }
ol, ul { list-style: none; margin: 0; padding: 0; }
li label { display: flex; gap: 0.7rem; padding: 0.45rem 0; border-bottom: 1px solid #8886; }
input { flex: none; width: 1.6rem; height: 1.6rem; margin: 0; }
.what { flex: 1; overflow-wrap: anywhere; }
.min { flex: none; text-align: right; white-space: nowrap; opacity: 0.75; }
input:checked ~ .what { text-decoration: line-through; opacity: 0.6; }
.note { opacity: 0.85; font-size: 0.92rem; }
@media print {
  body { font-size: 10.5pt; max-width: none; color: #000; background: #fff; }
  h2 { break-before: page; } h2:first-of-type { break-before: auto; }
  h3 { break-after: avoid; } li { break-inside: avoid; }
  input { width: 4.5mm; height: 4.5mm; }
}
</style>
</head>
<body>
)";

constexpr const char* kScript = R"(<script>
for (const box of document.querySelectorAll('input')) {
  const key = 'roomloom ladder ' + document.body.dataset.plan + ' ' + box.id;
  try {
    box.checked = localStorage.getItem(key) === '1';
    box.addEventListener('change', () => localStorage.setItem(key, box.checked ? '1' : '0'));
  } catch (refused) { break; }
}
</script>
</body>
</html>
)";

struct Sum {
  double minutes = 0, least = 0, most = 0;
  void add(const WorkStep& step) {
    minutes += step.minutes;
    least += step.least;
    most += step.most;
  }
  std::string text() const {
    return format_number(minutes / 60, 1) + " h (" + format_number(least / 60, 1) + " to " +
           format_number(most / 60, 1) + ")";
  }
};

std::string place_heading(const std::string& place, const Takeoff& takeoff) {
  for (const LadderPlace& at : takeoff.ladder_places)
    if (at.name == place)
      return place + ": " + at.where + (at.tile.empty() ? "" : ", under tile " + at.tile);
  return capitalised(place);
}

std::string step_html(const WorkStep& step, std::size_t number) {
  const std::string id = "step-" + std::to_string(number);
  return "<li><label><input type=\"checkbox\" id=\"" + id + "\"><span class=\"what\">" +
         escaped(step.text) + "</span><span class=\"min\">" + minutes_text(step.minutes) +
         "</span></label></li>\n";
}

/// Tells one plan's ticks from another's: its number of steps and of places and its length.
std::string plan_key(const Takeoff& takeoff, const std::string& name) {
  return name + " " + std::to_string(takeoff.steps.size()) + " " + format_number(takeoff.cut_m, 3);
}

}  // namespace

std::string ladder_html(const Takeoff& takeoff, const std::string& name) {
  std::string out = kHead + escaped(name) + ": ladder sheet" + kStyle;
  out.replace(out.rfind("<body>"), 6,
              "<body data-plan=\"" + escaped(plan_key(takeoff, name)) + "\">");
  out += "<h1>" + escaped(name) + ": ladder sheet</h1>\n";
  for (const Table& table : takeoff.tables)
    if (table.id == "ladder") out += "<p class=\"note\">" + escaped(table.note) + "</p>\n";
  int day = 0;
  std::string place;
  bool open = false;
  for (std::size_t i = 0; i < takeoff.steps.size(); ++i) {
    const WorkStep& step = takeoff.steps[i];
    if (step.day != day || step.place != place) {
      if (open) out += "</ul>\n";
      if (step.day != day) {
        Sum sum;
        for (const WorkStep& other : takeoff.steps)
          if (other.day == step.day) sum.add(other);
        out += "<h2>Day " + std::to_string(step.day) + ": " + sum.text() + "</h2>\n";
      }
      out += "<h3>" + escaped(place_heading(step.place, takeoff)) + "</h3>\n<ul>\n";
      day = step.day;
      place = step.place;
      open = true;
    }
    out += step_html(step, i + 1);
  }
  if (open) out += "</ul>\n";
  if (takeoff.steps.empty()) out += "<p>Nothing is left to do.</p>\n";
  return out + kScript;
}

}  // namespace roomloom
