#include "pipeline/write_takeoff.h"

#include <optional>

#include "base/files.h"
#include "drawings/work_sheets.h"
#include "report/ladder_html.h"
#include "report/report.h"
#include "report/workbook.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

const Table* table_named(const Takeoff& takeoff, const std::string& id) {
  for (const Table& table : takeoff.tables)
    if (table.id == id) return &table;
  return nullptr;
}

Status write_sheets(const PlannedRoom& p, const fs::path& folder, Paper paper) {
  if (const Table* labels = table_named(p.takeoff, "labels")) {
    const auto pdf = labels_pdf(*labels, paper, program_version());
    if (!pdf) return pdf.error();
    if (const Status written = write_file(folder / "labels.pdf", *pdf); !written) return written;
  }
  const auto quote =
      quote_pdf(p.takeoff, p.job.name, p.job.currency, p.job.units, paper, program_version());
  if (!quote) return quote.error();
  if (const Status written = write_file(folder / "quote.pdf", *quote); !written) return written;
  const auto pdf = ladder_pdf(p.takeoff, p.job.name, paper, program_version());
  if (!pdf) return pdf.error();
  return write_file(folder / "ladder.pdf", *pdf);
}

}  // namespace

Status write_takeoff(const PlannedRoom& p, const fs::path& folder, const WriteOptions& options) {
  const TableStyle style{p.job.units, p.job.currency};
  for (const Table& table : p.takeoff.tables) {
    const Status written = write_file(folder / (table.id + ".csv"), table_csv(table, style));
    if (!written) return written;
  }
  const Status page = write_file(folder / "ladder.html", ladder_html(p.takeoff, p.job.name));
  if (!page) return page;
  const Table *spools = table_named(p.takeoff, "stock_left"),
              *raceway = table_named(p.takeoff, "raceway_left");
  if (spools != nullptr && raceway != nullptr)
    if (const Status written =
            write_file(folder / "stock-left.json", stock_json(*spools, *raceway));
        !written)
      return written;
  return options.drawings ? write_sheets(p, folder, options.paper) : Status{Done{}};
}

Status write_book(const PlannedRoom& p, const Findings& findings, const fs::path& folder) {
  const TableStyle style{p.job.units, p.job.currency};
  std::vector<Table> tables = p.takeoff.tables;
  tables.push_back(checks_table(findings));
  const Status checks = write_file(folder / "checks.csv", table_csv(tables.back(), style));
  return checks ? write_workbook(tables, style, folder / "roomloom.xlsx") : checks;
}

}  // namespace roomloom
