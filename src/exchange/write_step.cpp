#include "exchange/write_step.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <ctime>

#include "exchange/write_step_assembly.h"
#include "exchange/write_tube.h"

namespace roomloom {
namespace {

StepProtocol protocol_of(const std::vector<std::string>& schemas) {
  for (const std::string& schema : schemas) {
    if (schema.starts_with("AP242")) return StepProtocol::ap242;
    if (schema == "CONFIG_CONTROL_DESIGN") return StepProtocol::ap203;
  }
  return StepProtocol::ap214;
}

/// What to say of tubes that are not one solid.
std::vector<std::string> tube_notes(const Annotation& annotation) {
  std::vector<std::string> notes;
  for (const AnnotationItem& item : annotation.items) {
    const auto* tube = std::get_if<Tube>(&item.shape);
    if (tube == nullptr) continue;
    const TubeChains chains = tube_chains(*tube);
    if (chains.tight_bends > 0)
      notes.push_back(item.name + ": " + std::to_string(chains.tight_bends) +
                      " bend(s) tighter than the tube's own radius; drawn in separate pieces.");
    if (chains.kinks > 0)
      notes.push_back(item.name + ": " + std::to_string(chains.kinks) +
                      " corner(s) without an arc; drawn in separate pieces.");
  }
  return notes;
}

/// The unit in which a reader will take the original's numbers. A unit that the user has put in
/// its place turns into no other file's declaration: ours must lie where the original lies.
double declared_unit(const Part21Outline& outline, double unit_m) {
  const auto same = [&](double declared) { return std::abs(declared - unit_m) < 1e-9 * unit_m; };
  const std::vector<double>& all = outline.length_units_m;
  if (all.empty() || std::any_of(all.begin(), all.end(), same)) return unit_m;
  return all.front();
}

std::vector<std::string> schema_notes(const std::vector<std::string>& schemas) {
  if (schemas.empty()) return {"The file names no schema; ours is written as for AP214."};
  std::string all;
  for (const std::string& schema : schemas) {
    if (schema.starts_with("AUTOMOTIVE_DESIGN") || schema.starts_with("AP242") ||
        schema.starts_with("AP203"))
      return {};
    all += (all.empty() ? "" : ", ") + schema;
  }
  if (schemas.front() != "CONFIG_CONTROL_DESIGN")
    return {"The file's schema (" + all +
            ") is not one of AP203, AP214 and AP242; readers that keep to it may pass over ours."};
  std::vector<std::string> notes = {
      "The file's schema (" + all +
      ") wants approvals and persons for each product; ours carry none, which strict checkers "
      "will say."};
  const bool colours =
      std::find(schemas.begin(), schemas.end(), "SHAPE_APPEARANCE_LAYER_MIM") != schemas.end();
  if (!colours)
    notes.push_back(
        "The file's schema has no colours and layers; readers that keep to it may pass "
        "over those of ours.");
  return notes;
}

void append_all(std::vector<std::string>& to, const std::vector<std::string>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

/// ISO 8601, Universal Time: SOURCE_DATE_EPOCH, or the start of 1970. The clock would make two
/// equal plans differ.
std::string header_date() {
  std::time_t seconds = 0;
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH")) {
    const std::string_view text(epoch);
    std::from_chars(text.data(), text.data() + text.size(), seconds);
  }
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  std::array<char, 32> date{};
  std::strftime(date.data(), date.size(), "%Y-%m-%dT%H:%M:%S", &parts);
  return date.data();
}

}  // namespace

Result<StepFile> append_to_step(std::string_view original, const std::string& file,
                                const FileFrame& frame, const Annotation& annotation) {
  const auto outline = outline_part21(original, file);
  if (!outline) return outline.error();
  StepAssembler assembler(outline->last_id + 1, frame,
                          declared_unit(*outline, frame.written.unit_m),
                          protocol_of(outline->schemas));
  assembler.add_annotation(annotation);
  assembler.finish();
  StepFile result;
  result.text.reserve(original.size() + assembler.text().size() + 1);
  result.text = original.substr(0, outline->insertion);
  if (!result.text.empty() && result.text.back() != '\n') result.text += '\n';
  result.text += assembler.text();
  result.text += original.substr(outline->insertion);
  result.notes = schema_notes(outline->schemas);
  append_all(result.notes, tube_notes(annotation));
  append_all(result.notes, assembler.notes());
  return result;
}

StepFile step_of_our_own(const FileFrame& frame, const Annotation& annotation,
                         const std::vector<SheetPlane>& sheets, const std::string& name,
                         const std::string& generator) {
  StepAssembler assembler(1, frame, frame.written.unit_m, StepProtocol::ap214);
  if (!sheets.empty()) assembler.add_room(sheets);
  if (sheets.empty() || !annotation.items.empty()) assembler.add_annotation(annotation);
  assembler.finish();
  StepFile result;
  result.text = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('Cable runs'),'2;1');\nFILE_NAME(" +
                part21_string(name) + ",'" + header_date() + "',(''),('')," +
                part21_string(generator) + "," + part21_string(generator) +
                ",'');\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 "
                "}'));\nENDSEC;\nDATA;\n";
  result.text += assembler.text();
  result.text += "ENDSEC;\nEND-ISO-10303-21;\n";
  result.notes = tube_notes(annotation);
  append_all(result.notes, assembler.notes());
  return result;
}

}  // namespace roomloom
