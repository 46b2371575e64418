#include "cli/commands.h"

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "base/files.h"
#include "base/units.h"
#include "check/check.h"
#include "exchange/read.h"
#include "job/job.h"
#include "report/compare.h"
#include "report/report.h"
#include "room/room.h"
#include "room/survey.h"
#include "sketch/sketch.h"

namespace roomloom::cli {
namespace {

using Json = nlohmann::ordered_json;

void print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

void print_json(const Json& json) {
  print(json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

/// Shows the stage on one line that overwrites itself, on a terminal only.
std::function<void(const std::string&)> progress_of(const Common& common) {
  if (common.stages)
    return [](const std::string& stage) { std::fprintf(stderr, "stage: %s\n", stage.c_str()); };
  if (common.quiet || common.json || isatty(STDERR_FILENO) == 0) return {};
  return [](const std::string& stage) { std::fprintf(stderr, "\r\x1b[K%s …", stage.c_str()); };
}

void end_progress(const Common& common) {
  if (!common.stages && progress_of(common)) std::fputs("\r\x1b[K", stderr);
}

Json findings_json(const Findings& findings) {
  Json all = Json::array();
  for (const Finding& f : findings.items) {
    all.push_back({{"id", f.id},
                   {"level", to_string(f.level)},
                   {"subject", f.subject},
                   {"text", f.text},
                   {"figure", f.figure},
                   {"limit", f.limit},
                   {"remedy", f.remedy},
                   {"source", f.source}});
  }
  return all;
}

/// A finding that must be mended is a failed check; the others are told.
int status_of(const Findings& findings) {
  const bool must = std::any_of(findings.items.begin(), findings.items.end(),
                                [](const Finding& f) { return f.level == Level::must; });
  return must ? check_failed : done;
}

ReadOptions read_options(const Job& job, const Common& common) {
  ReadOptions read;
  read.unit_m = job.model.unit_m;
  read.up = job.model.up;
  read.memory_limit_gb = common.plan.memory_limit_gb;
  read.allow_outside_references = common.plan.allow_outside_references;
  return read;
}

Planned view(const PlannedRoom& p) {
  return {p.job, p.scene, p.room, p.ends, p.tracks, p.plan, p.shapes, p.takeoff};
}

/// On the terminal two decimals are enough, and one of a foot; the CSV has all of them.
std::string cell_text(const Cell& cell, ColumnKind kind, const TableStyle& style) {
  const auto* number = std::get_if<double>(&cell);
  const bool feet = kind == ColumnKind::length && style.units == DisplayUnits::feet_and_inches;
  if (number == nullptr || (kind != ColumnKind::length && kind != ColumnKind::number))
    return told_cell(cell, kind, style);
  return format_number(told_number(*number, kind, style), feet ? 1 : 2);
}

/// A list for the terminal: columns aligned, its note below.
std::string table_text(const Table& table, const TableStyle& style) {
  std::vector<std::vector<std::string>> lines(1);
  for (const Column& column : table.columns) lines[0].push_back(column_title(column, style));
  for (const std::vector<Cell>& row : table.rows) {
    lines.emplace_back();
    for (std::size_t i = 0; i < row.size(); ++i)
      lines.back().push_back(cell_text(row[i], table.columns[i].kind, style));
  }
  std::vector<std::size_t> widths(table.columns.size(), 0);
  for (const auto& line : lines)
    for (std::size_t i = 0; i < line.size(); ++i) widths[i] = std::max(widths[i], line[i].size());
  std::string text = "\n" + table.title + "\n";
  for (const auto& line : table.rows.empty() ? std::vector<std::vector<std::string>>{} : lines) {
    for (std::size_t i = 0; i < line.size(); ++i) {
      const std::string gap(widths[i] - line[i].size() + 2, ' ');
      text += i == 0 ? "  " + line[i] + gap : gap + line[i];
    }
    text += "\n";
  }
  return text + table.note + "\n";
}

std::filesystem::path default_folder(const std::filesystem::path& job) {
  const auto stem =
      job.stem() == "job" && job.has_parent_path() ? job.parent_path().filename() : job.stem();
  return (stem.empty() ? std::filesystem::path("result") : stem).string() + "-plan";
}

}  // namespace

int fail(const Error& error, const Common& common) {
  if (common.json) {
    print_json(Json{{"error",
                     {{"code", error.code},
                      {"what", error.what},
                      {"where", error.where},
                      {"remedy", error.remedy}}}});
  } else {
    std::fprintf(stderr, "roomloom: %s [%s]\n", to_text(error).c_str(), error.code.c_str());
  }
  return bad_input;
}

int sketch(const std::filesystem::path& room_file, const std::filesystem::path& output,
           const Common& common) {
  const auto room = read_sketch(room_file);
  if (!room) return fail(room.error(), common);
  const auto solids = build_sketch(*room);
  if (!solids) return fail(solids.error(), common);
  const Status written = write_solids(*solids, output);
  if (!written) return fail(written.error(), common);
  if (common.json) {
    print_json(Json{{"written", output.string()}, {"parts", solids->parts.size()}});
  } else if (!common.quiet) {
    print("Wrote " + output.string() + " with " + std::to_string(solids->parts.size()) +
          " parts.\n");
    for (const Note& note : solids->notes) print(note.text + "\n");
  }
  return done;
}

int survey(const std::filesystem::path& model, const std::filesystem::path& job_file,
           const std::filesystem::path& start, const Common& common) {
  Job job;
  if (!job_file.empty()) {
    const auto house = house_file(common.house);
    if (!house) return fail(house.error(), common);
    auto read = read_job(job_file, {*house, {}, false});
    if (!read) return fail(read.error(), common);
    job = std::move(*read);
  }
  if (common.units) tell_in(job, *common.units);
  auto scene = read_model(model, read_options(job, common));
  if (!scene) return fail(scene.error(), common);
  add_stated_faces(job, *scene);
  const auto room = understand_room(*scene, job);
  if (!room) return fail(room.error(), common);
  if (common.json) {
    print(survey_json(*scene, *room) + "\n");
  } else if (!common.quiet) {
    print(survey_text(*scene, *room, job.units, {job_file.string(), start.string()}));
  }
  if (start.empty()) return done;
  std::error_code failed;
  if (std::filesystem::exists(start, failed)) {
    return fail({"file.exists", "The job exists already and is not overwritten.", start.string(),
                 "Choose another name, or remove it first."},
                common);
  }
  const Status written = write_file(start, starting_job(*scene, *room, start, job.units));
  if (!written) return fail(written.error(), common);
  const auto schema = start.parent_path() / "roomloom-job.schema.json";
  const bool there = std::filesystem::exists(schema, failed);
  if (!there) {
    if (const Status beside = write_file(schema, std::string(job_schema())); !beside)
      return fail(beside.error(), common);
  }
  if (!common.quiet && !common.json) {
    print("\nWrote " + start.string() + ". With " + schema.filename().string() +
          (there ? ", which lies beside it already," : " beside it") +
          " an editor that knows JSON Schema completes and checks it.\n");
  }
  return done;
}

int route(const std::filesystem::path& job, const std::filesystem::path& folder,
          const Common& common) {
  PlanOptions options = common.plan;
  options.units = common.units;
  options.progress = progress_of(common);
  auto house = house_file(common.house);
  if (!house) return fail(house.error(), common);
  options.house = std::move(*house);
  auto planned = plan_job(job, options);
  if (!planned) {
    end_progress(common);
    return fail(planned.error(), common);
  }
  const auto into = folder.empty() ? default_folder(job) : folder;
  WriteOptions write = common.write;
  write.progress = options.progress;
  const auto findings = write_plan(*planned, into, write);
  end_progress(common);
  if (!findings) return fail(findings.error(), common);
  if (common.json) {
    const auto text = read_file(into / "plan.json");
    if (!text) return fail(text.error(), common);
    print(*text);
  } else if (!common.quiet) {
    print(summary_text(view(*planned), *findings));
    for (const Table& table : planned->takeoff.tables)
      if (table.id == "moved" || table.id == "presets" || table.id == "sensitivity")
        print(table_text(table, {planned->job.units, planned->job.currency}));
    print("\nWritten to " + into.string() + ": " +
          (common.write.report ? "report.html (all of it on one page), " : "") +
          "routed.glb, routed.step, routed.obj (the room and its runs), runs.glb, runs.step (the "
          "runs alone), " +
          (common.write.drawings ? "drawings.pdf, " : "") +
          "labels.pdf, quote.pdf, ladder.pdf, ladder.html, roomloom.xlsx and a .csv for each list, "
          "plan.json, "
          "summary.txt\n");
  }
  return status_of(*findings);
}

int check(const std::filesystem::path& folder, const Common& common) {
  const auto findings = check_folder(folder, common.plan);
  if (!findings) return fail(findings.error(), common);
  if (common.json) {
    print_json(Json{{"findings", findings_json(*findings)}, {"quiet", findings->quiet}});
    return status_of(*findings);
  }
  if (common.quiet) return status_of(*findings);
  for (const Finding& f : findings->items) {
    print(std::string(to_string(f.level)) + ": " + f.text + " " + f.remedy + " [" + f.id + "]\n");
  }
  print(std::to_string(findings->quiet) + " checks had nothing to say.\n");
  if (findings->items.empty()) print("No conflict found by the checks that were made.\n");
  return status_of(*findings);
}

int compare(const std::filesystem::path& old_folder, const std::filesystem::path& new_folder,
            const std::filesystem::path& table, const Common& common) {
  const auto before = read_file(old_folder / "plan.json");
  if (!before) return fail(before.error(), common);
  const auto after = read_file(new_folder / "plan.json");
  if (!after) return fail(after.error(), common);
  const auto text =
      common.json ? compare_json(*before, *after)
                  : compare_text(*before, *after, common.units.value_or(DisplayUnits::metric));
  if (!text) return fail(text.error(), common);
  if (!table.empty()) {
    const auto csv = compare_csv(*before, *after);
    if (!csv) return fail(csv.error(), common);
    if (const Status written = write_file(table, *csv); !written)
      return fail(written.error(), common);
  }
  if (common.json || !common.quiet) print(*text);
  return done;
}

}  // namespace roomloom::cli
