#include "job/variants.h"

#include <algorithm>
#include <map>
#include <set>

#include "base/nearest.h"
#include "job/read_places.h"

namespace roomloom {
namespace {

using Kind = JsonValue::Kind;

constexpr const char* kItemLists[] = {"gear", "ends", "runs"};

JsonValue* member_of(JsonValue& object, std::string_view key) {
  for (JsonMember& member : object.members)
    if (member.key == key) return &member.value;
  return nullptr;
}

void erase(JsonValue& object, std::string_view key) {
  std::erase_if(object.members, [&](const JsonMember& member) { return member.key == key; });
}

std::string text_of(const JsonValue& object, std::string_view key) {
  const JsonValue* value = object.find(key);
  return value != nullptr && value->kind == Kind::string ? value->text : std::string();
}

JsonValue text_value(std::string text, const TextPlace& place) {
  JsonValue value;
  value.kind = Kind::string;
  value.place = place;
  value.text = std::move(text);
  return value;
}

/// By which key the items of a list are told apart; null if they are not.
const char* identity(const JsonValue& x, const JsonValue& y) {
  for (const char* key : {"id", "match", "item", "task"}) {
    const auto named = [&](const JsonValue& item) { return !text_of(item, key).empty(); };
    if (std::all_of(x.items.begin(), x.items.end(), named) &&
        std::all_of(y.items.begin(), y.items.end(), named) && !x.items.empty() && !y.items.empty())
      return key;
  }
  return nullptr;
}

void merge(JsonValue& base, const JsonValue& change);

void merge_lists(JsonValue& base, const JsonValue& change) {
  const char* key = identity(base, change);
  if (key == nullptr) {
    base = change;
    return;
  }
  // Of rules for parts the first that fits counts: a new one goes before what it overrules.
  const bool first_counts = std::string_view(key) == "match";
  std::ptrdiff_t front = 0;
  for (const JsonValue& item : change.items) {
    const auto own = std::find_if(base.items.begin(), base.items.end(), [&](const JsonValue& one) {
      return text_of(one, key) == text_of(item, key);
    });
    if (own != base.items.end())
      merge(*own, item);
    else
      base.items.insert(first_counts ? base.items.begin() + front++ : base.items.end(), item);
  }
}

void merge_objects(JsonValue& base, const JsonValue& change) {
  for (const JsonMember& member : change.members) {
    if (member.value.kind == Kind::null) {
      erase(base, member.key);
      continue;
    }
    JsonValue* own = member_of(base, member.key);
    if (own == nullptr) {
      base.members.push_back(member);
      continue;
    }
    // "prefer" is a preset's name, or an object that holds one.
    if (member.key == "prefer" && own->kind == Kind::string && member.value.kind == Kind::object) {
      JsonValue object;
      object.kind = Kind::object;
      object.place = own->place;
      object.members.push_back({"preset", own->place, *own});
      *own = std::move(object);
    }
    merge(*own, member.value);
  }
}

void merge(JsonValue& base, const JsonValue& change) {
  if (base.kind == Kind::object && change.kind == Kind::object)
    merge_objects(base, change);
  else if (base.kind == Kind::array && change.kind == Kind::array)
    merge_lists(base, change);
  else
    base = change;
}

/// "amp.S1" belongs to "amp".
bool names(const std::string& reference, const std::string& id) {
  return reference == id || reference.starts_with(id + ".");
}

void take_away(JsonValue& root, const std::vector<std::string>& ids) {
  for (const std::string& id : ids) {
    for (const char* list : kItemLists)
      if (JsonValue* items = member_of(root, list))
        std::erase_if(items->items,
                      [&](const JsonValue& item) { return text_of(item, "id") == id; });
    if (JsonValue* runs = member_of(root, "runs"))
      std::erase_if(runs->items, [&](const JsonValue& run) {
        return names(text_of(run, "from"), id) || names(text_of(run, "to"), id);
      });
  }
}

/// The same but for where it stands, the order of keys, and what only people read.
bool same(const JsonValue& x, const JsonValue& y) {
  if (x.kind != y.kind || x.boolean != y.boolean || x.number != y.number || x.text != y.text ||
      x.items.size() != y.items.size())
    return false;
  for (std::size_t i = 0; i < x.items.size(); ++i)
    if (!same(x.items[i], y.items[i])) return false;
  const auto within = [](const JsonValue& a, const JsonValue& b) {
    return std::all_of(a.members.begin(), a.members.end(), [&](const JsonMember& member) {
      const JsonValue* other = b.find(member.key);
      return member.key == "note" || (other != nullptr && same(member.value, *other));
    });
  };
  return within(x, y) && within(y, x);
}

/// Every name that a reference can mean is here once both documents are read; the second's are
/// renamed where they mean something else.
using Renamed = std::map<std::string, std::string>;

void rename_text(JsonValue* value, const Renamed& renamed) {
  if (value == nullptr) return;
  for (JsonValue& item : value->items) rename_text(&item, renamed);
  if (value->kind != Kind::string) return;
  for (const auto& [id, name] : renamed)
    if (names(value->text, id)) {
      value->text = name + value->text.substr(id.size());
      return;
    }
}

/// A piece of gear without what hangs on it: where it stands.
JsonValue stand_of(const JsonValue& gear) {
  JsonValue stand = gear;
  erase(stand, "ports");
  erase(stand, "holds");
  return stand;
}

void unite_ports(JsonValue& first, const JsonValue& second) {
  const JsonValue* more = second.find("ports");
  JsonValue* ports = member_of(first, "ports");
  if (more == nullptr || more->kind != Kind::array) return;
  if (ports == nullptr) {
    first.members.push_back({"ports", more->place, *more});
    return;
  }
  std::set<std::string> known;
  for (const JsonValue& port : ports->items)
    for (const std::string& name : port_names(port.text)) known.insert(name);
  for (const JsonValue& port : more->items)
    for (const std::string& name : port_names(port.text))
      if (known.insert(name).second) ports->items.push_back(text_value(name, port.place));
}

/// Gear that stands in the same place has the ports and components of both.
void unite_gear(JsonValue& first, const JsonValue& second) {
  unite_ports(first, second);
  const JsonValue* more = second.find("holds");
  JsonValue* holds = member_of(first, "holds");
  if (more == nullptr) return;
  if (holds == nullptr) {
    first.members.push_back({"holds", more->place, *more});
    return;
  }
  for (const JsonValue& component : more->items) {
    const auto own = std::find_if(
        holds->items.begin(), holds->items.end(),
        [&](const JsonValue& one) { return text_of(one, "id") == text_of(component, "id"); });
    if (own == holds->items.end())
      holds->items.push_back(component);
    else
      unite_ports(*own, component);
  }
}

struct Union {
  JsonValue& first;
  const std::string& name;
  Renamed renamed;

