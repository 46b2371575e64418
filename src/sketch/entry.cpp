#include "sketch/entry.h"

#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "base/units.h"

namespace roomloom {
namespace {

using Json = nlohmann::json;

/// One step of a JSON pointer, escaped as RFC 6901, section 3, says.
std::string step(const std::string& key) {
  std::string text = "/";
  for (const char c : key) text += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
  return text;
}

/// What stands there, for messages.
std::string shown(const Json& value) {
  if (value.is_object()) return "an object";
  if (value.is_array()) return "a list of " + std::to_string(value.size());
  return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string metres_text(double value) { return format_length(value, DisplayUnits::metric); }

}  // namespace

Entry::Entry(const Json& value, std::string pointer, EntryProblems& problems)
    : value_(&value), pointer_(std::move(pointer)), problems_(&problems), asked_{"note"} {
  if (!value.is_object()) complain("expected an object in braces, not " + shown(value) + ".");
}

const Json* Entry::find(const char* key) {
  asked_.emplace_back(key);
  if (!value_->is_object()) return nullptr;
  const auto found = value_->find(key);
  return found == value_->end() ? nullptr : &*found;
}

bool Entry::has(const char* key) { return find(key) != nullptr; }

void Entry::require(const char* key) {
  if (value_->is_object() && find(key) == nullptr)
    complain("the key \"" + std::string(key) + "\" is missing.");
}

void Entry::complain(const std::string& what) {
  problems_->lines.push_back((pointer_.empty() ? "/" : pointer_) + ": " + what);
}

void Entry::complain(const std::string& key, const std::string& what) {
  problems_->lines.push_back(pointer_ + "/" + key + ": " + what);
}

void Entry::text(const char* key, std::string& out) {
  const Json* value = find(key);
  if (value == nullptr) return;
  if (value->is_string() && !value->get_ref<const std::string&>().empty())
    out = value->get<std::string>();
  else
    complain(key, "expected a text, not " + shown(*value) + ".");
}

void Entry::flag(const char* key, bool& out) {
  const Json* value = find(key);
  if (value == nullptr) return;
  if (value->is_boolean())
    out = value->get<bool>();
  else
    complain(key, "expected true or false, not " + shown(*value) + ".");
}

void Entry::count(const char* key, int& out) {
  const Json* value = find(key);
  if (value == nullptr) return;
  const double number = value->is_number() ? value->get<double>() : -1;
  if (number >= 1 && number <= 1000 && number == std::floor(number))
    out = static_cast<int>(number);
  else
    complain(key, "expected a whole number from 1 to 1000, not " + shown(*value) + ".");
}

std::optional<double> Entry::length_of(const Json& value, const std::string& at, double least) {
  constexpr double kMost = 1000;
  Result<double> metres = Error{"length.syntax", "", "", ""};
  if (value.is_number()) metres = value.get<double>();
  if (value.is_string()) metres = parse_length(value.get<std::string>());
  if (!metres)
    complain(at, "expected a length such as 2.31, \"600 mm\" or \"7 ft 6 in\", not " +
                     shown(value) + ".");
  else if (!(*metres >= least && *metres <= kMost))
    complain(at, shown(value) + " is out of range; expected " + metres_text(least) + " to " +
                     metres_text(kMost) + ".");
  else
    return *metres;
  return std::nullopt;
}

void Entry::length(const char* key, double& out, double least) {
  const Json* value = find(key);
  if (value == nullptr) return;
  if (const auto metres = length_of(*value, key, least)) out = *metres;
}

void Entry::length(const char* key, std::optional<double>& out, double least) {
  const Json* value = find(key);
  if (value != nullptr) out = length_of(*value, key, least);
}

void Entry::angle(const char* key, double& out, double least, double most) {
  const Json* value = find(key);
  if (value == nullptr) return;
  Result<double> angle = Error{"angle.syntax", "", "", ""};
  if (value->is_number()) angle = radians(value->get<double>());
  if (value->is_string()) angle = parse_angle(value->get<std::string>());
  constexpr double kRounding = 1e-9;
  if (angle && *angle >= least - kRounding && *angle <= most + kRounding)
    out = *angle;
  else
    complain(key, "expected an angle from " + format_number(degrees(least), 0) + " to " +
                      format_number(degrees(most), 0) + " degrees, not " + shown(*value) + ".");
}

void Entry::lengths(const char* key, double* out, std::size_t count) {
  const Json* value = find(key);
  if (value == nullptr) return;
  if (!value->is_array() || value->size() != count)
    return complain(key, "expected a list of " + std::to_string(count) + " lengths, not " +
                             shown(*value) + ".");
  for (std::size_t i = 0; i < count; ++i)
    if (const auto metres =
            length_of((*value)[i], std::string(key) + "/" + std::to_string(i), -1000))
      out[i] = *metres;
}

void Entry::word(const char* key, int& out, const std::vector<std::string>& words) {
  const Json* value = find(key);
  if (value == nullptr) return;
  const std::string text = value->is_string() ? value->get<std::string>() : "";
  const auto found = std::find(words.begin(), words.end(), text);
  if (found != words.end())
    out = static_cast<int>(found - words.begin());
  else
    complain(key, shown(*value) + " is not one of the words here. " + suggestion(text, words));
}

std::vector<std::array<double, 3>> Entry::length_lists(const char* key, std::size_t count) {
  std::vector<std::array<double, 3>> lists;
  const Json* value = find(key);
  if (value == nullptr) return lists;
  if (!value->is_array()) {
    complain(key, "expected a list of points, not " + shown(*value) + ".");
    return lists;
  }
  for (std::size_t i = 0; i < value->size(); ++i) {
    const std::string at = std::string(key) + "/" + std::to_string(i);
    const Json& point = (*value)[i];
    lists.push_back({0, 0, 0});
    if (!point.is_array() || point.size() != count) {
      complain(at, "expected a list of " + std::to_string(count) + " lengths, not " + shown(point) +
                       ".");
      continue;
    }
    for (std::size_t j = 0; j < count; ++j)
      if (const auto metres = length_of(point[j], at + "/" + std::to_string(j), -1000))
        lists.back()[j] = *metres;
  }
  return lists;
}

std::vector<std::string> Entry::texts(const char* key) {
  std::vector<std::string> result;
  const Json* value = find(key);
  if (value == nullptr) return result;
  bool good = value->is_array();
  for (const Json& item : good ? *value : Json::array()) {
    good = good && item.is_string();
    if (good) result.push_back(item.get<std::string>());
  }
  if (!good) complain(key, "expected a list of texts, not " + shown(*value) + ".");
  return result;
}

std::optional<Entry> Entry::entry(const char* key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  return Entry(*value, pointer_ + step(key), *problems_);
}

std::vector<Entry> Entry::entries(const char* key) {
  std::vector<Entry> result;
  const Json* value = find(key);
  if (value == nullptr) return result;
  if (!value->is_array()) complain(key, "expected a list in brackets, not " + shown(*value) + ".");
  for (std::size_t i = 0; value->is_array() && i < value->size(); ++i)
    result.emplace_back((*value)[i], pointer_ + step(key) + "/" + std::to_string(i), *problems_);
  return result;
}

void Entry::finish() {
  if (!value_->is_object()) return;
  for (const auto& [key, value] : value_->items())
    if (std::find(asked_.begin(), asked_.end(), key) == asked_.end())
      complain(step(key).substr(1), "this key is not known here. " + suggestion(key, asked_));
}

}  // namespace roomloom
