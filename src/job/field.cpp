#include "job/field.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/units.h"
#include "job/schema.h"

namespace roomloom {
namespace {

using Kind = JsonValue::Kind;
constexpr double kLongest = 10000;  // metres; beyond it a unit was mistaken
constexpr double kFarthest =
    1.1e7;  // of a point from the model's origin, as in a map's coordinates

}  // namespace

void DocumentText::add(const std::string& pointer, std::string code, std::string what,
                       std::string remedy) {
  const JsonValue* value = at_pointer(root, pointer);
  problems.push_back({std::move(code), std::move(what),
                      where_in(path, value == nullptr ? TextPlace{} : value->place, pointer),
                      std::move(remedy)});
}

Field Field::operator[](const char* key) const {
  const JsonValue* value = is(Kind::object) ? value_->find(key) : nullptr;
  return {value, pointer_ + "/" + key, *document_};
}

std::vector<Field> Field::items() const {
  std::vector<Field> fields;
  if (is(Kind::array))
    for (std::size_t i = 0; i < value_->items.size(); ++i)
      fields.emplace_back(&value_->items[i], pointer_ + "/" + std::to_string(i), *document_);
  return fields;
}

void Field::problem(std::string code, std::string what, std::string remedy) const {
  document_->add(pointer_, std::move(code), std::move(what), std::move(remedy));
}

void Field::read(std::string& out) const {
  if (is(Kind::string)) out = value_->text;
}

void Field::read(bool& out) const {
  if (is(Kind::boolean)) out = value_->boolean;
}

void Field::read(int& out) const {
  if (!is(Kind::number)) return;
  if (std::abs(value_->number) > 1e6)
    problem("job.range", "This count is beyond a million.", "");
  else
    out = static_cast<int>(value_->number);
}

void Field::read_number(double& out) const {
  if (is(Kind::number)) out = value_->number;
}

void Field::read_length(double& out, double least) const {
  if (const auto found = read_metres(kLongest, "This length is beyond 10 km."); found) {
    if (*found < least)
      return problem("job.range",
                     "This length is " + format_number(*found, 3) + " m; at least " +
                         format_number(least, 3) + " m makes sense here.",
                     "");
    out = *found;
  }
}

std::optional<double> Field::read_metres(double most, const char* too_long) const {
  double found = 0;
  if (is(Kind::number)) {
    found = value_->number;
  } else if (is(Kind::string)) {
    const Result<double> parsed = parse_length(value_->text);
    if (!parsed) {
      problem(parsed.error().code, parsed.error().what, parsed.error().remedy);
      return std::nullopt;
    }
    found = *parsed;
  } else {
    return std::nullopt;
  }
  if (std::abs(found) <= most) return found;
  problem("job.range", too_long, "Bare numbers are metres; write \"600 mm\" for millimetres.");
  return std::nullopt;
}

void Field::read_angle(double& out) const {
  if (is(Kind::number)) out = radians(value_->number);
  if (!is(Kind::string)) return;
  const Result<double> parsed = parse_angle(value_->text);
  if (!parsed) return problem(parsed.error().code, parsed.error().what, parsed.error().remedy);
  out = *parsed;
}

void Field::read_share(double& out) const {
  double found = 0;
  if (is(Kind::number)) {
    found = value_->number;
  } else if (is(Kind::string)) {
    const auto percent = number_with_unit(value_->text, {"%", "percent"});
    if (!percent) return problem("job.share", "This is not a share.", "Write 0.05 or \"5 %\".");
    found = *percent / 100;
  } else {
    return;
  }
  if (found < 0 || found > 1)
    return problem("job.range", "A share lies between 0 and 1.", "Write 0.05 or \"5 %\".");
  out = found;
}

void Field::read_point(Vec3& out) const {
  const std::vector<Field> axes = items();
  if (axes.size() != 3) return;
  for (int axis = 0; axis < 3; ++axis)
    out[axis] = axes[static_cast<std::size_t>(axis)]
                    .read_metres(kFarthest, "This point is beyond 11,000 km of the origin.")
                    .value_or(out[axis]);
}

void Field::read_words(std::vector<std::string>& out) const {
  if (is(Kind::string)) out = {value_->text};
  if (!is(Kind::array)) return;
  out.clear();
  for (const JsonValue& item : value_->items)
    if (item.kind == Kind::string) out.push_back(item.text);
}

std::optional<double> Field::length(double least) const {
  double out = std::nan("");
  read_length(out, least);
  return std::isnan(out) ? std::nullopt : std::optional<double>(out);
}

std::optional<bool> Field::boolean() const {
  if (!is(Kind::boolean)) return std::nullopt;
  return value_->boolean;
}

std::string Field::text() const {
  std::string out;
  read(out);
  return out;
}

std::optional<double> number_with_unit(const std::string& text,
                                       const std::vector<std::string>& units) {
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (read.ec != std::errc{} || !std::isfinite(value)) return std::nullopt;
  std::string unit(read.ptr, end);
  unit.erase(std::remove(unit.begin(), unit.end(), ' '), unit.end());
  if (std::find(units.begin(), units.end(), unit) == units.end()) return std::nullopt;
  return value;
}

}  // namespace roomloom
