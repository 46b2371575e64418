#include <algorithm>
#include <array>

#include "page/parts.h"
#include "page/text.h"

namespace roomloom::page {
namespace {

constexpr std::array<Level, 3> kLevels = {Level::must, Level::should, Level::note};

const char* heading_of(Level level) {
  switch (level) {
    case Level::must:
      return "Must be settled before work begins";
    case Level::should:
      return "Should be looked at";
    case Level::note:
      break;
  }
  return "Good to know";
}

/// The sign stands beside the word, so that colour is not all that tells levels apart.
const char* sign_of(Level level) {
  return level == Level::must ? "■" : level == Level::should ? "▲" : "●";
}

/// Where to look: the run that it is about, or the place.
std::string show_button(const Finding& finding, const PageRequest& r) {
  std::string out;
  const int run = run_named(r.ends, finding.subject);
  if (run >= 0) out += " " + run_button(run, finding.subject);
  if (finding.where)
    out += " <button class=\"place\" data-place=\"" + json_point(*finding.where) +
           "\">show the place</button>";
  return out;
}

std::string finding_html(const Finding& finding, const PageRequest& r) {
  std::string out = "<li class=\"finding " + std::string(to_string(finding.level)) + "\"><p><b>" +
                    sign_of(finding.level) + " " + to_string(finding.level) + "</b> " +
                    html(finding.text, 2000) + "</p>\n<p class=\"do\">" +
                    html(finding.remedy, 2000) + show_button(finding, r) + "</p>\n";
  out += "<p class=\"source\">" + html(finding.id);
  if (!finding.source.empty()) out += " · source: " + html(finding.source, 2000);
  return out + "</p></li>\n";
}

struct Doubt {
  std::string text, overrule;
};

/// What was taken for granted, with how to say otherwise.
std::vector<Doubt> doubts_of(const PageRequest& r) {
  std::vector<Doubt> doubts;
  for (const std::vector<Guess>* guesses : {&r.room.guesses, &r.ends.guesses}) {
    for (const Guess& guess : *guesses) {
      if (guess.what.rfind("Role of ", 0) == 0) continue;  // the survey lists them
      doubts.push_back({guess.what + ": " + guess.value + " (" + guess.why + ")", guess.overrule});
    }
  }
  for (const LoudspeakerPlace& place : r.ends.loudspeakers) {
    if (!place.moved_within_range || place.end < 0) continue;
    const End& end = r.ends.ends[static_cast<std::size_t>(place.end)];
    doubts.push_back({"Loudspeaker " + place.label + ": " + end.how, ""});
  }
  for (const std::string& warning : r.room.warnings) doubts.push_back({warning, ""});
  for (const Note& note : r.scene.notes) doubts.push_back({note.text, ""});
  return doubts;
}

std::string doubts_html(const PageRequest& r) {
  const std::vector<Doubt> doubts = doubts_of(r);
  if (doubts.empty()) return {};
  std::string out = "<h3>Taken for granted</h3>\n<ul class=\"doubts\">\n";
  for (const Doubt& doubt : doubts) {
    out += "<li>" + html(doubt.text, 1000);
    if (!doubt.overrule.empty())
      out += "<br><span class=\"do\">To overrule: <code>" + html(doubt.overrule, 400) +
             "</code></span>";
    out += "</li>\n";
  }
  return out + "</ul>\n";
}

}  // namespace

std::string findings_html(const PageRequest& r) {
  std::string out = "<section id=\"findings\"><h2>Findings</h2>\n";
  if (std::all_of(r.findings.items.begin(), r.findings.items.end(),
                  [](const Finding& f) { return f.level == Level::note; }))
    out += "<p>No conflict was found with what was checked.</p>\n";
  if (r.findings.quiet > 0)
    out += "<p class=\"hint\">" +
           counted(static_cast<std::size_t>(r.findings.quiet), "further check") +
           " had nothing to say.</p>\n";
  for (const Level level : kLevels) {
    std::string items;
    for (const Finding& finding : r.findings.items)
      if (finding.level == level) items += finding_html(finding, r);
    if (!items.empty())
      out += "<h3>" + std::string(heading_of(level)) + "</h3>\n<ul class=\"findings\">\n" + items +
             "</ul>\n";
  }
  return out + doubts_html(r) + "</section>\n";
}

std::string cautions_html(const PageRequest& r) {
  if (r.cautions.empty()) return {};
  std::string out = "<section id=\"cautions\"><h2>Before you cut or drill</h2>\n<ul>\n";
  for (const PageCaution& caution : r.cautions) {
    out += "<li>" + html(caution.text, 2000);
    if (!caution.source.empty())
      out += " <span class=\"source\">(" + html(caution.source, 400) + ")</span>";
    out += "</li>\n";
  }
  return out + "</ul></section>\n";
}

}  // namespace roomloom::page
