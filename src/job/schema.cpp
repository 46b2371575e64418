#include "job/schema.h"

#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "base/units.h"

namespace roomloom {
namespace {

using Kind = JsonValue::Kind;

bool has_type(const JsonValue& value, std::string_view type) {
  switch (value.kind) {
    case Kind::null:
      return type == "null";
    case Kind::boolean:
      return type == "boolean";
    case Kind::number:
      return type == "number" || (type == "integer" && value.number == std::floor(value.number));
    case Kind::string:
      return type == "string";
    case Kind::array:
      return type == "array";
    case Kind::object:
      return type == "object";
  }
  return false;
}

std::string plain_type(std::string_view type) {
  if (type == "boolean") return "true or false";
  if (type == "number") return "a number";
  if (type == "integer") return "a whole number";
  if (type == "string") return "a text in double quotes";
  if (type == "array") return "a list [...]";
  if (type == "object") return "an object {...}";
  return std::string(type);
}

bool equal(const JsonValue& a, const JsonValue& b) {
  return a.kind == b.kind && a.boolean == b.boolean && a.number == b.number && a.text == b.text &&
         a.items.empty() && b.items.empty() && a.members.empty() && b.members.empty();
}

std::string shown(const JsonValue& value) {
  if (value.kind == Kind::string) return json_quoted(value.text.substr(0, 60));
  if (value.kind == Kind::number) return format_number(value.number, 3);
  return to_string(value.kind);
}

/// One walk of a document along its schema.
class Validator {
 public:
  Validator(const JsonValue& root, const std::string& path, std::vector<Error>& problems)
      : root_(root), path_(path), problems_(problems) {}

  void check(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    if (const JsonValue* reference = schema.find("$ref")) {
      const JsonValue* target = at_pointer(root_, reference->text.substr(1));
      if (target != nullptr) check(value, *target, pointer);
      return;
    }
    if (const JsonValue* branches = schema.find("anyOf")) {
      check_any(value, *branches, pointer);
      return;
    }
    if (!check_type(value, schema, pointer)) return;
    check_words(value, schema, pointer);
    if (value.kind == Kind::number) check_number(value, schema, pointer);
    if (value.kind == Kind::string) check_text(value, schema, pointer);
    if (value.kind == Kind::array) check_array(value, schema, pointer);
    if (value.kind == Kind::object) check_object(value, schema, pointer);
  }

 private:
  void add(const TextPlace& place, const std::string& pointer, std::string code, std::string what,
           std::string remedy) {
    problems_.push_back(
        {std::move(code), std::move(what), where_in(path_, place, pointer), std::move(remedy)});
  }

  const JsonValue& resolved(const JsonValue& schema) const {
    const JsonValue* reference = schema.find("$ref");
    const JsonValue* target =
        reference == nullptr ? nullptr : at_pointer(root_, reference->text.substr(1));
    return target == nullptr ? schema : resolved(*target);
  }

  static std::vector<std::string> types_of(const JsonValue& schema) {
    const JsonValue* type = schema.find("type");
    if (type == nullptr) return {};
    if (type->kind == Kind::string) return {type->text};
    std::vector<std::string> types;
    for (const JsonValue& item : type->items) types.push_back(item.text);
    return types;
  }

  static bool fits_kind(const JsonValue& value, const JsonValue& schema) {
    if (const JsonValue* words = schema.find("enum"))
      return std::any_of(words->items.begin(), words->items.end(),
                         [&](const JsonValue& word) { return word.kind == value.kind; });
    const auto types = types_of(schema);
    return types.empty() || std::any_of(types.begin(), types.end(),
                                        [&](const auto& type) { return has_type(value, type); });
  }

  void check_any(const JsonValue& value, const JsonValue& branches, const std::string& pointer) {
    std::string expected;
    for (const JsonValue& branch : branches.items) {
      const JsonValue& schema = resolved(branch);
      if (fits_kind(value, schema)) return check(value, schema, pointer);
      if (!expected.empty()) expected += " or ";
      expected += schema.find("enum") != nullptr ? "a word" : plain_type(types_of(schema).front());
    }
    add(value.place, pointer, "schema.type",
        "Expected " + expected + ", found " + to_string(value.kind) + ".", "");
  }

  bool check_type(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    const auto types = types_of(schema);
    if (types.empty()) return true;
    std::string expected;
    for (const std::string& type : types) {
      if (has_type(value, type)) return true;
      if (!expected.empty()) expected += " or ";
      expected += plain_type(type);
    }
    const JsonValue* description = schema.find("description");
    add(value.place, pointer, "schema.type",
        "Expected " + expected + ", found " + shown(value) + ".",
        description == nullptr ? "" : description->text);
    return false;
  }

