#include <charconv>
#include <cmath>

#include "base/files.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

std::vector<std::string_view> words_of(std::string_view line) {
  std::vector<std::string_view> words;
  std::size_t at = 0;
  while (at < line.size()) {
    while (at < line.size() && (line[at] == ' ' || line[at] == '\t')) ++at;
    const std::size_t start = at;
    while (at < line.size() && line[at] != ' ' && line[at] != '\t') ++at;
    if (at > start) words.push_back(line.substr(start, at - start));
  }
  return words;
}

bool number(std::string_view word, double& value) {
  return std::from_chars(word.data(), word.data() + word.size(), value).ec == std::errc{} &&
         std::isfinite(value);
}

// "7", "-3/1/2": the vertex only; negative counts back from the last one.
bool vertex(std::string_view word, std::size_t count, std::size_t& index) {
  long value = 0;
  const auto done = std::from_chars(word.data(), word.data() + word.size(), value);
  if (done.ec != std::errc{} || value == 0) return false;
  const long zero_based = value > 0 ? value - 1 : static_cast<long>(count) + value;
  if (zero_based < 0 || zero_based >= static_cast<long>(count)) return false;
  index = static_cast<std::size_t>(zero_based);
  return true;
}

class ObjReader {
 public:
  ObjReader(const Transform& to_room, WrittenModel& model) : to_room_(to_room), model_(model) {}

  bool line(std::string_view text) {
    if (text.rfind("o ", 0) == 0) return start_object(std::string(text.substr(2)));
    if (text.rfind("g ", 0) == 0) {
      group_ = std::string(text.substr(2));
      return true;
    }
    const auto words = words_of(text);
    if (words.empty()) return true;
    if (words[0] == "v") return add_vertex(words);
    if (words[0] == "l" && !model_.things.empty()) return add_line(words);
    if (words[0] == "f" && !model_.things.empty()) return add_face(words);
    return true;
  }

 private:
  bool start_object(std::string name) {
    WrittenThing thing;
    thing.name = std::move(name);
    if (!group_.empty()) thing.path = {group_};
    model_.things.push_back(std::move(thing));
    return true;
  }

  bool add_vertex(const std::vector<std::string_view>& words) {
    Vec3 p;
    if (words.size() < 4 || !number(words[1], p.x) || !number(words[2], p.y) ||
        !number(words[3], p.z)) {
      return false;
    }
    vertices_.push_back(to_room_.apply(p));
    return true;
  }

  bool add_line(const std::vector<std::string_view>& words) {
    std::vector<Vec3> points;
    for (std::size_t i = 1; i < words.size(); ++i) {
      std::size_t index = 0;
      if (!vertex(words[i], vertices_.size(), index)) return false;
      points.push_back(vertices_[index]);
    }
    if (points.size() < 2) return false;
    auto& lines = model_.things.back().lines;
    if (!lines.empty() && lines.back().back() == points.front()) {
      lines.back().insert(lines.back().end(), points.begin() + 1, points.end());
    } else {
      lines.push_back(std::move(points));
    }
    return true;
  }

  bool add_face(const std::vector<std::string_view>& words) {
    WrittenThing& thing = model_.things.back();
    const auto base = static_cast<std::uint32_t>(thing.points.size());
    for (std::size_t i = 1; i < words.size(); ++i) {
      std::size_t index = 0;
      if (!vertex(words[i], vertices_.size(), index)) return false;
      thing.points.push_back(vertices_[index]);
    }
    const auto corners = static_cast<std::uint32_t>(words.size() - 1);
    for (std::uint32_t i = 2; i < corners; ++i) {
      thing.triangles.push_back({base, base + i - 1, base + i});
    }
    return true;
  }

  const Transform& to_room_;
  WrittenModel& model_;
  std::vector<Vec3> vertices_;
  std::string group_;  ///< the last `g` stays in force over the objects after it
};

}  // namespace

Result<WrittenModel> read_written_obj(const std::filesystem::path& file, const Transform& to_room) {
  const auto bytes = read_file(file);
  if (!bytes) return bytes.error();
  WrittenModel model{file.filename().string(), {}};
  ObjReader reader(to_room, model);
  std::string_view rest = *bytes;
  std::size_t number = 0;
  while (!rest.empty()) {
    ++number;
    const std::size_t end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (!reader.line(line)) {
      return Error{"check.obj", "Line " + std::to_string(number) + " cannot be read.",
                   file.string(), "Route again, or restore the file."};
    }
  }
  return model;
}

}  // namespace roomloom::check
