#pragma once

#include <string>
#include <string_view>

#include "page/page.h"

/// The parts of report.html; each returns finished HTML but the first.
namespace roomloom::page {

/// What the scripts need, as JSON: room, gear, ends, runs, raceway, holes, supports, pull order.
/// Points in tenths of a millimetre, room frame.
std::string room_json(const PageRequest& request);

std::string answer_html(const PageRequest& request);
std::string lists_html(const PageRequest& request);
std::string plans_html(const PageRequest& request);
std::string sheets_html(const PageRequest& request);
std::string findings_html(const PageRequest& request);
std::string cautions_html(const PageRequest& request);

/// A table of any kind with its caption; `heading` is "h3" or the like.
std::string table_html(const Table& table, const PageRequest& request);

/// "1 run", "7 runs".
std::string counted(std::size_t count, const std::string& noun);
/// A button that shows the run of that number.
std::string run_button(int run, const std::string& id);
/// `id` of a run -> its number, or -1.
int run_named(const Ends& ends, std::string_view id);

/// Pull order: the runs of each step, in order, and its words.
struct PullStep {
  std::string text;
  std::vector<int> runs;
};
/// From the take-off's list where it has one, else the longest first.
std::vector<PullStep> pull_steps(const PageRequest& request);

/// A part's surface with few enough triangles to send.
struct SentMesh {
  std::vector<Vec3> points;
  std::vector<int> corners;  ///< three a triangle
};
/// Corners within the same cube of side `cell_m` become one (none when 0); what collapses is left
/// out, and so are triangles that are there twice.
SentMesh sent_mesh(const Scene& scene, const Part& part, double cell_m);

}  // namespace roomloom::page
