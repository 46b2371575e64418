#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/files.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

bool blank(char c) { return c == ' ' || c == '\t' || c == '\v' || c == '\f' || c == '\0'; }

/// Up to a comment; into `words`, whose room is kept from line to line.
void split(std::string_view line, std::vector<std::string_view>& words) {
  words.clear();
  std::size_t at = 0;
  while (at < line.size()) {
    while (at < line.size() && blank(line[at])) ++at;
    const std::size_t start = at;
    while (at < line.size() && !blank(line[at])) ++at;
    if (start < line.size() && line[start] == '#') break;
    if (at > start) words.push_back(line.substr(start, at - start));
  }
}

/// The first word is this letter.
bool starts_with(std::string_view line, char letter) {
  std::size_t at = 0;
  while (at < line.size() && blank(line[at])) ++at;
  return at < line.size() && line[at] == letter && (at + 1 == line.size() || blank(line[at + 1]));
}

/// The original's bytes stand in the file as somebody wrote them: "+1", "1e-400".
bool number(std::string_view word, double& value) {
  if (!word.empty() && word.front() == '+') word.remove_prefix(1);
  const auto status = std::from_chars(word.data(), word.data() + word.size(), value).ec;
  if (status != std::errc::result_out_of_range)
    return status == std::errc{} && std::isfinite(value);
  value = 0;
  return word.find("e-") != word.npos || word.find("E-") != word.npos;  // too small, not too large
}

/// The lines of the text, those after a trailing backslash joined to it.
std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> lines(1);
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t end = std::min(text.find_first_of("\r\n", from), text.size());
    lines.back() += text.substr(from, end - from);
    if (end == text.size()) break;
    from = end + (text.substr(end, 2) == "\r\n" ? 2 : 1);
    if (!lines.back().empty() && lines.back().back() == '\\')
      lines.back().back() = ' ';
    else
      lines.emplace_back();
  }
  return lines;
}

// "7", "-3/1/2": the vertex only; negative counts back from the last one so far, which is `count`;
// positive may be one that follows.
bool vertex(std::string_view word, std::size_t count, std::size_t all, std::size_t& index) {
  long value = 0;
  if (!word.empty() && word.front() == '+') word.remove_prefix(1);
  const auto done = std::from_chars(word.data(), word.data() + word.size(), value);
  if (done.ec != std::errc{} || value == 0) return false;
  const long zero_based = value > 0 ? value - 1 : static_cast<long>(count) + value;
  if (zero_based < 0 || zero_based >= static_cast<long>(all)) return false;
  index = static_cast<std::size_t>(zero_based);
  return true;
}

class ObjReader {
 public:
  ObjReader(const Transform& to_room, WrittenModel& model) : to_room_(to_room), model_(model) {}

  /// First all vertices, then what stands on them.
  bool vertex_line(std::string_view text) {
    if (!starts_with(text, 'v')) return true;
    split(text, words_);
    return add_vertex(words_);
  }

  bool line(std::string_view text) {
    if (starts_with(text, 'v')) return ++so_far_, true;
    split(text, words_);
    const auto& words = words_;
    if (words.empty()) return true;
    if (words[0] == "o") return start_object(after(text, words[0]));
    if (words[0] == "g") {
      group_ = after(text, words[0]);
      return true;
    }
    if (words[0] == "l" && !model_.things.empty()) return add_line(words);
    if (words[0] == "f" && !model_.things.empty()) return add_face(words);
    return true;
  }

 private:
  static std::string after(std::string_view text, std::string_view keyword) {
    std::string_view rest(
        keyword.data() + keyword.size(),
        static_cast<std::size_t>(text.data() + text.size() - keyword.data()) - keyword.size());
    while (!rest.empty() && blank(rest.front())) rest.remove_prefix(1);
    return std::string(rest);
  }

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
    double weight = 1;  // four numbers are homogeneous coordinates
    if (words.size() == 5 && number(words[4], weight) && weight != 0) p = p / weight;
    vertices_.push_back(to_room_.apply(p));
    return true;
  }

  bool add_line(const std::vector<std::string_view>& words) {
    std::vector<Vec3> points;
    for (std::size_t i = 1; i < words.size(); ++i) {
      std::size_t index = 0;
      if (!vertex(words[i], so_far_, vertices_.size(), index)) return false;
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
      if (!vertex(words[i], so_far_, vertices_.size(), index)) return false;
      thing.points.push_back(vertices_[index]);
    }
    const auto corners = static_cast<std::uint32_t>(words.size() - 1);  // two of them: no triangle
    for (std::uint32_t i = 2; i < corners; ++i) {
      thing.triangles.push_back({base, base + i - 1, base + i});
    }
    return true;
  }

  const Transform& to_room_;
  WrittenModel& model_;
  std::vector<Vec3> vertices_;
  std::vector<std::string_view> words_;  ///< of the line at hand
  std::size_t so_far_ = 0;               ///< vertices before the line at hand
  std::string group_;                    ///< the last `g` stays in force over the objects after it
};

}  // namespace

Result<WrittenModel> read_written_obj(const std::filesystem::path& file, const Transform& to_room) {
  const auto bytes = read_file(file);
  if (!bytes) return bytes.error();
  WrittenModel model{file.filename().string(), {}};
  ObjReader reader(to_room, model);
  const std::vector<std::string> lines = lines_of(*bytes);
  const auto refused = [&](std::size_t i) {
    return Error{"check.obj", "Line " + std::to_string(i + 1) + " cannot be read.", file.string(),
                 "Route again, or restore the file."};
  };
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (!reader.vertex_line(lines[i])) return refused(i);
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (!reader.line(lines[i])) return refused(i);
  return model;
}

}  // namespace roomloom::check
