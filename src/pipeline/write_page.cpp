#include "pipeline/write_page.h"

#include "base/files.h"
#include "page/page.h"
#include "trade/cautions.h"

namespace roomloom {

Status write_page(const PlannedRoom& p, const Findings& findings, std::vector<DrawnSheet> sheets,
                  const std::filesystem::path& folder) {
  std::vector<PageCaution> cautions;
  for (const trade::Caution& caution : trade::cautions())
    cautions.push_back({caution.text, caution.source});
  const auto page =
      page_html({p.job, p.scene, p.room, p.ends, p.plan, p.shapes, p.takeoff, p.annotation,
                 findings, std::move(sheets), std::move(cautions), program_version()});
  if (!page) return page.error();
  return write_file(folder / "report.html", *page);
}

}  // namespace roomloom
