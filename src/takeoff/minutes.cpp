#include "takeoff/minutes.h"

#include "takeoff/cells.h"

namespace roomloom {

WorkTask task_of(const std::string& name, const WorkSpec& work) {
  for (const WorkTask& task : work.minutes)
    if (task.name == name) return task;
  for (const StandardTask& task : kStandardTasks)
    if (name == task.name) return {name, task.minutes, task.least, task.most};
  return {name, 0, 0, 0};
}

void time_step(WorkStep& step, const WorkSpec& work) {
  const WorkTask task = task_of(step.task, work);
  step.minutes = step.count * task.minutes;
  step.least = step.count * task.least;
  step.most = step.count * task.most;
}

Table minutes_table(const Job& job) {
  Table table{
      "minutes",
      "Minutes by task",
      "INVENTED unless the job gives its own: nobody was timed. Change them under \"work\", "
      "\"minutes\" in the job; records of what was built suggest better ones.",
      {{"task", "Task"},
       {"per", "For each"},
       {"minutes", "Minutes", ColumnKind::minutes},
       {"least", "At best", ColumnKind::minutes},
       {"most", "At worst", ColumnKind::minutes},
       {"from", "From"}},
      {}};
  for (const StandardTask& standard : kStandardTasks) {
    const WorkTask task = task_of(standard.name, job.work);
    bool own = false;
    for (const WorkTask& given : job.work.minutes) own = own || given.name == standard.name;
    table.rows.push_back({task.name, std::string(standard.per), task.minutes, task.least, task.most,
                          std::string(own ? "the job" : "invented")});
  }
  return table;
}

}  // namespace roomloom
