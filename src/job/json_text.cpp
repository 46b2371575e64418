#include "job/json_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>

namespace roomloom {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_word(char c) {
  return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

/// Length of the well-formed UTF-8 sequence at the front of `rest`; 0 = none.
/// Source: The Unicode Standard, table 3-7 (well-formed UTF-8 byte sequences).
std::size_t utf8_length(std::string_view rest) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(rest[i]); };
  const auto tail = [&](std::size_t i, unsigned low = 0x80, unsigned high = 0xBF) {
    return i < rest.size() && byte(i) >= low && byte(i) <= high;
  };
  const unsigned lead = byte(0);
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return tail(1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF)
    return tail(1, lead == 0xE0 ? 0xA0 : 0x80, lead == 0xED ? 0x9F : 0xBF) && tail(2) ? 3 : 0;
  if (lead >= 0xF0 && lead <= 0xF4)
    return tail(1, lead == 0xF0 ? 0x90 : 0x80, lead == 0xF4 ? 0x8F : 0xBF) && tail(2) && tail(3)
               ? 4
               : 0;
  return 0;
}

void append_utf8(std::string& out, std::uint32_t code) {
  const auto put = [&](std::uint32_t byte) { out += static_cast<char>(byte); };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0 | (code >> 6));
    put(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    put(0xE0 | (code >> 12));
    put(0x80 | ((code >> 6) & 0x3F));
    put(0x80 | (code & 0x3F));
  } else {
    put(0xF0 | (code >> 18));
    put(0x80 | ((code >> 12) & 0x3F));
    put(0x80 | ((code >> 6) & 0x3F));
    put(0x80 | (code & 0x3F));
  }
}

/// Thrown inside this file only, so that the descent needs no result to pass at each step.
struct Refusal {
  Error error;
};

class Parser {
 public:
  Parser(std::string_view text, const std::string& path) : text_(text), path_(path) {}

  JsonValue document() {
    check_encoding();
    skip_space();
    if (at_ == text_.size())
      refuse("json.syntax", "The file holds nothing", "Write an object: { ... }.");
    JsonValue root = value(0);
    skip_space();
    if (at_ < text_.size())
      refuse("json.syntax", "There is text after the end of the document", "Remove it.");
    return root;
  }

 private:
  TextPlace place_of(std::size_t offset) {
    // Called with rising offsets but for errors, so the scan goes on from the last one.
    if (offset < known_at_) known_at_ = 0, known_ = TextPlace{};
    for (; known_at_ < offset; ++known_at_) {
      const unsigned char c = static_cast<unsigned char>(text_[known_at_]);
      if (c == '\n') {
        ++known_.line;
        known_.column = 1;
      } else if ((c & 0xC0) != 0x80) {
        ++known_.column;
      }
    }
    return known_;
  }

  [[noreturn]] void refuse_at(std::size_t offset, std::string code, std::string what,
                              std::string remedy) {
    throw Refusal{{std::move(code), std::move(what) + ".",
                   where(place_of(std::min(offset, text_.size()))), std::move(remedy)}};
  }
  [[noreturn]] void refuse(std::string code, std::string what, std::string remedy) {
    refuse_at(at_, std::move(code), std::move(what), std::move(remedy));
  }

  void check_encoding() {
    const auto starts = [&](std::string_view mark) { return text_.substr(0, mark.size()) == mark; };
    const bool zero_among_first =
        text_.size() >= 2 && ((text_[0] == '\0') != (text_[1] == '\0'));  // UTF-16 without a mark
    if (starts("\xFF\xFE") || starts("\xFE\xFF") || zero_among_first)
      refuse("json.encoding", "The file is written in UTF-16", "Save it as UTF-8.");
    if (starts("\xEF\xBB\xBF")) text_.remove_prefix(3);
    for (std::size_t i = 0; i < text_.size();) {
      const std::size_t length = utf8_length(text_.substr(i));
      if (length == 0)
        refuse_at(i, "json.encoding", "The bytes here are not UTF-8",
                  "Save the file as UTF-8; another encoding (Latin-1, Windows-1252) was used.");
      i += length;
    }
  }

