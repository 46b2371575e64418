#include <algorithm>
#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "base/nearest.h"
#include "base/units.h"
#include "check/check.h"
#include "cli/commands.h"
#include "job/job.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom::cli {
namespace {

using Json = nlohmann::ordered_json;

/// The built-in cables and raceway sizes, for those who look for an id.
std::string catalogue_text(DisplayUnits units) {
  std::string text = "Cables (what a run's \"cable\" names):\n";
  for (const CableType& cable : built_in_catalogue().cables) {
    text += "  " + cable.id + std::string(cable.id.size() < 26 ? 26 - cable.id.size() : 1, ' ') +
            to_string(cable.service) + ", " + format_size(cable.diameter_m, units, 1) + " thick\n";
  }
  const bool metric = units == DisplayUnits::metric;
  text += metric ? "Raceway, outer width x depth in mm:\n " : "Raceway, outer width x depth:\n ";
  for (const RacewayType& raceway : built_in_catalogue().raceways)
    text += " " + raceway.id +
            (metric ? ""
                    : " (" + format_size(raceway.width_m, units) + " x " +
                          format_size(raceway.depth_m, units) + ")") +
            ",";
  text.back() = '.';
  return text;
}

/// One built-in cable with where its figures are from; empty if there is none of that id.
std::string cable_text(const std::string& id, DisplayUnits units) {
  const Catalogue& catalogue = built_in_catalogue();
  const auto cable = std::find_if(catalogue.cables.begin(), catalogue.cables.end(),
                                  [&](const CableType& one) { return one.id == id; });
  if (cable == catalogue.cables.end()) return "";
  std::string sources = cable->source;
  for (std::size_t at = 0; (at = sources.find("; ", at)) != std::string::npos;)
    sources.replace(at, 2, "\n  ");
  return cable->id + ": " + to_string(cable->service) + ", " +
         format_size(cable->diameter_m, units, 1) + " thick, bend radius " +
         format_size(cable->bend_radius_m, units, 1) + " fixed and " +
         format_size(cable->pull_bend_radius_m, units, 1) +
         " while pulled.\nWhere its figures are from:\n  " + sources;
}

/// The loudspeaker systems of ITU-R BS.2051 that a job's layout can name.
std::string layouts_text() {
  std::string text = "Loudspeaker layouts of ITU-R BS.2051 (what \"layout\" names):\n";
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    text += "  " + system.name + "  ";
    for (const LabelRange& label : system.labels) text += " " + label.label;
    text += "\n";
  }
  text.pop_back();
  return text;
}

Json layouts_json() {
  Json systems = Json::array();
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    Json labels = Json::array();
    for (const LabelRange& label : system.labels)
      labels.push_back({{"label", label.label},
                        {"azimuth_deg", label.azimuth},
                        {"elevation_deg", label.elevation},
                        {"positioned", label.positioned}});
    systems.push_back({{"name", system.name}, {"labels", labels}});
  }
  return systems;
}

/// What programs that offer a list of choices need; a cable's full figures are in the schema.
void add_lists(const std::string& id, Json& json) {
  if (id == "layouts") json["layouts"] = layouts_json();
  if (id != "cables") return;
  Json cables = Json::array(), raceways = Json::array();
  for (const CableType& cable : built_in_catalogue().cables)
    cables.push_back({{"id", cable.id},
                      {"service", to_string(cable.service)},
                      {"diameter_m", cable.diameter_m},
                      {"bend_radius_m", cable.bend_radius_m},
                      {"colours", cable.colours},
                      {"put_ups_m", cable.put_ups_m}});
  for (const RacewayType& raceway : built_in_catalogue().raceways)
    raceways.push_back(
        {{"id", raceway.id}, {"width_m", raceway.width_m}, {"depth_m", raceway.depth_m}});
  json["cables"] = cables;
  json["raceways"] = raceways;
}

/// What messages of one kind are about; a message itself says what, where and what to do.
struct MessageKind {
  const char* first;  ///< of its code, up to the point
  const char* what;
};

