#include "check/written_files.h"

#include <gtest/gtest.h>

#include <cstring>
#include <set>
#include <sstream>

#include "base/units.h"
#include "pipeline/planning.h"

namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

std::uint32_t word(const std::string& bytes, std::size_t at) {
  std::uint32_t value = 0;
  std::memcpy(&value, bytes.data() + at, 4);
  return value;
}

void append_word(std::string& bytes, std::size_t value) {
  const auto narrow = static_cast<std::uint32_t>(value);
  bytes.append(reinterpret_cast<const char*>(&narrow), 4);
}

std::string text_of(double value) { return format_number(value, 9); }

}  // namespace

Change moved_by(double x, double y, double z) {
  return [=](const Point& p) { return Point{p[0] + x, p[1] + y, p[2] + z}; };
}

Change scaled_about(const Point& middle, double factor) {
  return [=](const Point& p) {
    Point q{};
    for (std::size_t i = 0; i < 3; ++i) q[i] = middle[i] + factor * (p[i] - middle[i]);
    return q;
  };
}

GlbFile::GlbFile(std::filesystem::path file) : file_(std::move(file)) {
  const std::string bytes = read_text(file_);
  const std::size_t length = word(bytes, 12);
  json_ = Json::parse(bytes.substr(20, length));
  binary_ = bytes.substr(28 + length, word(bytes, 20 + length));
}

void GlbFile::save() const {
  std::string text = json_.dump();
  text.resize((text.size() + 3) / 4 * 4, ' ');
  std::string bytes = "glTF";
  append_word(bytes, 2);
  append_word(bytes, 28 + text.size() + binary_.size());
  append_word(bytes, text.size());
  bytes += "JSON" + text;
  append_word(bytes, binary_.size());
  bytes += std::string("BIN\0", 4) + binary_;
  write_text(file_, bytes);
}

std::size_t GlbFile::index(const std::string& name) const {
  const Json& nodes = json_.at("nodes");
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    if (nodes[i].value("name", "") == name) return i;
  }
  ADD_FAILURE() << file_ << " has no node " << name;
  return 0;
}

Json& GlbFile::node(const std::string& name) { return json_["nodes"][index(name)]; }

std::size_t GlbFile::offset(std::size_t accessor) const {
  const Json& one = json_.at("accessors").at(accessor);
  const Json& view = json_.at("bufferViews").at(one.at("bufferView").get<std::size_t>());
  return view.value("byteOffset", std::size_t{0}) + one.value("byteOffset", std::size_t{0});
}

std::vector<Point> GlbFile::points(const std::string& name) const {
  std::vector<Point> all;
  const Json& mesh = json_.at("meshes").at(json_["nodes"][index(name)].at("mesh").get<int>());
  for (const Json& primitive : mesh.at("primitives")) {
    const auto accessor = primitive.at("attributes").at("POSITION").get<std::size_t>();
    const auto count = json_["accessors"][accessor].at("count").get<std::size_t>();
    for (std::size_t i = 0; i < count; ++i) {
      std::array<float, 3> p{};
      std::memcpy(p.data(), binary_.data() + offset(accessor) + 12 * i, 12);
      all.push_back(
          {static_cast<double>(p[0]), static_cast<double>(p[1]), static_cast<double>(p[2])});
    }
  }
  return all;
}

void GlbFile::change_points(const std::string& name,
                            const std::function<Point(std::size_t, Point)>& to) {
  const std::vector<Point> all = points(name);
  const Json& mesh = json_.at("meshes").at(node(name).at("mesh").get<int>());
  std::size_t at = 0;
  for (const Json& primitive : mesh.at("primitives")) {
    const auto accessor = primitive.at("attributes").at("POSITION").get<std::size_t>();
    const auto count = json_["accessors"][accessor].at("count").get<std::size_t>();
    for (std::size_t i = 0; i < count; ++i, ++at) {
      const Point p = to(at, all[at]);
      const std::array<float, 3> narrow{static_cast<float>(p[0]), static_cast<float>(p[1]),
                                        static_cast<float>(p[2])};
      std::memcpy(binary_.data() + offset(accessor) + 12 * i, narrow.data(), 12);
    }
  }
}

