#include "exchange/write_json_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

#include "base/utf8.h"

namespace roomloom {
namespace {

constexpr int kDeepest = 200;

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  std::optional<JsonSpan> document() {
    auto value = this->value(0);
    skip_blank();
    if (!value || at_ != text_.size()) return std::nullopt;
    return value;
  }

 private:
  void skip_blank() { at_ = std::min(text_.find_first_not_of(" \t\r\n", at_), text_.size()); }
  bool take(char c) {
    skip_blank();
    if (at_ >= text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }
  bool skip_string() {
    if (!take('"')) return false;
    while (at_ < text_.size() && text_[at_] != '"') at_ += text_[at_] == '\\' ? 2 : 1;
    if (at_ >= text_.size()) return false;
    ++at_;
    return true;
  }

  std::optional<JsonSpan> value(int depth) {
    skip_blank();
    if (at_ >= text_.size() || depth > kDeepest) return std::nullopt;
    JsonSpan span;
    span.begin = at_;
    const char c = text_[at_];
    bool good = true;
    if (c == '{') {
      good = object(span, depth);
    } else if (c == '[') {
      good = array(span, depth);
    } else if (c == '"') {
      span.kind = JsonSpan::Kind::string;
      good = skip_string();
    } else {
      span.kind =
          c == '-' || (c >= '0' && c <= '9') ? JsonSpan::Kind::number : JsonSpan::Kind::literal;
      at_ = std::min(text_.find_first_of(" \t\r\n,]}", at_), text_.size());
      good = at_ > span.begin;
    }
    span.end = at_;
    if (!good) return std::nullopt;
    return span;
  }

  bool object(JsonSpan& span, int depth) {
    span.kind = JsonSpan::Kind::object;
    ++at_;
    if (take('}')) return true;
    do {
      skip_blank();
      const std::size_t from = at_ + 1;
      if (!skip_string()) return false;
      const std::string_view key = text_.substr(from, at_ - from - 1);
      if (!take(':')) return false;
      auto member = value(depth + 1);
      if (!member) return false;
      span.members.push_back({key, std::move(*member)});
    } while (take(','));
    return take('}');
  }

  bool array(JsonSpan& span, int depth) {
    span.kind = JsonSpan::Kind::array;
    ++at_;
    if (take(']')) return true;
    do {
      auto element = value(depth + 1);
      if (!element) return false;
      span.elements.push_back(std::move(*element));
    } while (take(','));
    return take(']');
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

std::optional<std::uint32_t> hex4(std::string_view digits) {
  std::uint32_t code = 0;
  if (digits.size() < 4) return std::nullopt;
  const auto read = std::from_chars(digits.data(), digits.data() + 4, code, 16);
  if (read.ptr != digits.data() + 4) return std::nullopt;
  return code;
}

/// Reads "uXXXX", two of them for a surrogate pair, and returns how many characters it took.
std::size_t append_escaped_unicode(std::string& text, std::string_view rest) {
  std::uint32_t code = hex4(rest.substr(1)).value_or(0xFFFD);
  std::size_t taken = std::min<std::size_t>(5, rest.size());
  if (code >= 0xD800 && code < 0xDC00 && rest.substr(taken).starts_with("\\u")) {
    const std::uint32_t low = hex4(rest.substr(taken + 2)).value_or(0);
    if (low >= 0xDC00 && low < 0xE000) {
      code = 0x10000 + ((code - 0xD800) << 10U) + (low - 0xDC00);
      taken += 6;
    }
  }
  append_utf8(text, code >= 0xD800 && code < 0xE000 ? 0xFFFD : code);
  return taken;
}

}  // namespace

const JsonSpan* JsonSpan::find(std::string_view key) const {
  for (const auto& [name, value] : members)
    if (name == key) return &value;
  return nullptr;
}

Result<JsonSpan> json_spans(std::string_view text, const std::string& file) {
  auto document = Scanner(text).document();
  if (!document || document->kind != JsonSpan::Kind::object)
    return Error{"write.original-syntax", "Its JSON cannot be read.", file,
                 "Export the model again."};
  return std::move(*document);
}

std::string TextEdits::applied(std::string_view text) const {
  std::vector<const Edit*> ordered;
  for (const Edit& edit : edits_) ordered.push_back(&edit);
  std::stable_sort(ordered.begin(), ordered.end(),
                   [](const Edit* a, const Edit* b) { return a->begin < b->begin; });
  std::string result;
  std::size_t at = 0;
  for (const Edit* edit : ordered) {
    result += text.substr(at, edit->begin - at);
    result += edit->text;
    at = edit->end;
  }
  result += text.substr(at);
  return result;
}

std::string json_string(std::string_view utf8) {
  std::string text = "\"";
  for (const std::uint32_t code : code_points(utf8)) {
    if (code == '"' || code == '\\') {
      text += '\\';
      text += static_cast<char>(code);
    } else if (code < 0x20 || code == 0x7F) {
      text += "\\u00";
      text += "0123456789abcdef"[code >> 4U];
      text += "0123456789abcdef"[code & 0xFU];
    } else {
      append_utf8(text, code);
    }
  }
  return text + '"';
}

std::string json_unquoted(std::string_view literal) {
  std::string text;
  const std::string_view inner = literal.size() < 2 ? "" : literal.substr(1, literal.size() - 2);
  for (std::size_t i = 0; i < inner.size(); ++i) {
    if (inner[i] != '\\' || i + 1 >= inner.size()) {
      text += inner[i];
      continue;
    }
    const char escape = inner[++i];
    constexpr std::string_view kFrom = "nrtbf";
    constexpr std::string_view kTo = "\n\r\t\b\f";
    const std::size_t known = kFrom.find(escape);
    if (escape == 'u')
      i += append_escaped_unicode(text, inner.substr(i)) - 1;
    else
      text += known == std::string_view::npos ? escape : kTo[known];
  }
  return text;
}

std::string json_number(double value) {
  std::array<char, 32> digits{};
  const auto printed = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  return {digits.data(), printed.ptr};
}

}  // namespace roomloom
