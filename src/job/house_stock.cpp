#include <algorithm>
#include <cmath>
#include <map>

#include "base/units.h"
#include "job/job.h"
#include "job/json_text.h"

namespace roomloom {
namespace {

using Kind = JsonValue::Kind;

/// A list of the house's stock, and the key under which its entries say what they are.
struct StockList {
  const char* name;
  const char* kind;
};
constexpr StockList kSpools{"spools", "cable"}, kRaceways{"raceways", "raceway"};

/// A spool or a length of raceway of the house's stock, as its file writes it.
struct HouseItem {
  std::string kind, colour, left_from;
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

std::vector<HouseItem> items_in(const std::string& text, const StockList& of,
                                const JsonValue* list) {
  std::vector<HouseItem> spools;
  if (list == nullptr) return spools;
  for (const JsonValue& item : list->items) {
    HouseItem spool;
    spool.kind = text_member(item, of.kind);
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

std::string item_text(const StockList& of, const HouseItem& spool) {
  if (!spool.text.empty()) return spool.text;
  std::string text = "{ \"" + std::string(of.kind) + "\": " + json_quoted(spool.kind) +
                     ", \"length\": \"" + format_number(spool.length_m, 3) + " m\"";
  if (!spool.colour.empty()) text += ", \"colour\": " + json_quoted(spool.colour);
  if (spool.count > 1) text += ", \"count\": " + std::to_string(spool.count);
  if (!spool.left_from.empty()) text += ", \"left_from\": " + json_quoted(spool.left_from);
  return text + " }";
}

/// A spool or length that was cut from: how long it was and what is left.
struct Begun {
  std::string kind, colour;
  double whole_m = 0, left_m = 0;
  bool from_shelf = false;
};
using AllBegun = std::map<std::string, Begun>;  // by plan and name

AllBegun cut_spools(const AsBuilt& built) {
  AllBegun spools;
  for (const BuiltRun& run : built.runs) {
    if (run.spool.empty() || run.spool_m <= 0 || !run.in_house) continue;
    const auto [found, fresh] = spools.try_emplace(run.plan + " " + run.spool);
    Begun& spool = found->second;
    if (fresh) spool = {run.cable, run.colour, run.spool_m, run.spool_m, run.from_shelf};
    spool.left_m -= run.measured_m;
  }
  return spools;
}

AllBegun cut_raceway(const AsBuilt& built) {
  AllBegun lengths;
  for (const BuiltRaceway& piece : built.raceway) {
    if (piece.stock.empty() || piece.stock_m <= 0 || !piece.in_house) continue;
    const auto [found, fresh] = lengths.try_emplace(piece.plan + " " + piece.stock);
    Begun& length = found->second;
    if (fresh) length = {piece.raceway, "", piece.stock_m, piece.stock_m, piece.from_shelf};
    length.left_m -= piece.cut_m;
  }
  return lengths;
}

void take_whole(const Begun& cut, std::vector<HouseItem>& spools) {
  const auto own = std::find_if(spools.begin(), spools.end(), [&](const HouseItem& spool) {
    return spool.on_shelf && spool.kind == cut.kind &&
           (spool.colour.empty() || spool.colour == cut.colour) &&
           std::abs(spool.length_m - cut.whole_m) < 1e-3;
  });
  if (own == spools.end()) return;
  own->text.clear();
  if (--own->count <= 0) spools.erase(own);
}

/// What was cut from by mistake in the record lies there whole again, if the house had it.
void give_back(const std::string& name, const Begun& cut, std::vector<HouseItem>& items) {
  std::erase_if(items, [&](const HouseItem& item) { return item.left_from == name; });
  if (!cut.from_shelf) return;
  for (HouseItem& item : items)
    if (item.left_from.empty() && item.on_shelf && item.kind == cut.kind &&
        (item.colour.empty() || item.colour == cut.colour) &&
        std::abs(item.length_m - cut.whole_m) < 1e-3) {
      ++item.count;
      item.text.clear();
      return;
    }
  items.push_back({cut.kind, cut.colour, "", cut.whole_m, 1, true, ""});
}

void keep_rest(const std::string& name, const Begun& cut, double shortest_m, bool begun_before,
               std::vector<HouseItem>& spools) {
  const auto own = std::find_if(spools.begin(), spools.end(),
                                [&](const HouseItem& spool) { return spool.left_from == name; });
  const bool worth_keeping = cut.left_m >= shortest_m;
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
  spools.push_back({cut.kind, cut.colour, name, cut.left_m, 1, true, ""});
}

std::string list_text(const StockList& of, const std::vector<HouseItem>& items) {
  std::string text = "[";
  for (const HouseItem& item : items)
    text += (text.size() > 1 ? ",\n    " : "\n    ") + item_text(of, item);
  return text + (items.empty() ? "]" : "\n  ]");
}

/// A key put first in the object that begins at `from`.
std::string with_key(const std::string& text, std::size_t from, bool empty,
                     const std::string& member) {
  return text.substr(0, from + 1) + "\n  " + member + (empty ? "\n" : ",") + text.substr(from + 1);
}

/// The house file's text with one of its lists as it is after what was begun since.
Result<std::string> with_list(const std::string& text, const std::string& path, const StockList& of,
                              const AllBegun& before, const AllBegun& after, double shortest_m) {
  if (after.empty() && before.empty()) return text;
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return root.error();
  if (root->kind != Kind::object)
    return Error{"schema.type", "A house file is an object {...}.", path, ""};
  const JsonValue* stock = root->find("stock");
  const JsonValue* list = stock == nullptr ? nullptr : stock->find(of.name);
  std::vector<HouseItem> items = items_in(text, of, list);
  for (const auto& [name, cut] : after) {
    const auto old = before.find(name);
    if (old == before.end() && cut.from_shelf) take_whole(cut, items);
    keep_rest(name, cut, shortest_m, old != before.end() && old->second.left_m >= shortest_m,
              items);
  }
  for (const auto& [name, cut] : before)
    if (!after.contains(name)) give_back(name, cut, items);
  const std::string written = list_text(of, items);
  if (list != nullptr) {
    const Extent extent = extent_of(text, *list);
    return text.substr(0, extent.from) + written + text.substr(extent.to);
  }
  const std::string member = "\"" + std::string(of.name) + "\": " + written;
  if (stock != nullptr && stock->kind == Kind::object)
    return with_key(text, offset_of(text, stock->place), stock->members.empty(), member);
  return with_key(text, offset_of(text, root->place), root->members.empty(),
                  "\"stock\": { " + member + " }");
}

}  // namespace

Result<std::string> with_leftovers(const std::string& text, const std::string& path,
                                   const AsBuilt& before, const AsBuilt& after) {
  auto spools =
      with_list(text, path, kSpools, cut_spools(before), cut_spools(after), kShortestLeft_m);
  if (!spools) return spools;
  return with_list(*spools, path, kRaceways, cut_raceway(before), cut_raceway(after),
                   kShortestRaceway_m);
}

}  // namespace roomloom