  void skip_space() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
        ++at_;
      } else if (c == '/') {
        skip_comment();
      } else {
        return;
      }
    }
  }

  void skip_comment() {
    const std::string_view rest = text_.substr(at_);
    if (rest.substr(0, 2) == "//") {
      at_ = std::min(text_.find('\n', at_), text_.size());
    } else if (rest.substr(0, 2) == "/*") {
      const std::size_t end = text_.find("*/", at_ + 2);
      if (end == std::string_view::npos)
        refuse("json.syntax", "This comment has no end", "Close it with */.");
      at_ = end + 2;
    } else {
      refuse("json.syntax", "A '/' does not belong here", "A comment starts with // or /*.");
    }
  }

  char peek() const { return at_ < text_.size() ? text_[at_] : '\0'; }

  JsonValue value(int depth) {
    JsonValue result;
    result.place = place_of(at_);
    switch (peek()) {
      case '{':
        object(result, depth);
        return result;
      case '[':
        array(result, depth);
        return result;
      case '"':
        result.kind = JsonValue::Kind::string;
        result.text = string();
        return result;
      default:
        break;
    }
    if (is_digit(peek()) || peek() == '-') {
      result.kind = JsonValue::Kind::number;
      result.number = number();
    } else {
      word(result);
    }
    return result;
  }

  void word(JsonValue& result) {
    std::size_t end = at_;
    while (end < text_.size() && is_word(text_[end])) ++end;
    const std::string found(text_.substr(at_, end - at_));
    if (found == "true" || found == "false") {
      result.kind = JsonValue::Kind::boolean;
      result.boolean = found == "true";
    } else if (found == "NaN" || found == "Infinity") {
      refuse("json.number", "\"" + found + "\" is no number that JSON knows", "Write a number.");
    } else if (found != "null") {
      if (at_ == text_.size())
        refuse("json.syntax", "The file ends in the middle", "Is a } or ] missing?");
      refuse("json.syntax", "A value is expected here",
             "Write a number, a \"text\" in double quotes, true, false, [...] or {...}.");
    }
    at_ = end;
  }

  void enter(int depth) {
    if (depth >= kJsonNesting)
      refuse("json.nesting", "Brackets are nested deeper than " + std::to_string(kJsonNesting),
             "A job needs fewer than ten levels.");
    ++at_;
    skip_space();
  }

  /// After an item: true if another follows.
  bool more(char close, const char* what) {
    skip_space();
    if (peek() == close) return ++at_, false;
    if (peek() != ',')
      refuse("json.syntax",
             at_ == text_.size() ? std::string("The file ends inside ") + what
                                 : std::string("A comma or '") + close + "' is expected here",
             std::string("Look for a missing comma, quote or '") + close + "' just before.");
    ++at_;
    skip_space();
    if (peek() == close) return ++at_, false;  // a comma after the last item
    return true;
  }

  void array(JsonValue& result, int depth) {
    result.kind = JsonValue::Kind::array;
    enter(depth);
    if (peek() == ']') {
      ++at_;
      return;
    }
    do {
      result.items.push_back(value(depth + 1));
    } while (more(']', "a list"));
  }

  void object(JsonValue& result, int depth) {
    result.kind = JsonValue::Kind::object;
    enter(depth);
    if (peek() == '}') {
      ++at_;
      return;
    }
    do {
      member(result, depth);
    } while (more('}', "an object"));
    refuse_duplicates(result);
  }

  void refuse_duplicates(const JsonValue& object) {
    std::vector<const JsonMember*> sorted;
    for (const JsonMember& member : object.members) sorted.push_back(&member);
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const JsonMember* a, const JsonMember* b) { return a->key < b->key; });
    for (std::size_t i = 1; i < sorted.size(); ++i) {
      if (sorted[i]->key != sorted[i - 1]->key) continue;
      const TextPlace place = sorted[i]->place;
      throw Refusal{{"json.duplicate-key",
                     "The key \"" + sorted[i]->key +
                         "\" stands twice in this object, first in line " +
                         std::to_string(sorted[i - 1]->place.line) + ".",
                     where(place), "Keep one of them."}};
    }
  }

  std::string where(const TextPlace& place) const {
    return path_ + ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
  }

  void member(JsonValue& result, int depth) {
    if (peek() != '"')
      refuse("json.syntax", "A key in double quotes is expected here", "Write \"key\": value.");
    JsonMember entry;
    entry.place = place_of(at_);
    entry.key = string();
    skip_space();
    if (peek() != ':') refuse("json.syntax", "A ':' is expected after the key", "");
    ++at_;
    skip_space();
    entry.value = value(depth + 1);
    result.members.push_back(std::move(entry));
  }

  double number() {
    const std::size_t start = at_;
    const auto digits = [&] {
      if (!is_digit(peek()))
        refuse("json.number", "This is not a number as JSON writes it",
               "Write 0.5, not .5 or 5. ; a length with a unit goes in quotes: \"600 mm\".");
      while (is_digit(peek())) ++at_;
    };
    if (peek() == '-') ++at_;
    if (peek() == '0') {
      ++at_;
    } else {
      digits();
    }
    if (is_digit(peek()))
      refuse("json.number", "A number may not start with 0 and another digit", "Drop the 0.");
    if (peek() == '.') ++at_, digits();
    if (peek() == 'e' || peek() == 'E') {
      ++at_;
      if (peek() == '+' || peek() == '-') ++at_;
      digits();
    }
    return to_double(start);
  }

  double to_double(std::size_t start) {
    double found = 0;
    const auto read = std::from_chars(text_.data() + start, text_.data() + at_, found);
    if (read.ec == std::errc::result_out_of_range || !std::isfinite(found)) {
      const std::string_view token = text_.substr(start, at_ - start);
      const std::size_t exponent = token.find_first_of("eE");
      const bool tiny = exponent != std::string_view::npos && token.substr(exponent + 1, 1) == "-";
      if (tiny) return 0.0;  // nearer to nothing than a double can tell
      refuse_at(start, "json.number", "This number is too large to be held", "Check its exponent.");
    }
    return found;
  }

  std::uint32_t four_hex() {
    std::uint32_t code = 0;
    const std::string_view digits = text_.substr(std::min(at_, text_.size()), 4);
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), code, 16);
    if (digits.size() < 4 || read.ptr != digits.data() + 4)
      refuse("json.syntax", "\\u needs four hexadecimal digits", "");
    at_ += 4;
    return code;
  }

  void escape(std::string& out) {
    constexpr std::string_view kLetters = "\"\\/bfnrt";
    constexpr std::string_view kMeaning = "\"\\/\b\f\n\r\t";
    const char c = peek();
    if (const auto index = kLetters.find(c); c != '\0' && index != std::string_view::npos) {
      out += kMeaning[index];
      ++at_;
      return;
    }
    if (c != 'u')
      refuse("json.syntax", "A backslash must be followed by one of \" \\ / b f n r t u",
             "Write \\\\ for a backslash; in paths use /.");
    ++at_;
    std::uint32_t code = four_hex();
    const bool high = code >= 0xD800 && code < 0xDC00;
    if (high && text_.substr(at_, 2) == "\\u") {
      at_ += 2;
      const std::uint32_t low = four_hex();
      if (low < 0xDC00 || low > 0xDFFF)
        refuse("json.encoding", "Half of a surrogate pair is missing", "");
      code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
    } else if (code >= 0xD800 && code < 0xE000) {
      refuse("json.encoding", "Half of a surrogate pair is missing", "");
    }
    append_utf8(out, code);
  }

  std::string string() {
    const std::size_t start = at_++;
    std::string out;
    for (;;) {
      if (at_ >= text_.size())
        refuse_at(start, "json.syntax", "This text has no closing quote", "Add a \".");
      const char c = text_[at_];
      if (c == '"') break;
      if (static_cast<unsigned char>(c) < 0x20)
        refuse_at(c == '\n' ? start : at_, "json.syntax",
                  "A line break or control character stands inside a text",
                  "Is a closing quote missing? Write \\n for a line break.");
      ++at_;
      if (c == '\\')
        escape(out);
      else
        out += c;
    }
    ++at_;
    return out;
  }

  std::string_view text_;
  const std::string& path_;
  std::size_t at_ = 0;
  std::size_t known_at_ = 0;
  TextPlace known_;
};

}  // namespace

