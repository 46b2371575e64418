#include "job/house_items.h"

#include <algorithm>

#include "base/units.h"

namespace roomloom {

std::size_t offset_of(const std::string& text, const TextPlace& place) {
  std::size_t at = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  for (int line = 1; line < place.line; ++line) at = text.find('\n', at) + 1;
  for (int column = 1; column < place.column; ++column) {
    ++at;
    while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) ++at;
  }
  return at;
}

namespace {

using Kind = JsonValue::Kind;

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

}  // namespace

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

namespace {

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
      item.was = {item_in(text, of, member.value)};
    else if (member.key != of.kind && member.key != "colour" && member.key != "left_from" &&
             member.key != "length")
      item.others.emplace_back(member.key, raw_text(text, member.value));
    if (member.key == "on_shelf") item.on_shelf = member.value.boolean;
  }
  item.text = raw_text(text, value);
  return item;
}

}  // namespace

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
  if (item.count != 1) text += ", \"count\": " + std::to_string(item.count);
  for (const auto& [key, value] : item.others) text += ", " + json_quoted(key) + ": " + value;
  if (!item.left_from.empty()) text += ", \"left_from\": " + json_quoted(item.left_from);
  if (!item.was.empty()) text += ", \"was\": " + item_text(of, item.was.front());
  return text + " }";
}

std::string list_text(const StockList& of, const std::vector<HouseItem>& items) {
  std::string text = "[";
  for (const HouseItem& item : items)
    text += (text.size() > 1 ? ",\n    " : "\n    ") + item_text(of, item);
  return text + (items.empty() ? "]" : "\n  ]");
}

std::string with_key(const std::string& text, std::size_t from, bool empty,
                     const std::string& member) {
  return text.substr(0, from + 1) + "\n  " + member + (empty ? "\n" : ",") + text.substr(from + 1);
}

}  // namespace roomloom
