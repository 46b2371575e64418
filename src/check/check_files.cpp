#include <nlohmann/json.hpp>

#include "base/files.h"
#include "base/sha256.h"
#include "check/check.h"

namespace roomloom {
namespace {

bool is_model(const std::filesystem::path& file) {
  const std::string ending = file.extension().string();
  return ending == ".glb" || ending == ".step" || ending == ".obj" || ending == ".mtl";
}

}  // namespace

Status check_written_files(const std::filesystem::path& folder, Findings& findings) {
  const auto text = read_file(folder / "plan.json");
  if (!text) return text.error();
  const auto plan = nlohmann::json::parse(*text, nullptr, false);
  if (!plan.is_object() || !plan.contains("files") || !plan["files"].is_array())
    return Error{"check.plan", "It does not list the files that belong to it.",
                 (folder / "plan.json").string(), "Route again."};
  const std::size_t before = findings.items.size();
  for (const auto& listed : plan["files"]) {
    const std::string name = listed.value("name", ""), digest = listed.value("sha256", "");
    // A name from the plan is no path out of its folder.
    if (name.empty() || name != std::filesystem::path(name).filename().string()) continue;
    const auto bytes = read_file(folder / name);
    if (bytes && sha256(*bytes) == digest) continue;
    const Level level = is_model(name) ? Level::must : bytes ? Level::should : Level::note;
    findings.items.push_back(
        {"file-changed", level,
         name + (bytes ? " is not as it was written: something in it has been changed."
                       : " is no longer there, or cannot be read."),
         name, std::nullopt,
         bytes ? "Route again, or restore the file; a list that was ticked off is told too."
               : "Route again if it is wanted.",
         "SHA-256 of each file in plan.json"});
  }
  if (findings.items.size() == before) ++findings.quiet;
  return Done{};
}

}  // namespace roomloom
