#include <algorithm>
#include <cmath>
#include <map>

#include "base/units.h"
#include "job/job.h"
#include "job/json_text.h"

namespace roomloom {
namespace {

using Kind = JsonValue::Kind;

/// A spool of the house's stock, as its file writes it.
struct HouseSpool {
  std::string cable, colour, left_from;
  double length_m = 0;
  int count = 1;
  bool on_shelf = true;
  std::string text;  ///< as it stands in the file; empty = new or changed
};

/// Where a value's text begins and ends.
struct Extent {
  std::size_t from = 0, to = 0;
};

std::size_t offset_of(const std::string& text, const TextPlace& place) {
  std::size_t at = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  for (int line = 1; line < place.line; ++line) at = text.find('\n', at) + 1;
  for (int column = 1; column < place.column; ++column) {
    ++at;
    while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) ++at;
  }
  return at;
}

/// The end of the text in quotes, or of the comment, that begins at `at`; `at` if none does.
std::size_t past_quoted(const std::string& text, std::size_t at) {
  if (text[at] == '"') {
    for (++at; at < text.size() && text[at] != '"'; ++at)
      if (text[at] == '\\') ++at;
    return at + 1;
  }
  if (text.compare(at, 2, "//") == 0) return std::min(text.find('\n', at), text.size());
  if (text.compare(at, 2, "/*") == 0) return text.find("*/", at) + 2;
  return at;
}

/// Of a list or an object.
Extent extent_of(const std::string& text, const JsonValue& value) {
  Extent extent{offset_of(text, value.place), 0};
  int depth = 0;
  for (std::size_t at = extent.from; at < text.size();) {
    if (const std::size_t past = past_quoted(text, at); past != at) {
      at = past;
      continue;
    }
    if (text[at] == '[' || text[at] == '{') ++depth;
    if (text[at] == ']' || text[at] == '}') --depth;
    ++at;
    if (depth == 0) {
      extent.to = at;
      return extent;
    }
  }
  extent.to = text.size();
  return extent;
}

std::string text_member(const JsonValue& object, const char* key) {
  const JsonValue* value = object.find(key);
  return value != nullptr && value->kind == Kind::string ? value->text : std::string();
}

double length_member(const JsonValue& object, const char* key) {
  const JsonValue* value = object.find(key);
  if (value == nullptr) return 0;
  if (value->kind == Kind::number) return value->number;
  const auto metres = parse_length(value->text);
  return metres ? *metres : 0;
}

std::vector<HouseSpool> spools_in(const std::string& text, const JsonValue* list) {
  std::vector<HouseSpool> spools;
  if (list == nullptr) return spools;
  for (const JsonValue& item : list->items) {
    HouseSpool spool;
    spool.cable = text_member(item, "cable");
    spool.colour = text_member(item, "colour");
    spool.left_from = text_member(item, "left_from");
    spool.length_m = length_member(item, "length");
    if (const JsonValue* count = item.find("count")) spool.count = static_cast<int>(count->number);
    if (const JsonValue* shelf = item.find("on_shelf")) spool.on_shelf = shelf->boolean;
    const Extent extent = extent_of(text, item);
    spool.text = text.substr(extent.from, extent.to - extent.from);
    spools.push_back(std::move(spool));
  }
  return spools;
}

std::string spool_text(const HouseSpool& spool) {
  if (!spool.text.empty()) return spool.text;
  std::string text = "{ \"cable\": " + json_quoted(spool.cable) + ", \"length\": \"" +
                     format_number(spool.length_m, 3) + " m\"";
  if (!spool.colour.empty()) text += ", \"colour\": " + json_quoted(spool.colour);
  if (spool.count > 1) text += ", \"count\": " + std::to_string(spool.count);
  if (!spool.left_from.empty()) text += ", \"left_from\": " + json_quoted(spool.left_from);
  return text + " }";
}

/// A spool that runs were cut from: how long it was and what is left.
struct CutSpool {
  std::string cable, colour;
  double whole_m = 0, left_m = 0;
  bool from_shelf = false;
};
using CutSpools = std::map<std::string, CutSpool>;  // by plan and name

CutSpools cut_spools(const AsBuilt& built) {
  CutSpools spools;
  for (const BuiltRun& run : built.runs) {
    if (run.spool.empty() || run.spool_m <= 0 || !run.in_house) continue;
    const auto [found, fresh] = spools.try_emplace(run.plan + " " + run.spool);
    CutSpool& spool = found->second;
    if (fresh) spool = {run.cable, run.colour, run.spool_m, run.spool_m, run.from_shelf};
    spool.left_m -= run.measured_m;
  }
  return spools;
}

void take_whole(const CutSpool& cut, std::vector<HouseSpool>& spools) {
  const auto own = std::find_if(spools.begin(), spools.end(), [&](const HouseSpool& spool) {
    return spool.on_shelf && spool.cable == cut.cable &&
           (spool.colour.empty() || spool.colour == cut.colour) &&
           std::abs(spool.length_m - cut.whole_m) < 1e-3;
  });
  if (own == spools.end()) return;
  own->text.clear();
  if (--own->count <= 0) spools.erase(own);
}

void keep_rest(const std::string& name, const CutSpool& cut, bool begun_before,
               std::vector<HouseSpool>& spools) {
  const auto own = std::find_if(spools.begin(), spools.end(),
                                [&](const HouseSpool& spool) { return spool.left_from == name; });
  const bool worth_keeping = cut.left_m >= kShortestLeft_m;
  if (own != spools.end()) {
    if (!worth_keeping) {
      spools.erase(own);
    } else if (std::abs(own->length_m - cut.left_m) > 1e-6) {
      own->length_m = cut.left_m;
      own->text.clear();
    }
    return;
  }
  // Begun before and not there now: somebody has used the rest up.
  if (begun_before || !worth_keeping) return;
  spools.push_back({cut.cable, cut.colour, name, cut.left_m, 1, true, ""});
}

std::string list_text(const std::vector<HouseSpool>& spools) {
  std::string text = "[";
  for (const HouseSpool& spool : spools)
    text += (text.size() > 1 ? ",\n    " : "\n    ") + spool_text(spool);
  return text + (spools.empty() ? "]" : "\n  ]");
}

/// A key put first in the object that begins at `from`.
std::string with_key(const std::string& text, std::size_t from, bool empty,
                     const std::string& member) {
  return text.substr(0, from + 1) + "\n  " + member + (empty ? "\n" : ",") + text.substr(from + 1);
}

}  // namespace