void GlbFile::change_points(const std::string& name, const Change& change) {
  change_points(name, [&](std::size_t, const Point& p) { return change(p); });
}

void GlbFile::cut_out(const std::string& name) {
  const std::size_t gone = index(name);
  for (Json& node : json_["nodes"]) {
    if (!node.contains("children")) continue;
    Json kept = Json::array();
    for (const Json& child : node["children"]) {
      if (child.get<std::size_t>() != gone) kept.push_back(child);
    }
    if (kept.empty()) {
      node.erase("children");
    } else {
      node["children"] = kept;
    }
  }
}

void GlbFile::hang_under(const std::string& name, const std::string& parent) {
  cut_out(name);
  node(parent)["children"].push_back(index(name));
}

StepFile::StepFile(std::filesystem::path file) : file_(std::move(file)) {
  std::istringstream text(read_text(file_));
  for (std::string line; std::getline(text, line);) {
    if (!line.empty() && line.front() == '#') {
      const std::size_t equals = line.find('=');
      statements_[std::stol(line.substr(1, equals - 1))] = line.substr(equals + 1);
    } else {
      (statements_.empty() ? head_ : tail_) += line + "\n";
    }
  }
}

void StepFile::save() const {
  std::string text = head_;
  for (const auto& [number, body] : statements_) {
    text += "#" + std::to_string(number) + "=" + body + "\n";
  }
  write_text(file_, text + tail_);
}

long StepFile::product(const std::string& name) const {
  for (const auto& [number, body] : statements_) {
    if (body.rfind("PRODUCT('" + name + "'", 0) == 0) return number;
  }
  ADD_FAILURE() << file_ << " has no product " << name;
  return 0;
}

std::vector<long> StepFile::references(const std::string& body) const {
  std::vector<long> all;
  for (std::size_t at = body.find('#'); at != std::string::npos; at = body.find('#', at + 1)) {
    all.push_back(std::stol(body.substr(at + 1)));
  }
  return all;
}

// The representation bears its product's name, as every item of ours does.
std::vector<long> StepFile::parts_of(const std::string& name, const std::string& type) const {
  std::vector<long> open;
  for (const auto& [number, body] : statements_) {
    const bool shape = body.find("SHAPE_REPRESENTATION('" + name + "'") != std::string::npos;
    if (shape) open.push_back(number);
  }
  std::set<long> seen;
  std::vector<long> found;
  while (!open.empty()) {
    const long number = open.back();
    open.pop_back();
    if (!seen.insert(number).second) continue;
    const std::string& body = statements_.at(number);
    if (body.rfind(type + "(", 0) == 0) found.push_back(number);
    for (const long next : references(body)) open.push_back(next);
  }
  EXPECT_FALSE(found.empty()) << file_ << ": no " << type << " in " << name;
  std::sort(found.begin(), found.end());
  return found;
}

void StepFile::change_point(long number, const Change& change) {
  std::string& body = statements_.at(number);
  const std::size_t open = body.rfind('(');
  std::istringstream numbers(body.substr(open + 1));
  Point p{};
  char comma = 0;
  numbers >> p[0] >> comma >> p[1] >> comma >> p[2];
  p = change(p);
  body =
      body.substr(0, open + 1) + text_of(p[0]) + "," + text_of(p[1]) + "," + text_of(p[2]) + "));";
}

void StepFile::change_points(const std::string& name, const Change& change) {
  for (const long number : parts_of(name, "CARTESIAN_POINT")) change_point(number, change);
}

void StepFile::scale_last(long number, double factor) {
  std::string& body = statements_.at(number);
  const std::size_t comma = body.rfind(',');
  body = body.substr(0, comma + 1) + text_of(factor * std::stod(body.substr(comma + 1))) + ");";
}

