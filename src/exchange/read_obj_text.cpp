#include "exchange/read_obj_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "exchange/read_text.h"

namespace roomloom {
namespace {

constexpr std::size_t kMostCorners = 5000;
constexpr std::size_t kMostPoints = 100'000'000;

struct Fault {
  std::size_t line;
  std::string what;
};

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\v' || c == '\f' || c == '\0'; }

/// Takes the next word off the front of `rest`; empty at the end.
std::string_view take_word(std::string_view& rest) {
  std::size_t start = 0;
  while (start < rest.size() && is_blank(rest[start])) ++start;
  std::size_t end = start;
  while (end < rest.size() && !is_blank(rest[end])) ++end;
  const std::string_view word = rest.substr(start, end - start);
  rest.remove_prefix(end);
  return word;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

class Reader {
 public:
  explicit Reader(std::string_view text) : text_(text) {}

  ObjText read() {
    std::string joined;
    while (at_ < text_.size()) statement(logical_line(joined));
    check_indices();
    add_notes();
    return std::move(out_);
  }

 private:
  /// The next line, with the lines after a trailing backslash joined to it (then kept in `joined`).
  std::string_view logical_line(std::string& joined) {
    std::string_view line = physical_line();
    if (!line.ends_with('\\')) return line;
    joined.clear();
    while (line.ends_with('\\')) {
      joined += line.substr(0, line.size() - 1);
      joined += ' ';
      if (at_ >= text_.size()) return joined;
      line = physical_line();
    }
    joined += line;
    return joined;
  }

  std::string_view physical_line() {
    ++line_;
    const std::size_t end = std::min(text_.find_first_of("\r\n", at_), text_.size());
    const std::string_view line = text_.substr(at_, end - at_);
    at_ = end + (text_.substr(end, 2) == "\r\n" ? 2 : 1);
    return line;
  }

  void statement(std::string_view rest) {
    const std::string_view keyword = take_word(rest);
    if (keyword == "v") {
      point(rest);
    } else if (keyword == "f" || keyword == "fo") {
      face(rest);
    } else if (keyword == "l") {
      line(rest);
    } else if (keyword == "p") {
      dots(rest);
    } else if (keyword == "o") {
      object_ = trimmed(rest);
      group_.clear();
      part_ = kNoPart;
    } else if (keyword == "g") {
      group_ = trimmed(rest);
      part_ = kNoPart;
    } else if (keyword == "usemtl") {
      material_ = trimmed(rest);
      part_ = kNoPart;
    } else if (keyword == "mtllib") {
      out_.material_libraries.emplace_back(trimmed(rest));
    } else if (keyword == "curv" || keyword == "surf" || keyword == "curv2") {
      ++free_form_;
    }
  }

  double number(std::string_view word) {
    const std::string_view given = word;
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0;
    const auto [end, status] = std::from_chars(word.data(), word.data() + word.size(), value);
    const bool tiny = status == std::errc::result_out_of_range &&
                      (word.find("e-") != word.npos || word.find("E-") != word.npos);
    const bool whole = !word.empty() && end == word.data() + word.size();
    if (!whole || (status != std::errc() && !tiny) || !std::isfinite(value))
      throw Fault{line_, "'" + std::string(given.substr(0, 40)) + "' is not a finite number"};
    return tiny ? 0 : value;
  }

  /// What follows the three coordinates; nobody here depends on a colour.
  static double colour_or_weight(std::string_view word) {
    double value = 0;
    const auto [end, status] = std::from_chars(word.data(), word.data() + word.size(), value);
    return status == std::errc() && end == word.data() + word.size() && std::isfinite(value) ? value
                                                                                             : 0;
  }

  void point(std::string_view rest) {
    std::vector<double>& n = numbers_;
    n.clear();
    for (auto word = take_word(rest); !word.empty() && n.size() < 5 && !word.starts_with('#');
         word = take_word(rest))
      n.push_back(n.size() < 3 ? number(word) : colour_or_weight(word));
    if (n.size() < 3) throw Fault{line_, "A point needs three coordinates"};
    // Four numbers are homogeneous coordinates; six or more carry a colour.
    const double w = n.size() == 4 && n[3] != 0 ? n[3] : 1;
    if (out_.points.size() >= kMostPoints) throw Fault{line_, "There are too many points"};
    out_.points.push_back({n[0] / w, n[1] / w, n[2] / w});
  }

  /// The first number of "12/3/4", from 0; negative ones count back from the last point so far.
  std::uint32_t index(std::string_view word) {
    const std::string_view digits = word.substr(0, word.find('/'));
    std::int64_t value = 0;
    const auto [end, status] = std::from_chars(digits.data() + (digits.starts_with('+') ? 1 : 0),
                                               digits.data() + digits.size(), value);
    if (status != std::errc() || end != digits.data() + digits.size() || value == 0)
      throw Fault{line_, "'" + std::string(word.substr(0, 40)) + "' is not the number of a point"};
    if (value < 0) value += static_cast<std::int64_t>(out_.points.size()) + 1;
    if (value < 1 || value > static_cast<std::int64_t>(kMostPoints))
      throw Fault{line_, "There is no point " + std::string(word.substr(0, 40))};
    // Points may follow later; check_indices looks again at the end.
    if (value > largest_index_) {
      largest_index_ = value;
      largest_index_line_ = line_;
    }
    return static_cast<std::uint32_t>(value - 1);
  }

  const std::vector<std::uint32_t>& indices(std::string_view rest) {
    indices_.clear();
    for (auto word = take_word(rest); !word.empty() && !word.starts_with('#');
         word = take_word(rest))
      indices_.push_back(index(word));
    return indices_;
  }

  void face(std::string_view rest) {
    const std::vector<std::uint32_t>& corners = indices(rest);
    if (corners.size() < 3) {
      ++short_faces_;
      return;
    }
    if (corners.size() > kMostCorners)
      throw Fault{line_, "A face has " + with_separators(corners.size()) + " corners; at most " +
                             with_separators(kMostCorners) + " can be read"};
    ObjPart& part = current();
    part.corners.insert(part.corners.end(), corners.begin(), corners.end());
    part.face_sizes.push_back(static_cast<std::uint32_t>(corners.size()));
  }

  void line(std::string_view rest) {
    if (indices(rest).size() < 2) return;
    ObjPart& part = current();
    // Programs often write one statement a segment: join what continues.
    if (!part.lines.empty() && part.lines.back().back() == indices_.front()) {
      part.lines.back().insert(part.lines.back().end(), indices_.begin() + 1, indices_.end());
    } else {
      part.lines.push_back(indices_);
    }
  }

  void dots(std::string_view rest) {
    ObjPart& part = current();
    for (const std::uint32_t dot : indices(rest)) part.dots.push_back(dot);
  }

  ObjPart& current() {
    if (part_ == kNoPart) choose_part();
    return out_.parts[part_];
  }

  void choose_part() {
    const bool nameless = object_.empty() && group_.empty();
    const auto key = std::make_tuple(object_, group_, nameless ? material_ : std::string());
    const auto [found, is_new] = by_name_.try_emplace(key, out_.parts.size());
    part_ = found->second;
    if (is_new) {
      ObjPart part;
      part.object = object_;
      part.group = group_;
      part.material = material_;
      part.line = line_;
      out_.parts.push_back(std::move(part));
    }
    if (used_.insert({part_, material_}).second) ++out_.parts[part_].materials;
  }

  void check_indices() const {
    if (largest_index_ > static_cast<std::int64_t>(out_.points.size()))
      throw Fault{largest_index_line_, "There is no point " + std::to_string(largest_index_) +
                                           "; the file has " + with_separators(out_.points.size())};
  }

  void add_notes() {
    if (short_faces_ > 0)
      out_.notes.push_back({"reader.short-faces",
                            with_separators(short_faces_) + " faces have fewer than three corners "
                                                            "and were dropped.",
                            ""});
    if (free_form_ > 0)
      out_.notes.push_back({"reader.lost-free-form",
                            with_separators(free_form_) + " free-form curves or surfaces are not "
                                                          "read. Export polygons.",
                            ""});
    for (const ObjPart& part : out_.parts)
      if (part.materials > 1)
        out_.notes.push_back({"reader.several-materials",
                              "Uses " + std::to_string(part.materials) +
                                  " materials; its colour is that of the first.",
                              part.object.empty() ? part.group : part.object});
  }

  static constexpr std::size_t kNoPart = static_cast<std::size_t>(-1);
  std::string_view text_;
  std::size_t at_ = 0, line_ = 0;
  std::string object_, group_, material_;
  std::size_t part_ = kNoPart;
  std::map<std::tuple<std::string, std::string, std::string>, std::size_t> by_name_;
  std::set<std::pair<std::size_t, std::string>> used_;
  std::vector<double> numbers_;
  std::vector<std::uint32_t> indices_;
  std::int64_t largest_index_ = 0;
  std::size_t largest_index_line_ = 0;
  std::size_t short_faces_ = 0, free_form_ = 0;
  ObjText out_;
};

}  // namespace

Result<ObjText> read_obj_text(std::string_view text, const std::string& file) {
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
    return Error{"model.unsupported", "The OBJ file is UTF-16 text.", file, "Save it as UTF-8."};
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  try {
    return Reader(text).read();
  } catch (const Fault& fault) {
    return Error{
        "model.syntax",
        "The OBJ text is damaged at line " + std::to_string(fault.line) + ": " + fault.what + ".",
        file, "Mend that line, or export the model again."};
  }
}

}  // namespace roomloom