const JsonValue* JsonValue::find(std::string_view key) const {
  for (const JsonMember& member : members)
    if (member.key == key) return &member.value;
  return nullptr;
}

const char* to_string(JsonValue::Kind kind) {
  constexpr std::array<const char*, 6> kNames = {"null",   "true or false", "a number",
                                                 "a text", "a list",        "an object"};
  return kNames[static_cast<std::size_t>(kind)];
}

Result<JsonValue> parse_json(std::string_view text, const std::string& path) {
  try {
    return Parser(text, path).document();
  } catch (Refusal& refusal) {
    return std::move(refusal.error);
  }
}

const JsonValue* at_pointer(const JsonValue& root, std::string_view pointer) {
  const JsonValue* here = &root;
  while (here != nullptr && !pointer.empty()) {
    pointer.remove_prefix(1);
    const std::string_view step = pointer.substr(0, pointer.find('/'));
    pointer.remove_prefix(step.size());
    if (here->kind == JsonValue::Kind::array) {
      std::size_t index = 0;
      const auto read = std::from_chars(step.data(), step.data() + step.size(), index);
      const bool valid = read.ptr == step.data() + step.size() && index < here->items.size();
      here = valid ? &here->items[index] : nullptr;
      continue;
    }
    const JsonValue* next = nullptr;
    for (const JsonMember& member : here->members)
      if (pointer_step(member.key) == step) next = &member.value;
    here = next;
  }
  return here;
}

std::string pointer_step(std::string_view key) {
  std::string step;
  for (const char c : key) {
    if (c == '~')
      step += "~0";
    else if (c == '/')
      step += "~1";
    else
      step += c;
  }
  return step;
}

std::string json_quoted(std::string_view text) {
  constexpr char kHex[] = "0123456789abcdef";
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20) {
      out += "\\u00";
      out += kHex[byte >> 4];
      out += kHex[byte & 15];
    } else {
      out += c;
    }
  }
  return out + '"';
}

}  // namespace roomloom