void StepFile::cut_out(const std::string& name) {
  for (auto& [number, body] : statements_) {
    if (body.rfind("NEXT_ASSEMBLY_USAGE_OCCURRENCE(", 0) != 0) continue;
    if (body.find(",'" + name + "',") == std::string::npos) continue;
    // An occurrence that nothing hangs on: the text remains one that can be read.
    body = "DIRECTION('',(0.,0.,1.));";
    return;
  }
  ADD_FAILURE() << file_ << " has no occurrence of " << name;
}

ObjFile::ObjFile(std::filesystem::path file) : file_(std::move(file)) {
  std::istringstream text(read_text(file_));
  for (std::string line; std::getline(text, line);) lines_.push_back(line);
}

void ObjFile::save() const {
  std::string text;
  for (const std::string& line : lines_) text += line + "\n";
  write_text(file_, text);
}

std::pair<std::size_t, std::size_t> ObjFile::range(const std::string& object) const {
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    if (lines_[i] != "o " + object) continue;
    std::size_t end = i + 1;
    while (end < lines_.size() && lines_[end].rfind("o ", 0) != 0) ++end;
    return {i, end};
  }
  ADD_FAILURE() << file_ << " has no object " << object;
  return {0, 0};
}

std::vector<Point> ObjFile::points(const std::string& object) const {
  std::vector<Point> all;
  const auto [from, to] = range(object);
  for (std::size_t i = from; i < to; ++i) {
    if (lines_[i].rfind("v ", 0) != 0) continue;
    std::istringstream numbers(lines_[i].substr(2));
    Point p{};
    numbers >> p[0] >> p[1] >> p[2];
    all.push_back(p);
  }
  return all;
}

void ObjFile::change_points(const std::string& object,
                            const std::function<Point(std::size_t, Point)>& to) {
  const std::vector<Point> all = points(object);
  const auto [from, end] = range(object);
  std::size_t at = 0;
  for (std::size_t i = from; i < end; ++i) {
    if (lines_[i].rfind("v ", 0) != 0) continue;
    const Point p = to(at, all[at]);
    ++at;
    lines_[i] = "v " + text_of(p[0]) + " " + text_of(p[1]) + " " + text_of(p[2]);
  }
}

void ObjFile::change_points(const std::string& object, const Change& change) {
  change_points(object, [&](std::size_t, const Point& p) { return change(p); });
}

void ObjFile::rename(const std::string& object, const std::string& name) {
  lines_[range(object).first] = "o " + name;
}

void ObjFile::cut_out(const std::string& object) {
  const auto [from, to] = range(object);
  for (std::size_t i = from; i < to; ++i) {
    if (lines_[i].rfind("v", 0) != 0) lines_[i] = "# removed";
  }
}

ListFile::ListFile(std::filesystem::path file) : file_(std::move(file)) {
  std::istringstream text(read_text(file_));
  for (std::string line; std::getline(text, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    rows.push_back({""});
    bool quoted = false;  // cells are kept as they are written, with their quotes
    for (const char c : line) {
      quoted ^= c == '"';
      if (c == ',' && !quoted)
        rows.back().emplace_back();
      else
        rows.back().back() += c;
    }
  }
}

void ListFile::save() const {
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) text += (i == 0 ? "" : ",") + row[i];
    text += "\r\n";
  }
  write_text(file_, text);
}

void change_cell(std::string& cell, std::size_t seed) {
  if (cell.empty()) {
    cell = "x";
    return;
  }
  // A number's last place is finer than the check's tolerance: one of the first digits changes.
  char& c = cell[seed % std::min<std::size_t>(cell.size(), 3)];
  if (c == '.' || c == ' ') {
    cell.front() = cell.front() == '7' ? '8' : '7';
  } else if (c >= '0' && c <= '9') {
    c = static_cast<char>('0' + (c - '0' + 1 + static_cast<int>(seed % 8)) % 10);
  } else {
    c = c == 'x' ? 'y' : 'x';
  }
}

nlohmann::ordered_json read_json(const std::filesystem::path& file) {
  return nlohmann::ordered_json::parse(read_text(file));
}

void write_json(const std::filesystem::path& file, const nlohmann::ordered_json& json) {
  write_text(file, json.dump(2) + "\n");
}

}  // namespace roomloom::testing
