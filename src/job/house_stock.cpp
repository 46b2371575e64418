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
  std::string was;   ///< the item, one of its count, whose rest this is
  std::string text;  ///< as it stands in the file; empty = new or changed
  std::vector<std::pair<std::string, std::string>> others;  ///< keys not read here, as written
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

/// As it stands in the file, but texts in their plainest form.
std::string raw_text(const std::string& text, const JsonValue& value) {
  switch (value.kind) {
    case Kind::null:
      return "null";
    case Kind::boolean:
      return value.boolean ? "true" : "false";
    case Kind::string:
      return json_quoted(value.text);
    case Kind::number: {
      const std::size_t from = offset_of(text, value.place);
      return text.substr(from, text.find_first_not_of("+-.0123456789eE", from) - from);
    }
    case Kind::array:
    case Kind::object:
      break;
  }
  const Extent extent = extent_of(text, value);
  return text.substr(extent.from, extent.to - extent.from);
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

HouseItem item_in(const std::string& text, const StockList& of, const JsonValue& value) {
  HouseItem item;
  item.kind = text_member(value, of.kind);
  item.colour = text_member(value, "colour");
  item.left_from = text_member(value, "left_from");
  item.length_m = length_member(value, "length");
  for (const JsonMember& member : value.members) {
    if (member.key == "count")
      item.count = static_cast<int>(member.value.number);
    else if (member.key == "was")
      item.was = raw_text(text, member.value);
    else if (member.key != of.kind && member.key != "colour" && member.key != "left_from" &&
             member.key != "length")
      item.others.emplace_back(member.key, raw_text(text, member.value));
    if (member.key == "on_shelf") item.on_shelf = member.value.boolean;
  }
  item.text = raw_text(text, value);
  return item;
}

std::vector<HouseItem> items_in(const std::string& text, const StockList& of,
                                const JsonValue* list) {
  std::vector<HouseItem> items;
  if (list != nullptr)
    for (const JsonValue& value : list->items) items.push_back(item_in(text, of, value));
  return items;
}

std::string item_text(const StockList& of, const HouseItem& item) {
  if (!item.text.empty()) return item.text;
  std::string text = "{ \"" + std::string(of.kind) + "\": " + json_quoted(item.kind) +
                     ", \"length\": \"" + format_number(item.length_m, 3) + " m\"";
  if (!item.colour.empty()) text += ", \"colour\": " + json_quoted(item.colour);
  if (item.count > 1) text += ", \"count\": " + std::to_string(item.count);
  for (const auto& [key, value] : item.others) text += ", " + json_quoted(key) + ": " + value;
  if (!item.left_from.empty()) text += ", \"left_from\": " + json_quoted(item.left_from);
  if (!item.was.empty()) text += ", \"was\": " + item.was;
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

/// @return the item that was begun, one of its count, as the file writes it; empty if none is there
std::string take_whole(const StockList& of, const Begun& cut, std::vector<HouseItem>& items) {
  const auto own = std::find_if(items.begin(), items.end(), [&](const HouseItem& item) {
    return item.on_shelf && item.kind == cut.kind &&
           (item.colour.empty() || item.colour == cut.colour) &&
           std::abs(item.length_m - cut.whole_m) < 1e-3;
  });
  if (own == items.end()) return "";
  own->text.clear();
  HouseItem one = *own;
  one.count = 1;
  if (--own->count <= 0) items.erase(own);
  return item_text(of, one);
}

/// One more of these, with those that are alike.
void add_one(const StockList& of, HouseItem one, std::vector<HouseItem>& items) {
  one.text.clear();
  for (HouseItem& item : items) {
    HouseItem alike = item;
    alike.text.clear();
    alike.count = 1;
    if (item_text(of, alike) != item_text(of, one)) continue;
    ++item.count;
    item.text.clear();
    return;
  }
  items.push_back(std::move(one));
}

/// What was cut from by mistake in the record lies there whole again, if the house had it.
void give_back(const StockList& of, const std::string& name, const Begun& cut, double shortest_m,
               std::vector<HouseItem>& items) {
  const auto rest = std::find_if(items.begin(), items.end(),
                                 [&](const HouseItem& item) { return item.left_from == name; });
  const bool is_there = rest != items.end();
  const std::string was = is_there ? rest->was : "";
  if (is_there) items.erase(rest);
  if (!cut.from_shelf) return;
  if (const auto value = parse_json(was, ""); !was.empty() && value)
    return add_one(of, item_in(was, of, *value), items);
  // A rest that was worth keeping and is gone lies in somebody else's hands: only what this plan
  // had from it comes back.
  const bool in_use = !is_there && cut.left_m >= shortest_m;
  HouseItem whole;
  whole.kind = cut.kind;
  whole.colour = cut.colour;
  whole.length_m = in_use ? cut.whole_m - cut.left_m : cut.whole_m;
  if (whole.length_m < shortest_m) return;
  for (HouseItem& item : items)
    if (item.left_from.empty() && item.on_shelf && item.kind == cut.kind &&
        (item.colour.empty() || item.colour == cut.colour) &&
        std::abs(item.length_m - whole.length_m) < 1e-3) {
      ++item.count;
      item.text.clear();
      return;
    }
  items.push_back(std::move(whole));
}

void keep_rest(const std::string& name, const Begun& cut, double shortest_m, bool begun_before,
               const std::string& was, std::vector<HouseItem>& items) {
  const auto own = std::find_if(items.begin(), items.end(),
                                [&](const HouseItem& item) { return item.left_from == name; });
  const bool worth_keeping = cut.left_m >= shortest_m;
  if (own != items.end()) {
    if (!worth_keeping) {
      items.erase(own);
    } else if (std::abs(own->length_m - cut.left_m) > 1e-6) {
      own->length_m = cut.left_m;
      own->text.clear();
    }
    return;
  }
  // Begun before and not there now: somebody has used the rest up.
  if (begun_before || !worth_keeping) return;
  HouseItem rest;
  rest.kind = cut.kind;
  rest.colour = cut.colour;
  rest.left_from = name;
  rest.length_m = cut.left_m;
  rest.was = was;
  items.push_back(std::move(rest));
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
    const bool fresh = old == before.end();
    const std::string was = fresh && cut.from_shelf ? take_whole(of, cut, items) : "";
    keep_rest(name, cut, shortest_m, !fresh && old->second.left_m >= shortest_m, was, items);
  }
  for (const auto& [name, cut] : before)
    if (!after.contains(name)) give_back(of, name, cut, shortest_m, items);
  if (list == nullptr && items.empty()) return text;
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