  std::string second_id(const std::string& id) const { return id + " (" + name + ")"; }

  JsonValue& list(const char* key, const TextPlace& place) {
    if (JsonValue* own = member_of(first, key)) return *own;
    JsonValue empty;
    empty.kind = Kind::array;
    empty.place = place;
    first.members.push_back({key, place, std::move(empty)});
    return first.members.back().value;
  }
  JsonValue* own(const char* key, const std::string& id) {
    JsonValue* items = member_of(first, key);
    if (items == nullptr) return nullptr;
    for (JsonValue& item : items->items)
      if (text_of(item, "id") == id) return &item;
    return nullptr;
  }
  void set_id(JsonValue& item, const std::string& id) {
    if (JsonValue* text = member_of(item, "id")) text->text = id;
  }

  void add_gear(const JsonValue& gear, const TextPlace& place) {
    const std::string id = text_of(gear, "id");
    JsonValue* mine = own("gear", id);
    if (mine != nullptr && same(stand_of(*mine), stand_of(gear))) return unite_gear(*mine, gear);
    JsonValue added = gear;
    if (mine != nullptr) {
      renamed[id] = second_id(id);
      set_id(added, renamed[id]);
      if (JsonValue* holds = member_of(added, "holds"))
        for (JsonValue& component : holds->items) {
          const std::string inner = text_of(component, "id");
          renamed[inner] = second_id(inner);
          set_id(component, renamed[inner]);
        }
    }
    list("gear", place).items.push_back(std::move(added));
  }
  void add_end(const JsonValue& end, const TextPlace& place) {
    const std::string id = text_of(end, "id");
    JsonValue added = end;
    rename_text(member_of(added, "gear"), renamed);
    JsonValue* mine = own("ends", id);
    if (mine != nullptr && same(*mine, added)) return;
    if (mine != nullptr) {
      renamed[id] = second_id(id);
      set_id(added, renamed[id]);
    }
    list("ends", place).items.push_back(std::move(added));
  }
  void rename_runs(const JsonValue& runs, std::vector<JsonValue>& added) {
    Renamed run_ids;
    for (const JsonValue& run : runs.items) {
      JsonValue one = run;
      rename_text(member_of(one, "from"), renamed);
      rename_text(member_of(one, "to"), renamed);
      const std::string id = text_of(run, "id");
      const JsonValue* mine = own("runs", id);
      if (mine != nullptr && same(*mine, one)) continue;
      if (mine != nullptr) {
        run_ids[id] = second_id(id);
        set_id(one, run_ids[id]);
      }
      added.push_back(std::move(one));
    }
    for (JsonValue& run : added)
      for (const char* key : {"same_way_as", "not_with"}) rename_text(member_of(run, key), run_ids);
  }
  void add_runs(const JsonValue& runs) {
    std::vector<JsonValue> added;
    rename_runs(runs, added);
    for (JsonValue& run : added) {
      if (run.find("provision") == nullptr) {
        JsonValue yes;
        yes.kind = Kind::boolean;
        yes.place = run.place;
        yes.boolean = true;
        run.members.push_back({"provision", run.place, std::move(yes)});
      }
      list("runs", runs.place).items.push_back(std::move(run));
    }
  }
};

/// What both say, and not alike: the first's counts.
void tell_rest(const JsonValue& first, const JsonValue& second, const std::string& name,
               std::vector<std::string>& notes) {
  std::set<std::string> keys;
  for (const JsonValue* root : {&first, &second})
    for (const JsonMember& member : root->members) keys.insert(member.key);
  for (const char* told : {"gear", "ends", "runs", "name", "note"}) keys.erase(told);
  for (const std::string& key : keys) {
    const JsonValue *mine = first.find(key), *other = second.find(key);
    if (mine != nullptr && other != nullptr && same(*mine, *other)) continue;
    notes.push_back("Wired together, \"" + key + "\" is as in the first of the variants; \"" +
                    name + "\" says otherwise.");
  }
}

void check_without(const Field& field, const JsonValue& root, const JsonValue* change,
                   const VariantSpec& variant) {
  std::vector<std::string> ids;
  for (const JsonValue* document : {&root, change})
    for (const char* list : kItemLists)
      if (const JsonValue* items = document == nullptr ? nullptr : document->find(list))
        for (const JsonValue& item : items->items) ids.push_back(text_of(item, "id"));
  for (const std::string& id : variant.without)
    if (std::find(ids.begin(), ids.end(), id) == ids.end())
      field["without"].problem("variant.unknown",
                               "There is no gear, end or run \"" + id + "\" to leave out.",
                               suggestion(id, ids));
}

}  // namespace

const VariantSpec* VariantList::find(const std::string& name) const {
  for (const VariantSpec& variant : all)
    if (variant.name == name) return &variant;
  return nullptr;
}

std::vector<std::string> VariantList::names() const {
  std::vector<std::string> found;
  for (const VariantSpec& variant : all) found.push_back(variant.name);
  return found;
}

VariantList read_variants(const Field& root) {
  VariantList list;
  for (const Field& field : root["variants"].items()) {
    VariantSpec variant;
    variant.pointer = field.pointer();
    field["name"].read(variant.name);
    field["without"].read_words(variant.without);
    if (field["change"].is(Kind::object)) variant.change = field["change"].value();
    if (!variant.name.empty() && list.find(variant.name) != nullptr)
      field["name"].problem("variant.twice",
                            "There are two variants called \"" + variant.name + "\".",
                            "Give each a name of its own.");
    check_without(field, *root.value(), variant.change, variant);
    list.all.push_back(std::move(variant));
  }
  root["wire"].read_words(list.wire);
  for (const std::string& name : list.wire)
    if (list.find(name) == nullptr)
      root["wire"].problem("variant.unknown", "There is no variant \"" + name + "\".",
                           suggestion(name, list.names()));
  return list;
}

JsonValue as_written(const JsonValue& root) {
  JsonValue plain = root;
  erase(plain, "variants");
  erase(plain, "wire");
  return plain;
}

JsonValue as_variant(const JsonValue& root, const VariantSpec& variant) {
  JsonValue own = as_written(root);
  if (variant.change != nullptr) merge(own, *variant.change);
  take_away(own, variant.without);
  return own;
}

JsonValue united(const JsonValue& first, const JsonValue& second, const std::string& name,
                 std::vector<std::string>& notes) {
  JsonValue both = first;
  Union all{both, name, {}};
  if (const JsonValue* gear = second.find("gear"))
    for (const JsonValue& item : gear->items) all.add_gear(item, gear->place);
  if (const JsonValue* ends = second.find("ends"))
    for (const JsonValue& item : ends->items) all.add_end(item, ends->place);
  if (const JsonValue* runs = second.find("runs")) all.add_runs(*runs);
  tell_rest(first, second, name, notes);
  return both;
}

JsonValue as_chosen(const JsonValue& root, const VariantList& list,
                    const std::vector<std::string>& chosen, std::vector<std::string>& notes) {
  std::optional<JsonValue> all;
  for (const std::string& name : chosen) {
    const VariantSpec* variant = list.find(name);
    if (variant == nullptr) continue;
    JsonValue own = as_variant(root, *variant);
    all = all ? united(*all, own, name, notes) : std::move(own);
  }
  return all ? std::move(*all) : as_written(root);
}

std::string pointer_of(const JsonValue& root, const TextPlace& place) {
  for (std::size_t i = 0; i < root.items.size() + root.members.size(); ++i) {
    const bool item = i < root.items.size();
    const JsonValue& inner = item ? root.items[i] : root.members[i - root.items.size()].value;
    const std::string step =
        "/" + (item ? std::to_string(i) : pointer_step(root.members[i - root.items.size()].key));
    if (inner.place.line == place.line && inner.place.column == place.column) return step;
    if (const std::string rest = pointer_of(inner, place); !rest.empty()) return step + rest;
  }
  return {};
}

}  // namespace roomloom
