#include "job/read_house.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "base/files.h"
#include "base/nearest.h"
#include "base/sha256.h"
#include "base/version.h"
#include "job/job.h"
#include "job/read_catalogue.h"
#include "job/read_preferences.h"
#include "job/read_work.h"
#include "job/schema.h"

namespace roomloom {
namespace {

constexpr std::uint64_t kLargestHouse = std::uint64_t{16} << 20;

std::vector<std::string> cable_ids(const Catalogue& catalogue) {
  std::vector<std::string> ids;
  for (const CableType& cable : catalogue.cables) ids.push_back(cable.id);
  return ids;
}

SpoolSpec read_spool(const Field& field, const Catalogue& catalogue) {
  SpoolSpec spool;
  field["cable"].read(spool.cable);
  if (!spool.cable.empty() && catalogue.cable(spool.cable) == nullptr)
    field["cable"].problem("job.cable", "There is no cable \"" + spool.cable + "\".",
                           suggestion(spool.cable, cable_ids(catalogue)));
  field["count"].read(spool.count);
  if (spool.count == 0) return spool;  // used up, and as short as it may be
  field["length"].read_length(spool.length_m, 0.1);
  field["colour"].read(spool.colour);
  field["price"].read_number(spool.price);
  field["on_shelf"].read(spool.on_shelf);
  return spool;
}

std::optional<std::filesystem::path> from_environment(const char* name) {
  const char* value = std::getenv(name);
  if (value == nullptr || *value == '\0') return std::nullopt;
  return std::filesystem::u8path(value);
}

}  // namespace

void read_units(const Field& root, Job& job) {
  if (root["units"].given())
    job.units = root["units"].text() == "feet and inches" ? DisplayUnits::feet_and_inches
                                                          : DisplayUnits::metric;
  root["currency"].read(job.currency);
}

void read_favourites(const Field& root, Catalogue& catalogue) {
  const Field field = root["favourites"];
  for (int i = 0; i < kServiceCount; ++i) {
    const auto service = static_cast<Service>(i);
    const std::string id = field[to_string(service)].text();
    if (id.empty()) continue;
    const CableType* cable = catalogue.cable(id);
    const bool open = id == "speaker" && service == Service::loudspeaker;
    if (cable == nullptr && !open)
      field[to_string(service)].problem("job.cable", "There is no cable \"" + id + "\".",
                                        suggestion(id, cable_ids(catalogue)));
    else if (cable != nullptr && cable->service != service)
      field[to_string(service)].problem("job.cable",
                                        "The cable \"" + id + "\" is for " +
                                            to_string(cable->service) + ", not for " +
                                            to_string(service) + ".",
                                        "");
    std::erase_if(catalogue.favourites, [&](const auto& one) { return one.first == service; });
    catalogue.favourites.emplace_back(service, id);
  }
}

void read_stock(const Field& root, Job& job) {
  const Field spools = root["stock"]["spools"];
  if (!spools.given()) return;
  job.spools.clear();
  for (const Field& field : spools.items()) job.spools.push_back(read_spool(field, job.catalogue));
  std::erase_if(job.spools, [](const SpoolSpec& spool) { return spool.count == 0; });
}

void read_house(const std::filesystem::path& file, const JsonValue& schema, Job& job,
                std::vector<Error>& problems) {
  const Result<std::string> text = read_file(file, kLargestHouse);
  if (!text) return problems.push_back(text.error());
  const std::string path = file.string();
  const Result<JsonValue> root = parse_json(*text, path);
  if (!root) return problems.push_back(root.error());
  DocumentText document{*root, path, {}};
  const Field field(&*root, "", document);
  double version = 0;
  field["version"].read_number(version);
  if (const auto wrong = version_problem(version, kHouseVersion, "house file", path))
    return problems.push_back(*wrong);
  validate(*root, schema, "/$defs/house", path, document.problems);
  job.origin.house = path;
  job.origin.house_sha256 = sha256(*text);
  read_units(field, job);
  read_catalogue(field, job.catalogue);
  read_favourites(field, job.catalogue);
  read_work(field, job.catalogue, job.work);
  read_preferences(field["prefer"], job.prefer);
  read_stock(field, job);
  job.origin.house_stock = !job.spools.empty();
  job.origin.house_raceway = true;
  problems.insert(problems.end(), document.problems.begin(), document.problems.end());
}

Result<std::filesystem::path> house_file(const std::string& asked) {
  namespace fs = std::filesystem;
  std::error_code failed;
  for (const auto& [named, by] :
       {std::pair(asked.empty() ? std::nullopt : std::optional(fs::u8path(asked)), "--house"),
        std::pair(from_environment("ROOMLOOM_HOUSE"), "ROOMLOOM_HOUSE")}) {
    if (!named) continue;
    if (*named == "none") return fs::path();
    if (fs::exists(*named, failed)) return *named;
    return Error{"house.missing", std::string("There is no house file there, as ") + by + " says.",
                 named->string(), "Mend the path, or write none for no house file."};
  }
  auto folder = from_environment("XDG_CONFIG_HOME");
  // A path there that is not absolute is to be ignored. Source: XDG Base Directory Specification.
  if (!folder || !folder->is_absolute()) {
    folder = from_environment("HOME");
    if (!folder) return fs::path();
    *folder /= ".config";
  }
  const fs::path usual = *folder / "roomloom" / "house.json";
  return fs::exists(usual, failed) ? usual : fs::path();
}

}  // namespace roomloom
