#include "page/rooms.h"

#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <filesystem>

#include "base/files.h"
#include "drawings/drawings.h"
#include "pipeline/roomloom.h"

namespace roomloom::testing {
namespace {

namespace fs = std::filesystem;

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "roomloom-page-XXXXXX").string();
    if (mkdtemp(name.data()) != nullptr) path = name;
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  fs::path path;
};

Result<PlannedRoom> planned(const std::string& room, bool compare = false) {
  PlanOptions options;
  options.compare = compare;
  options.effort = PlanEffort::quick;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/roomloom-read";
  return plan_job(fs::path(ROOMLOOM_SOURCE_DIR) / "models" / room / "job.json", options);
}

std::string tell(const Error& error) {
  std::fprintf(stderr, "%s\n", to_text(error).c_str());
  return {};
}

std::string page_of(const PlannedRoom& p, const Findings& findings) {
  const Folder folder;
  const auto drawn = write_drawings({p.job, p.scene, p.room, p.ends, p.tracks, p.plan, p.shapes,
                                     p.takeoff, folder.path, Paper::a3, program_version()});
  if (!drawn) return tell(drawn.error());
  auto page = page_html({p.job,
                         p.scene,
                         p.room,
                         p.ends,
                         p.plan,
                         p.shapes,
                         p.takeoff,
                         p.annotation,
                         findings,
                         drawn->sheets,

                         {},
                         program_version()});
  return page ? std::move(*page) : tell(page.error());
}

/// Names that would do harm where they are taken for anything but text.
std::string mischief(std::size_t i) {
  switch (i % 7) {
    case 0:
      return "<script>document.title='taken over'</script>" + std::to_string(i);
    case 1:
      return "\"' onmouseover=\"document.title='taken over'\" x='" + std::to_string(i);
    case 2:
      return "=cmd|' /C calc'!A0 " + std::to_string(i);
    case 3:
      return "\xE2\x80\xAEgnirts\xE2\x80\xAC </title></style><img src=x onerror=alert(1)>" +
             std::to_string(i);
    case 4:
      return std::to_string(i) + std::string(10000, 'W');
    case 5:
      return "\xFF\xC3\x28\x01 \xF0\x9F\x8E\xAC \xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D " +
             std::to_string(i);
    default:
      return "-->]]></script><!-- &lt;b&gt; \\u003cb\\u003e ${x} " + std::to_string(i);
  }
}

}  // namespace

std::string page_of_demo(const std::string& room, const fs::path& overview, bool compare) {
  const auto p = planned(room, compare);
  if (!p) return tell(p.error());
  const Folder folder;
  const auto findings = write_plan(*p, folder.path);
  if (!findings) return tell(findings.error());
  if (!overview.empty())
    fs::copy_file(folder.path / "overview.png", overview, fs::copy_options::overwrite_existing);
  auto page = read_file(folder.path / "report.html");
  return page ? std::move(*page) : tell(page.error());
}

std::string page_of_hostile_names() {
  auto p = planned("alder-hall");
  if (!p) return tell(p.error());
  std::size_t i = 0;
  p->job.name = mischief(0) + mischief(4);
  for (Run& run : p->ends.runs) run.id = mischief(i++);
  for (End& end : p->ends.ends) end.id = mischief(i++);
  for (GearBox& gear : p->ends.gear) gear.id = mischief(i++);
  for (CableType& cable : p->job.catalogue.cables) cable.id = mischief(i++);
  for (Sheet& sheet : p->room.sheets) sheet.name = mischief(i++);
  for (Part& part : p->scene.parts) part.name = mischief(i++);
  for (HoleShape& hole : p->shapes.holes) hole.name = mischief(i++);
  for (std::size_t k = 0; k < p->takeoff.runs.size(); ++k) {
    RunRow& row = p->takeoff.runs[k];
    row.id = p->ends.runs[k].id;
    row.from = row.to = row.cable = row.colour = mischief(i++);
  }
  for (HoleRow& hole : p->takeoff.holes) hole.name = hole.crossing = mischief(i++);
  for (CableTotal& total : p->takeoff.totals) total.cable = total.colour = mischief(i++);
  p->takeoff.tables.push_back({mischief(3), mischief(0), mischief(1), {}, {}});
  Table& table = p->takeoff.tables.back();
  table.columns = {{"run", mischief(0), ColumnKind::text}, {"b", mischief(3), ColumnKind::text}};
  for (const Run& run : p->ends.runs) table.rows.push_back({run.id, mischief(i++)});
  Findings findings;
  for (const Level level : {Level::must, Level::should, Level::note})
    findings.items.push_back({mischief(i++), level, mischief(i++), p->ends.runs[1].id,
                              Vec3{1, 1, 1}, mischief(i++), mischief(i++)});
  return page_of(*p, findings);
}

}  // namespace roomloom::testing