Result<std::string> with_leftovers(const std::string& text, const std::string& path,
                                   const AsBuilt& before, const AsBuilt& after) {
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return root.error();
  if (root->kind != Kind::object)
    return Error{"schema.type", "A house file is an object {...}.", path, ""};
  const JsonValue* stock = root->find("stock");
  const JsonValue* list = stock == nullptr ? nullptr : stock->find("spools");
  std::vector<HouseSpool> spools = spools_in(text, list);
  const CutSpools begun = cut_spools(before);
  for (const auto& [name, cut] : cut_spools(after)) {
    const auto old = begun.find(name);
    if (old == begun.end() && cut.from_shelf) take_whole(cut, spools);
    keep_rest(name, cut, old != begun.end() && old->second.left_m >= kShortestLeft_m, spools);
  }
  const std::string written = list_text(spools);
  if (list != nullptr) {
    const Extent extent = extent_of(text, *list);
    return text.substr(0, extent.from) + written + text.substr(extent.to);
  }
  if (stock != nullptr && stock->kind == Kind::object)
    return with_key(text, offset_of(text, stock->place), stock->members.empty(),
                    "\"spools\": " + written);
  return with_key(text, offset_of(text, root->place), root->members.empty(),
                  "\"stock\": { \"spools\": " + written + " }");
}

}  // namespace roomloom
