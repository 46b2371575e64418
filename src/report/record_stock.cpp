#include "report/record_stock.h"

#include "base/nearest.h"
#include "base/sha256.h"

namespace roomloom {

Error unknown_in_plan(const std::string& kind, const std::string& name,
                      const std::vector<std::string>& names) {
  return {"record.unknown", "The plan has no " + kind + " \"" + name + "\".", name,
          suggestion(name, names)};
}

bool is_the_houses(const Json& plan, const char* stock) {
  const Json& job = plan.at("job");
  return job.contains("house") && job.at("house").value(stock, false);
}

std::string plan_id(const Json& plan) {
  // The same job may be planned again when more is recorded, with other cuts by the same names.
  const Json& job = plan.at("job");
  std::string told = job.at("sha256").get<std::string>();
  if (job.contains("as_built")) told += job.at("as_built").at("sha256").get<std::string>();
  told += job.value("record", "");
  for (const Json& table : plan.at("tables"))
    for (const char* id : {"spools", "spool_cuts", "leads", "raceway_cuts"})
      if (table.at("id") == id)
        told += table.at("rows").dump(-1, ' ', false, Json::error_handler_t::replace);
  return sha256(told).substr(0, 12);
}

std::string spool_of(const Json& plan, const std::string& run) {
  for (const auto& [list, column] :
       {std::pair{"spool_cuts", "spool"}, std::pair{"leads", "lead"}}) {
    const PlanList taken(plan, list);
    if (const Json* row = taken.row(run, taken.column("run")))
      return taken.cell(*row, column).get<std::string>();
  }
  return "";
}

Result<Json> spool_entry(const Json& plan, const std::string& name) {
  const PlanList spools(plan, "spools");
  const Json* spool = spools.row(name);
  if (spool == nullptr) return unknown_in_plan("spool", name, {});
  return Json{{"plan", plan_id(plan)},
              {"name", name},
              {"cable", spools.cell(*spool, "cable")},
              {"colour", spools.cell(*spool, "colour")},
              {"length", spools.cell(*spool, "length_m")},
              {"on_shelf", spools.cell(*spool, "from") == "the shelf"},
              {"house", is_the_houses(plan, "stock")}};
}

Json stock_of(const Json& plan, const std::string& piece) {
  const PlanList cuts(plan, "raceway_cuts");
  const Json* cut = cuts.row(piece, cuts.column("piece"));
  if (cut == nullptr) return nullptr;
  const std::string name = cuts.cell(*cut, "stock");
  const Json& whole = cuts.cell(*cut, "stock_m");
  if (!whole.is_number() || whole.get<double>() <= 0) return nullptr;
  return {{"plan", plan_id(plan)},
          {"name", name},
          {"length", whole},
          {"cut", cuts.cell(*cut, "takes_m")},
          {"on_shelf", name.find("(from the shelf)") != std::string::npos},
          {"house", is_the_houses(plan, "raceway_stock")}};
}

}  // namespace roomloom
