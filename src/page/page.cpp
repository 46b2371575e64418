#include "page/page.h"

#include "base/sha256.h"
#include "page/assets.h"
#include "page/parts.h"
#include "page/text.h"

namespace roomloom {
namespace page {
namespace {

std::string source_of(std::string_view inline_text) {
  return "'sha256-" + base64(from_hex(sha256(inline_text))) + "'";
}

/// Content Security Policy Level 3: this script and this style run, nothing is fetched.
std::string policy() {
  return "default-src 'none'; script-src " + source_of(page_script()) + "; style-src " +
         source_of(page_style()) + "; img-src data: blob:; base-uri 'none'; form-action 'none'";
}

struct Link {
  const char* id;
  const char* title;
};

/// Links to the sections that are there.
std::string contents(const std::string& body) {
  constexpr Link kLinks[] = {{"answer", "Answer"},
                             {"room", "Room"},
                             {"plans", "Plans"},
                             {"lists", "Lists"},
                             {"sheets", "Sheets"},
                             {"findings", "Findings"},
                             {"cautions", "Before you start"}};
  std::string out = "<nav aria-label=\"Contents\"><ul>";
  for (const Link& link : kLinks) {
    if (body.find("<section id=\"" + std::string(link.id) + "\"") == std::string::npos) continue;
    out += "<li><a href=\"#" + std::string(link.id) + "\">" + link.title + "</a></li>";
  }
  return out + "</ul></nav>";
}

std::string file_name(const std::string& path) { return path.substr(path.find_last_of("/\\") + 1); }

/// Empty: the scripts fill it. Without them there is a word on why.
std::string room_html() {
  return "<section id=\"room\"><h2>The room</h2>\n"
         "<noscript><p>The room in 3D needs JavaScript. The drawings show the "
         "same.</p></noscript>\n"
         "<div id=\"stage\"></div></section>\n";
}

std::string head(const PageRequest& r) {
  return "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
         "<meta http-equiv=\"Content-Security-Policy\" content=\"" +
         policy() +
         "\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
         "<meta name=\"color-scheme\" content=\"light dark\">\n<meta name=\"generator\" "
         "content=\"" +
         html(r.program) + "\">\n<title>" + html(r.job.name) + " · cable plan</title>\n<style>" +
         std::string(page_style()) + "</style>\n</head>\n";
}

std::string foot(const PageRequest& r) {
  return "<footer><p>Made by " + html(r.program) + " from " + html(file_name(r.scene.source.path)) +
         ". Lengths are drawn lengths along each run plus the named addends; measure twice before "
         "you cut.</p>\n<details><summary>Licences of what this page holds</summary><pre>" +
         std::string(page_licences()) + "</pre></details></footer>\n";
}

}  // namespace
}  // namespace page

Result<std::string> page_html(const PageRequest& r) {
  using namespace page;
  const std::string packed = deflated(room_json(r));
  if (packed.empty())
    return Error{"page.failed", "The page's data could not be packed: out of memory.",
                 "report.html", "Route with --no-report to do without the page."};
  const std::string body = answer_html(r) + room_html() + plans_html(r) + lists_html(r) +
                           sheets_html(r) + findings_html(r) + cautions_html(r);
  std::string out = head(r);
  out +=
      "<body>\n<a class=\"skip\" href=\"#answer\">Skip to the answer</a>\n<header><p>Cable plan</p>"
      "<h1>" +
      html(r.job.name) + "</h1>\n" + contents(body) +
      "<div id=\"page-tools\"></div></header>\n<main>\n" + body + "</main>\n" + foot(r) +
      "<script type=\"application/octet-stream\" id=\"room-data\">" + base64(packed) +
      "</script>\n<script>" + std::string(page_script()) + "</script>\n</body>\n</html>\n";
  return out;
}

}  // namespace roomloom
