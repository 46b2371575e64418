#pragma once

#include <string>
#include <utility>
#include <vector>

#include "job/json_text.h"

/// The lists of a house file's stock as text: people write that file by hand, so what is not
/// changed stays as it is written.
namespace roomloom {

/// A list of the house's stock, and the key under which its entries say what they are.
struct StockList {
  const char* name;
  const char* kind;
};

/// A spool or a length of raceway of the house's stock, as its file writes it.
struct HouseItem {
  std::string kind, colour, left_from;
  double length_m = 0;
  int count = 1;  ///< 0: used up, and kept for what else it tells
  bool on_shelf = true;
  std::vector<HouseItem> was;  ///< the item, one of its count, whose rest this is; one at most
  std::string text;            ///< as it stands in the file; empty = new or changed
  std::vector<std::pair<std::string, std::string>> others;  ///< keys not read here, as written
};

/// Where a value's text begins and ends.
struct Extent {
  std::size_t from = 0, to = 0;
};
std::size_t offset_of(const std::string& text, const TextPlace& place);
/// Of a list or an object.
Extent extent_of(const std::string& text, const JsonValue& value);

/// @param list  null: none
std::vector<HouseItem> items_in(const std::string& text, const StockList& of,
                                const JsonValue* list);
std::string item_text(const StockList& of, const HouseItem& item);
std::string list_text(const StockList& of, const std::vector<HouseItem>& items);
/// A key put first in the object that begins at `from`.
std::string with_key(const std::string& text, std::size_t from, bool empty,
                     const std::string& member);

}  // namespace roomloom
