#include "takeoff/minutes.h"

#include "takeoff/cells.h"

namespace roomloom {

RecordedTask recorded_task(const std::string& name, const AsBuilt& built) {
  RecordedTask sum;
  for (const BuiltMinutes& one : built.minutes) {
    if (one.task != name) continue;
    sum.count += one.count;
    sum.minutes += one.minutes;
  }
  return sum;
}

CountedTask counted_task(const std::string& name, const Job& job) {
  for (const WorkTask& task : job.work.minutes)
    if (task.name == name) return {task, "the job"};
  CountedTask counted{{name, 0, 0, 0}, "invented"};
  for (const StandardTask& task : kStandardTasks)
    if (name == task.name) counted.task = {name, task.minutes, task.least, task.most};
  const RecordedTask recorded = recorded_task(name, job.as_built);
  if (recorded.count < kFewestRecorded || counted.task.minutes <= 0) return counted;
  const double change = recorded.each() / counted.task.minutes;
  for (double* minutes : {&counted.task.minutes, &counted.task.least, &counted.task.most})
    *minutes *= change;
  counted.from = "records";
  return counted;
}

void time_step(WorkStep& step, const Job& job) {
  const WorkTask task = counted_task(step.task, job).task;
  step.minutes = step.count * task.minutes;
  step.least = step.count * task.least;
  step.most = step.count * task.most;
}

Table minutes_table(const Job& job) {
  Table table{
      "minutes",
      "Minutes by task",
      "INVENTED unless the job gives its own or enough were recorded: nobody was timed. Change "
      "them under \"work\", \"minutes\" in the job.",
      {{"task", "Task"},
       {"per", "For each"},
       {"minutes", "Minutes", ColumnKind::minutes},
       {"least", "At best", ColumnKind::minutes},
       {"most", "At worst", ColumnKind::minutes},
       {"from", "From"}},
      {}};
  for (const StandardTask& standard : kStandardTasks) {
    const auto [task, from] = counted_task(standard.name, job);
    table.rows.push_back({task.name, std::string(standard.per), task.minutes, task.least, task.most,
                          std::string(from)});
  }
  return table;
}

namespace {

std::string advice(const RecordedTask& recorded, const CountedTask& counted) {
  const WorkTask& task = counted.task;
  if (recorded.count < kFewestRecorded) return "too few to count with";
  if (counted.from == std::string("records")) return "counted with from now on";
  return recorded.each() >= task.least && recorded.each() <= task.most
             ? "within the job's own range"
             : "out of the job's own range: change it, or leave it out";
}

}  // namespace

Table minutes_built_table(const Job& job) {
  Table table{"minutes_built",
              "Minutes as recorded",
              "A task that was recorded often enough is counted with as recorded, unless the job "
              "has minutes of its own for it.",
              {{"task", "Task"},
               {"count", "Recorded", ColumnKind::number},
               {"recorded", "Recorded for each", ColumnKind::minutes},
               {"counted_with", "Counted with", ColumnKind::minutes},
               {"from", "From"},
               {"advice", "What to do"}},
              {}};
  for (const StandardTask& standard : kStandardTasks) {
    const RecordedTask recorded = recorded_task(standard.name, job.as_built);
    if (recorded.count <= 0) continue;
    const CountedTask counted = counted_task(standard.name, job);
    table.rows.push_back({counted.task.name, recorded.count, recorded.each(), counted.task.minutes,
                          std::string(counted.from), advice(recorded, counted)});
  }
  return table;
}

}  // namespace roomloom
