#include "check/step_text.h"

#include <charconv>
#include <cmath>

namespace roomloom::check {
namespace {

bool is_word(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_'; }

/// Reads "#12=TYPE(...);" statements; strings may hold anything.
class Part21 {
 public:
  explicit Part21(std::string_view text) : text_(text) {}

  Instances read() {
    Instances all;
    while (skip_to_instance()) {
      const std::uint64_t id = number();
      space();
      if (!take('=')) continue;
      space();
      Instance one;
      while (at_ < text_.size() && is_word(text_[at_])) one.type += text_[at_++];
      space();
      if (at_ >= text_.size() || text_[at_] != '(') continue;
      const std::size_t start = at_ + 1;
      if (!skip_brackets()) break;
      one.body = text_.substr(start, at_ - start - 1);
      all.insert_or_assign(all.end(), id, std::move(one));
    }
    return all;
  }

 private:
  bool skip_to_instance() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '#') return ++at_, true;
      if (c == '\'') {
        skip_string();
      } else {
        ++at_;
      }
    }
    return false;
  }

  std::uint64_t number() {
    std::uint64_t value = 0;
    const auto done = std::from_chars(text_.data() + at_, text_.data() + text_.size(), value);
    at_ = static_cast<std::size_t>(done.ptr - text_.data());
    return value;
  }

  void space() {
    while (at_ < text_.size() &&
           (text_[at_] == ' ' || text_[at_] == '\n' || text_[at_] == '\r' || text_[at_] == '\t')) {
      ++at_;
    }
  }

  bool take(char c) {
    if (at_ >= text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }

  void skip_string() {
    ++at_;
    while (at_ < text_.size()) {
      if (text_[at_++] != '\'') continue;
      if (at_ >= text_.size() || text_[at_] != '\'') return;
      ++at_;
    }
  }

  bool skip_brackets() {
    int depth = 0;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '\'') {
        skip_string();
        continue;
      }
      ++at_;
      if (c == '(') ++depth;
      if (c == ')' && --depth == 0) return true;
    }
    return false;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

void append_utf8(std::uint32_t code, std::string& text) {
  const auto put = [&](std::uint32_t byte) { text += static_cast<char>(byte); };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0U | (code >> 6U));
    put(0x80U | (code & 0x3FU));
  } else if (code < 0x10000) {
    put(0xE0U | (code >> 12U));
    put(0x80U | ((code >> 6U) & 0x3FU));
    put(0x80U | (code & 0x3FU));
  } else {
    put(0xF0U | (code >> 18U));
    put(0x80U | ((code >> 12U) & 0x3FU));
    put(0x80U | ((code >> 6U) & 0x3FU));
    put(0x80U | (code & 0x3FU));
  }
}

}  // namespace

Instances read_instances(std::string_view text) { return Part21(text).read(); }

std::vector<std::string_view> arguments(std::string_view body) {
  std::vector<std::string_view> all;
  int depth = 0;
  bool quoted = false;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= body.size(); ++i) {
    const bool end = i == body.size();
    const char c = end ? ',' : body[i];
    if (c == '\'') quoted = !quoted;
    if (quoted && !end) continue;
    if (c == '(') ++depth;
    if (c == ')') --depth;
    if (c != ',' || (depth != 0 && !end)) continue;
    std::string_view piece = body.substr(start, i - start);
    while (!piece.empty() &&
           (piece.front() == ' ' || piece.front() == '\n' || piece.front() == '\r'))
      piece.remove_prefix(1);
    while (!piece.empty() && (piece.back() == ' ' || piece.back() == '\n' || piece.back() == '\r'))
      piece.remove_suffix(1);
    all.push_back(piece);
    start = i + 1;
  }
  return all;
}

std::vector<std::uint64_t> references(std::string_view text) {
  std::vector<std::uint64_t> all;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\'') quoted = !quoted;
    if (quoted || text[i] != '#') continue;
    std::uint64_t id = 0;
    std::from_chars(text.data() + i + 1, text.data() + text.size(), id);
    all.push_back(id);
  }
  return all;
}

std::vector<double> reals(std::string_view text) {
  std::vector<double> all;
  for (std::string_view piece : arguments(text)) {
    double value = 0;
    const auto read = std::from_chars(piece.data(), piece.data() + piece.size(), value);
    if (read.ec == std::errc{} && std::isfinite(value)) {
      all.push_back(value);
    }
  }
  return all;
}

std::string string_value(std::string_view literal) {
  std::string text;
  if (literal.size() < 2 || literal.front() != '\'') return text;
  literal = literal.substr(1, literal.size() - 2);
  for (std::size_t i = 0; i < literal.size(); ++i) {
    const bool wide = literal.substr(i, 4) == "\\X2\\" || literal.substr(i, 4) == "\\X4\\";
    if (wide) {
      const std::size_t digits = literal[i + 2] == '2' ? 4 : 8;
      i += 4;
      while (i + digits <= literal.size() && literal[i] != '\\') {
        std::uint32_t code = 0;
        std::from_chars(literal.data() + i, literal.data() + i + digits, code, 16);
        append_utf8(code, text);
        i += digits;
      }
      i += 3;  // \X0\, less the loop's own step
      continue;
    }
    if ((literal[i] == '\'' || literal[i] == '\\') && i + 1 < literal.size() &&
        literal[i + 1] == literal[i]) {
      ++i;
    }
    text += literal[i];
  }
  return text;
}

}  // namespace roomloom::check
