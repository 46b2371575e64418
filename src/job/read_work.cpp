#include "job/read_work.h"

#include <algorithm>

#include "base/nearest.h"

namespace roomloom {
namespace {

/// A task with the built-in range, as far as the job does not say otherwise.
void read_task(const Field& field, std::vector<WorkTask>& tasks) {
  const std::string name = field["task"].text();
  const auto standard = std::find_if(kStandardTasks.begin(), kStandardTasks.end(),
                                     [&](const StandardTask& task) { return name == task.name; });
  if (standard == kStandardTasks.end()) {
    std::vector<std::string> names;
    for (const StandardTask& task : kStandardTasks) names.emplace_back(task.name);
    if (!name.empty())
      field["task"].problem("job.task", "There is no task \"" + name + "\".",
                            suggestion(name, names));
    return;
  }
  WorkTask task{name, standard->minutes, standard->least, standard->most};
  field["minutes"].read_number(task.minutes);
  // A new figure without a range keeps the built-in range's proportions.
  task.least *= task.minutes / standard->minutes;
  task.most *= task.minutes / standard->minutes;
  field["least"].read_number(task.least);
  field["most"].read_number(task.most);
  if (task.least > task.minutes || task.minutes > task.most)
    field.problem("job.range", "The minutes do not lie between the least and the most.", "");
  std::erase_if(tasks, [&](const WorkTask& one) { return one.name == task.name; });
  tasks.push_back(std::move(task));
}

void read_raceway_stock(const Field& field, const Catalogue& catalogue,
                        std::vector<RacewayStock>& stock) {
  RacewayStock one;
  field["raceway"].read(one.raceway);
  field["count"].read(one.count);
  if (one.count == 0) return;  // used up, and as short as it may be
  field["length"].read_length(one.length_m, 0.01);
  std::vector<std::string> ids;
  for (const RacewayType& type : catalogue.raceways) ids.push_back(type.id);
  if (!one.raceway.empty() && std::find(ids.begin(), ids.end(), one.raceway) == ids.end())
    field["raceway"].problem("job.raceway", "There is no raceway \"" + one.raceway + "\".",
                             suggestion(one.raceway, ids));
  stock.push_back(std::move(one));
}

}  // namespace

void read_work(const Field& root, const Catalogue& catalogue, WorkSpec& work) {
  const Field field = root["work"];
  field["kerf"].read_length(work.kerf_m);
  const std::string corners = field["raceway_corners"].text();
  if (corners == "covered") work.corners = RacewayCorners::covered;
  if (corners == "mitre") work.corners = RacewayCorners::mitre;
  if (corners == "butt") work.corners = RacewayCorners::butt;
  field["raceway_fixing_spacing"].read_length(work.raceway_fixing_spacing_m, 0.05);
  field["tie_spacing"].read_length(work.tie_spacing_m, 0.05);
  field["reach"].read_length(work.reach_m, 0.2);
  field["reach_up"].read_length(work.reach_up_m, 0.5);
  field["day_minutes"].read_number(work.day_minutes);
  field["money_per_hour"].read_number(work.money_per_hour);
  work.money_per_hour_given = work.money_per_hour_given || field["money_per_hour"].given();
  field["markup"].read_share(work.markup);
  for (const Field& task : field["minutes"].items()) read_task(task, work.minutes);
  for (const Field& price : root["prices"].items()) {
    ItemPrice one;
    price["item"].read(one.item);
    price["price"].read_number(one.price);
    std::erase_if(work.prices, [&](const ItemPrice& known) { return known.item == one.item; });
    work.prices.push_back(std::move(one));
  }
  const Field raceways = root["stock"]["raceways"];
  if (raceways.given()) work.raceway.clear();
  for (const Field& stock : raceways.items()) read_raceway_stock(stock, catalogue, work.raceway);
}

}  // namespace roomloom