  void check_words(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    if (const JsonValue* only = schema.find("const"))
      if (!equal(value, *only))
        add(value.place, pointer, "schema.word",
            "Expected " + shown(*only) + ", found " + shown(value) + ".", "");
    const JsonValue* words = schema.find("enum");
    if (words == nullptr) return;
    std::vector<std::string> valid;
    for (const JsonValue& word : words->items) {
      if (equal(value, word)) return;
      valid.push_back(word.text);
    }
    if (value.kind != Kind::string) {
      add(value.place, pointer, "schema.word",
          "Expected one of " + quoted_list(valid) + ", found " + shown(value) + ".", "");
      return;
    }
    const auto near = nearest_words(value.text, valid);
    add(value.place, pointer, "schema.word",
        shown(value) + " is not one of " + quoted_list(valid) + ".",
        near.empty() ? "" : "Did you mean " + quoted_list({near.front()}) + "?");
  }

  void check_number(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    const auto out_of_range = [&](const std::string& limit) {
      add(value.place, pointer, "schema.range",
          "Expected a number " + limit + ", found " + shown(value) + ".", "");
    };
    const auto bound = [&](const char* key) { return schema.find(key); };
    if (const auto* low = bound("minimum"); low != nullptr && value.number < low->number)
      out_of_range("of at least " + shown(*low));
    if (const auto* low = bound("exclusiveMinimum"); low != nullptr && value.number <= low->number)
      out_of_range("above " + shown(*low));
    if (const auto* high = bound("maximum"); high != nullptr && value.number > high->number)
      out_of_range("of at most " + shown(*high));
  }

  void check_text(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    const JsonValue* least = schema.find("minLength");
    if (least != nullptr && static_cast<double>(value.text.size()) < least->number)
      add(value.place, pointer, "schema.size", "This text is empty.",
          "Fill it in or drop the key.");
  }

  void check_array(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    const double count = static_cast<double>(value.items.size());
    const JsonValue* least = schema.find("minItems");
    const JsonValue* most = schema.find("maxItems");
    const JsonValue* limit = least != nullptr && count < least->number ? least
                             : most != nullptr && count > most->number ? most
                                                                       : nullptr;
    if (limit != nullptr) {
      const bool exact = least != nullptr && most != nullptr && least->number == most->number;
      const std::string bound = exact ? "" : limit == least ? "at least " : "at most ";
      add(value.place, pointer, "schema.size",
          "Expected " + bound + format_number(limit->number, 0) + " items, found " +
              format_number(count, 0) + ".",
          "");
    }
    if (const JsonValue* items = schema.find("items"))
      for (std::size_t i = 0; i < value.items.size(); ++i)
        check(value.items[i], *items, pointer + "/" + std::to_string(i));
  }

  void check_object(const JsonValue& value, const JsonValue& schema, const std::string& pointer) {
    if (const JsonValue* required = schema.find("required"))
      for (const JsonValue& key : required->items)
        if (value.find(key.text) == nullptr)
          add(value.place, pointer, "schema.missing-key",
              "The key \"" + key.text + "\" is missing here.", "");
    const JsonValue* properties = schema.find("properties");
    const JsonValue* additional = schema.find("additionalProperties");
    for (const JsonMember& member : value.members) {
      const std::string here = pointer + "/" + pointer_step(member.key);
      const JsonValue* property = properties == nullptr ? nullptr : properties->find(member.key);
      if (property != nullptr) {
        check(member.value, *property, here);
      } else if (additional != nullptr && additional->kind == Kind::object) {
        check(member.value, *additional, here);
      } else if (additional != nullptr && !additional->boolean) {
        unknown_key(member, properties, here);
      }
    }
  }

  void unknown_key(const JsonMember& member, const JsonValue* properties,
                   const std::string& pointer) {
    std::vector<std::string> valid;
    if (properties != nullptr)
      for (const JsonMember& property : properties->members) valid.push_back(property.key);
    std::string remedy = suggestion(member.key, valid);
    add(member.place, pointer, "schema.unknown-key",
        "The key " + json_quoted(member.key.substr(0, 60)) + " has no meaning here.",
        std::move(remedy));
  }

  const JsonValue& root_;
  const std::string& path_;
  std::vector<Error>& problems_;
};

}  // namespace

std::string where_in(const std::string& path, const TextPlace& place, const std::string& pointer) {
  std::string where = path + ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
  return pointer.empty() ? where : where + " " + pointer;
}

void validate(const JsonValue& value, const JsonValue& schema_root, std::string_view schema_pointer,
              const std::string& path, std::vector<Error>& problems) {
  const JsonValue* schema = at_pointer(schema_root, schema_pointer);
  if (schema == nullptr) return;
  Validator(schema_root, path, problems).check(value, *schema, "");
}

}  // namespace roomloom
