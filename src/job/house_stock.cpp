#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "job/house_items.h"
#include "job/item_cut_from.h"
#include "job/job.h"

namespace roomloom {
namespace {

constexpr StockList kSpools{"spools", "cable"}, kRaceways{"raceways", "raceway"};
/// A rest tells so many of the plans that cut from it before; older ones are not given back.
constexpr int kMostBefore = 12;

/// A spool or length that was cut from: how long it was and what is left.
struct Begun {
  std::string name, kind, colour;
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
    if (fresh) spool = {run.spool, run.cable, run.colour, run.spool_m, run.spool_m, run.from_shelf};
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
    if (fresh)
      length = {piece.stock, piece.raceway, "", piece.stock_m, piece.stock_m, piece.from_shelf};
    length.left_m -= piece.cut_m;
  }
  return lengths;
}

bool is_alike(const HouseItem& item, const Begun& cut) {
  return item.kind == cut.kind && (item.colour.empty() || item.colour == cut.colour);
}

/// A rest among the items: item `index`, or what that was `deep` plans before.
struct Rest {
  std::size_t index = 0;
  int deep = 0;
};

HouseItem& item_at(std::vector<HouseItem>& items, const Rest& rest) {
  HouseItem* item = &items[rest.index];
  for (int i = 0; i < rest.deep; ++i) item = &item->was.front();
  return *item;
}

/// The rest of the spool that a plan calls so, wherever it is now. Several jobs may have cut from
/// one spool: each finds its own rest, and what others cut since is cut from that.
std::optional<Rest> rest_of(const std::string& name, const std::vector<HouseItem>& items) {
  for (std::size_t i = 0; i < items.size(); ++i) {
    const HouseItem* item = &items[i];
    for (int deep = 0; item != nullptr; ++deep) {
      if (item->left_from == name) return Rest{i, deep};
      item = item->was.empty() ? nullptr : &item->was.front();
    }
  }
  return std::nullopt;
}

/// As short as that it lies there no more; what else the file tells of it is kept, if it would not
/// come back otherwise.
void settle(std::size_t index, double shortest_m, std::vector<HouseItem>& items) {
  HouseItem& item = items[index];
  const bool lies = item.length_m >= shortest_m;
  const bool tells =
      !item.others.empty() || (!item.was.empty() && !item.was.front().others.empty());
  if (!lies && !tells) {
    items.erase(items.begin() + static_cast<std::ptrdiff_t>(index));
    return;
  }
  item.count = lies ? 1 : 0;
  item.length_m = std::max(item.length_m, kSameLength_m);
}

void shorten(const Rest& rest, double metres, std::vector<HouseItem>& items) {
  for (int deep = rest.deep; deep >= 0; --deep) {
    HouseItem& item = item_at(items, {rest.index, deep});
    item.length_m -= metres;
    item.text.clear();
  }
}

/// So much more is cut from a rest, and so from all that is left of it.
void cut_off(const Rest& rest, double metres, double shortest_m, std::vector<HouseItem>& items) {
  shorten(rest, metres, items);
  settle(rest.index, shortest_m, items);
}

HouseItem one_of(HouseItem& item) {
  HouseItem one = item;
  if (item.count != 1) one.text.clear();
  one.count = 1;
  item.text.clear();
  --item.count;
  return one;
}

/// The item that a plan found whole and began, one of its count; none if it is not there.
/// @param corrected  it may be of another length, since that was corrected by hand
std::optional<HouseItem> whole_taken(const Begun& cut, bool corrected,
                                     std::vector<HouseItem>& items) {
  const auto own =
      item_cut_from(items, cut.whole_m, cut.whole_m - cut.left_m,
                    [&](const HouseItem& item) { return item.on_shelf && is_alike(item, cut); });
  if (own == items.end() || (!corrected && !same_length(own->length_m, cut.whole_m)))
    return std::nullopt;
  const HouseItem one = one_of(*own);
  if (own->count <= 0) items.erase(own);
  return one;
}

/// What is left of the spool that a plan found whole, since another job began it in between.
std::optional<HouseItem> begun_taken(const Begun& cut, std::vector<HouseItem>& items) {
  const auto was_whole = [&](const HouseItem& item) {
    for (const auto* was = &item.was; !was->empty(); was = &was->front().was)
      if (std::abs(was->front().length_m - cut.whole_m) < kSameLength_m) return true;
    return false;
  };
  const double taken_m = cut.whole_m - cut.left_m;
  for (auto item = items.begin(); item != items.end(); ++item) {
    if (!item->on_shelf || item->count <= 0 || !is_alike(*item, cut) || !was_whole(*item) ||
        item->length_m < taken_m - kSameLength_m)
      continue;
    const HouseItem one = *item;
    items.erase(item);
    return one;
  }
  return std::nullopt;
}

void forget_older(HouseItem& item) {
  HouseItem* one = &item;
  for (int deep = 0; deep < kMostBefore && !one->was.empty(); ++deep) one = &one->was.front();
  if (one->was.empty()) return;
  one->was.clear();
  for (HouseItem* outer = &item;; outer = &outer->was.front()) {
    outer->text.clear();
    if (outer == one) return;
  }
}

/// One more of these, with those that are alike.
void add_one(const StockList& of, HouseItem one, std::vector<HouseItem>& items) {
  const std::string as_written = one.text;
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
  one.text = as_written;
  items.push_back(std::move(one));
}

/// What was cut from by mistake in the record lies there whole again, if the house had it.
void give_back(const StockList& of, const std::string& name, const Begun& cut, double shortest_m,
               std::vector<HouseItem>& items) {
  const std::optional<Rest> rest = rest_of(name, items);
  if (rest && rest->deep > 0) {
    // Another plan cut from the rest since: that is so much longer.
    shorten(*rest, cut.left_m - cut.whole_m, items);
    HouseItem& later = item_at(items, {rest->index, rest->deep - 1});
    if (cut.from_shelf) later.was = std::vector<HouseItem>(later.was.front().was);
    return settle(rest->index, shortest_m, items);
  }
  std::vector<HouseItem> was;
  if (rest) {
    was = item_at(items, *rest).was;
    items.erase(items.begin() + static_cast<std::ptrdiff_t>(rest->index));
  }
  if (!cut.from_shelf) return;
  if (!was.empty()) return add_one(of, was.front(), items);
  // A rest that was worth keeping and is gone lies in somebody else's hands: only what this plan
  // had from it comes back.
  const bool in_use = !rest && cut.left_m >= shortest_m;
  HouseItem whole;
  whole.kind = cut.kind;
  whole.colour = cut.colour;
  whole.length_m = in_use ? cut.whole_m - cut.left_m : cut.whole_m;
  if (whole.length_m < shortest_m) return;
  for (HouseItem& item : items)
    if (item.left_from.empty() && item.on_shelf && is_alike(item, cut) &&
        std::abs(item.length_m - whole.length_m) < kSameLength_m) {
      ++item.count;
      item.text.clear();
      return;
    }
  items.push_back(std::move(whole));
}

/// The item off the shelf that a plan began, or its rest if another job began it in between.
/// @param told  is given what is not as the record has it
std::optional<HouseItem> taken(const Begun& cut, std::vector<HouseItem>& items,
                               std::vector<std::string>& told) {
  std::optional<HouseItem> whole = whole_taken(cut, false, items);
  if (!whole) whole = begun_taken(cut, items);
  if (whole) return whole;
  whole = whole_taken(cut, true, items);
  constexpr DisplayUnits kAsTheFileIs = DisplayUnits::metric;
  told.push_back(unlisted_text(cut.name, cut.whole_m, cut.kind, cut.colour, "the house's stock",
                               kAsTheFileIs) +
                 taken_instead_text(whole ? whole->length_m : 0, kAsTheFileIs));
  return whole;
}

/// A spool or length that the record tells of for the first time.
void begin(const std::string& name, const Begun& cut, double shortest_m,
           std::vector<HouseItem>& items, std::vector<std::string>& told) {
  const double taken_m = cut.whole_m - cut.left_m;
  if (const auto rest = rest_of(name, items)) {  // told once before, by a record that is gone
    const HouseItem& now = item_at(items, *rest);
    const double left_m = now.was.empty() ? cut.left_m : now.was.front().length_m - taken_m;
    return cut_off(*rest, now.length_m - left_m, shortest_m, items);
  }
  std::optional<HouseItem> whole;
  if (cut.from_shelf) whole = taken(cut, items, told);
  HouseItem rest;
  rest.kind = cut.kind;
  rest.colour = cut.colour;
  rest.left_from = name;
  rest.length_m = (whole ? whole->length_m : cut.whole_m) - taken_m;
  if (whole) rest.was = {*whole};
  forget_older(rest);
  items.push_back(std::move(rest));
  settle(items.size() - 1, shortest_m, items);
}

/// How much more a rest is written with than was left of it: where more was recorded by mistake
/// than there was, the file can but tell that nothing is left.
double written_too_long_m(const Rest& rest, const Begun& before, std::vector<HouseItem>& items) {
  const HouseItem& item = item_at(items, rest);
  if (rest.deep > 0 || item.was.empty() || item.length_m > 1.5 * kSameLength_m) return 0;
  const double left_m = item.was.front().length_m - (before.whole_m - before.left_m);
  return std::max(0.0, item.length_m - left_m);
}

/// One that it told of before, with other cuts since.
void go_on(const std::string& name, const Begun& before, const Begun& after, double shortest_m,
           std::vector<HouseItem>& items, std::vector<std::string>& told) {
  const double more_m = before.left_m - after.left_m;
  if (std::abs(more_m) < 1e-6) return;
  if (const auto rest = rest_of(name, items))
    return cut_off(*rest, more_m + written_too_long_m(*rest, before, items), shortest_m, items);
  // Worth keeping before and not there now: somebody has used the rest up.
  if (before.left_m >= shortest_m) return;
  Begun fresh = after;
  fresh.from_shelf = false;
  begin(name, fresh, shortest_m, items, told);
}

/// The house file's text with one of its lists as it is after what was begun since.
/// @param told  is given what is not as the record has it
Result<std::string> with_list(const std::string& text, const std::string& path, const StockList& of,
                              const AllBegun& before, const AllBegun& after, double shortest_m,
                              std::vector<std::string>& told) {
  if (after.empty() && before.empty()) return text;
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return root.error();
  if (root->kind != JsonValue::Kind::object)
    return Error{"schema.type", "A house file is an object {...}.", path, ""};
  const JsonValue* stock = root->find("stock");
  const JsonValue* list = stock == nullptr ? nullptr : stock->find(of.name);
  std::vector<HouseItem> items = items_in(text, of, list);
  for (const auto& [name, cut] : after) {
    const auto old = before.find(name);
    if (old == before.end())
      begin(name, cut, shortest_m, items, told);
    else
      go_on(name, old->second, cut, shortest_m, items, told);
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
  if (stock != nullptr && stock->kind == JsonValue::Kind::object)
    return with_key(text, offset_of(text, stock->place), stock->members.empty(), member);
  return with_key(text, offset_of(text, root->place), root->members.empty(),
                  "\"stock\": { " + member + " }");
}

}  // namespace

Result<HouseAfter> with_leftovers(const std::string& text, const std::string& path,
                                  const AsBuilt& before, const AsBuilt& after) {
  HouseAfter house;
  auto spools = with_list(text, path, kSpools, cut_spools(before), cut_spools(after),
                          kShortestLeft_m, house.told);
  if (!spools) return spools.error();
  auto both = with_list(*spools, path, kRaceways, cut_raceway(before), cut_raceway(after),
                        kShortestRaceway_m, house.told);
  if (!both) return both.error();
  house.text = std::move(*both);
  return house;
}

}  // namespace roomloom