constexpr std::array<MessageKind, 33> kMessageKinds = {{
    {"answer", "An answer to a question of roomloom start, or one that the answers file lacks."},
    {"answers", "The answers file of roomloom start cannot be read."},
    {"angle", "An angle is not written as angles are: 30, \"30 deg\", \"0.5 rad\"."},
    {"built", "The record of what was built does not fit the job, or is none."},
    {"catalogue", "The catalogue of cables and raceway cannot be read."},
    {"check", "A file of a result cannot be read, so nothing of it can be judged."},
    {"compare", "One of the folders to compare holds no readable plan."},
    {"cutting", "Lengths to be cut from stock are no lengths."},
    {"drawings", "The sheets could not be drawn or written."},
    {"ends", "Ends, gear or runs of the job cannot be placed in the room; all of them are named."},
    {"explain", "There is nothing of that name to explain."},
    {"file", "A file is missing, too large, or cannot be read or written."},
    {"folder", "The result's folder cannot be written, or another program is writing it."},
    {"from", "The folder that the plan should start from holds no readable plan."},
    {"house", "The house file is missing or cannot be read."},
    {"job", "Something in the job file; the place is a JSON pointer, with its line."},
    {"json", "A file is not JSON: its line and column are told."},
    {"length", "A length is not written as lengths are: \"2.4 m\", \"240 mm\", \"7' 10 1/2\\\"\"."},
    {"measures", "The measures of a room contradict each other, or do not suffice."},
    {"model", "The model file cannot be read, or holds what this program does not take."},
    {"options", "An option of reading has a value that it cannot have."},
    {"page", "The report's page could not be made."},
    {"place", "A place that the job names is not in the room: a part, marker, port or surface."},
    {"reader",
     "Told by the process that reads foreign models: what it left out, or why it stopped."},
    {"record",
     "What was to be recorded as built is not in the plan, lacks its length, or is of a length "
     "that "
     "can hardly be."},
    {"room", "No room could be understood from the model: its parts or the point inside it."},
    {"schema", "A file does not keep to its schema: a word, a range, a key."},
    {"sketch", "Tape measurements that make no room."},
    {"usage", "The command line: a command or an option that there is not."},
    {"variant", "A variant of the job that there is not, or that is written twice."},
    {"version", "A file was written by another version of this program."},
    {"write", "A model could not be written, or would have overwritten the original."},
    {"guess", "What was guessed of a model's unit or upward axis, and how sure that is."},
}};

/// Of a message's code, "job.reference"; empty if there is no such kind.
std::string message_text(const std::string& code) {
  const std::string first = code.substr(0, code.find('.'));
  for (const MessageKind& kind : kMessageKinds)
    if (first == kind.first)
      return std::string(kind.what) +
             "\nEach message says what is wrong, where, and what to do about it; the code stays "
             "the "
             "same from version to version.";
  return "";
}

std::string first_sentence(const std::string& text) {
  const std::size_t line = text.find('\n');
  const std::size_t end = std::min(text.find(". "), text.find(".\n"));
  return text.substr(0, std::min({line, end, text.size()}));
}

/// All that can be asked for.
std::string everything_text(DisplayUnits units) {
  std::string text =
      "What a check tells, by its id (roomloom explain ID: formula, limit, source):\n";
  for (const std::string& id : explained_ids())
    text += "  " + id + std::string(id.size() < 22 ? 22 - id.size() : 1, ' ') +
            lengths_told_in(first_sentence(roomloom::explain(id)), units) + "\n";
  text += "Lists: cables, layouts.\nMessages, by their code up to the point (with --json):";
  for (const MessageKind& kind : kMessageKinds) text += std::string(" ") + kind.first;
  return text;
}

Json everything_json() {
  Json ids = Json::array(), kinds = Json::array();
  for (const std::string& id : explained_ids())
    ids.push_back({{"id", id}, {"text", roomloom::explain(id)}});
  for (const MessageKind& kind : kMessageKinds)
    kinds.push_back({{"id", kind.first}, {"text", kind.what}});
  return {{"findings", ids}, {"messages", kinds}, {"lists", Json::array({"cables", "layouts"})}};
}

std::string text_of(const std::string& id, DisplayUnits units) {
  if (id.empty()) return everything_text(units);
  if (id == "cables") return catalogue_text(units);
  if (id == "layouts") return layouts_text();
  const std::string finding = roomloom::explain(id);
  if (!finding.empty()) return lengths_told_in(finding, units);
  const std::string cable = cable_text(id, units);
  return cable.empty() ? message_text(id) : cable;
}

Error unknown(const std::string& id) {
  std::vector<std::string> ids = explained_ids();
  ids.insert(ids.end(), {"cables", "layouts"});
  const auto near = nearest_words(id, ids);
  return {"explain.unknown", "There is no finding or message of that id.", id,
          (near.empty() ? "" : "Did you mean " + quoted_list(near) + "? ") +
              "All of them are listed by roomloom explain, cables by roomloom explain cables."};
}

}  // namespace

int explain(const std::string& id, const Common& common) {
  const std::string text = text_of(id, common.units.value_or(DisplayUnits::metric));
  if (text.empty()) return fail(unknown(id), common);
  if (common.json) {
    Json json = id.empty() ? everything_json() : Json{{"id", id}, {"text", text}};
    add_lists(id, json);
    std::fputs((json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n").c_str(), stdout);
  } else {
    std::fputs((text + "\n").c_str(), stdout);
  }
  return done;
}

}  // namespace roomloom::cli
