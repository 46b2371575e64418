#include <cstdio>

#include "pipeline/roomloom.h"

// Plans a job, writes the result, and prints each run's cut length.
int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const auto planned = roomloom::plan_job(argv[1], {});
  if (!planned) {
    std::fprintf(stderr, "%s\n", roomloom::to_text(planned.error()).c_str());
    return 2;
  }
  for (const roomloom::CableShape& cable : planned->shapes.cables) {
    const roomloom::Run& run = planned->ends.runs[static_cast<std::size_t>(cable.run)];
    std::printf("%s %.3f m\n", run.id.c_str(), cable.cut_m);
  }
  const auto findings = roomloom::write_plan(*planned, argv[2]);
  if (!findings) {
    std::fprintf(stderr, "%s\n", roomloom::to_text(findings.error()).c_str());
    return 2;
  }
  return 0;
}
