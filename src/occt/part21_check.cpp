#include "occt/part21_check.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace roomloom {
namespace {

constexpr int kDeepestNesting = 64;
/// Some programs write 2.E+100 for "without end".
constexpr double kLargestNumber = 1e150;

struct Fault {
  std::size_t at;
  std::string what;
};

bool is_space(char c) { return c == ' ' || (c >= '\t' && c <= '\r') || c == '\0'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '_'; }

struct Instance {
  std::uint32_t id;
  std::size_t at;           ///< where in the text
  std::size_t first_refer;  ///< into the list of references
};

/// One pass over the text; throws Fault at the first thing that is wrong.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  void scan() {
    skip_space();
    expect_word("ISO-10303-21");
    expect(';');
    expect_word("HEADER");
    expect(';');
    header();
    while (true) {
      const std::size_t start = at_;
      const std::string_view section = word();
      if (section == "END-ISO-10303-21") break;
      if (section == "DATA") {
        if (peek() == '(') parameters(nullptr);
        expect(';');
        data();
        ++data_sections_;
      } else if (section == "REFERENCE" || section == "ANCHOR" || section == "SIGNATURE") {
        unsupported_ = section;
        return;
      } else {
        throw Fault{start, "Expected DATA or END-ISO-10303-21"};
      }
    }
    expect(';');
    if (data_sections_ == 0) throw Fault{at_, "There is no DATA section"};
  }

  std::string_view unsupported() const { return unsupported_; }
  const std::vector<Instance>& instances() const { return instances_; }
  const std::vector<std::uint32_t>& references() const { return references_; }
  const std::map<std::string_view, std::uint32_t>& keywords() const { return keywords_; }
  const std::string& schema() const { return schema_; }

 private:
  void header() {
    while (true) {
      const std::size_t start = at_;
      const std::string_view keyword = word();
      if (keyword.empty()) throw Fault{start, "The HEADER section is not ended"};
      if (keyword == "ENDSEC") break;
      std::string first_string;
      parameters(&first_string);
      expect(';');
      if (keyword == "FILE_SCHEMA") schema_ = first_string.substr(0, first_string.find(' '));
    }
    expect(';');
  }

  void data() {
    while (true) {
      if (peek() != '#') {
        expect_word("ENDSEC");
        expect(';');
        return;
      }
      const std::size_t start = at_;
      instances_.push_back({reference(), start, references_.size()});
      expect('=');
      if (peek() == '(') {
        complex_instance();
      } else {
        keyword_with_parameters();
      }
      expect(';');
    }
  }

  void complex_instance() {
    expect('(');
    while (peek() != ')') keyword_with_parameters();
    expect(')');
  }

  void keyword_with_parameters() {
    const std::size_t start = at_;
    const std::string_view keyword = word();
    if (keyword.empty()) throw Fault{start, "Expected the name of an entity"};
    ++keywords_[keyword];
    parameters(nullptr);
  }

  /// A bracketed list, however nested, without recursion: the nesting is the file's to choose.
  void parameters(std::string* first_string) {
    int depth = 0;
    bool wants_value = true;
    do {
      const char c = peek();
      if (c == '(') {
        if (!wants_value && depth > 0) throw Fault{at_, "Expected ',' or ')'"};
        if (++depth > kDeepestNesting) throw Fault{at_, "Lists are nested too deeply"};
        next();
        wants_value = true;
      } else if (c == ')') {
        --depth;
        next();
        wants_value = false;
      } else if (depth == 0) {
        throw Fault{at_, "Expected '('"};
      } else if (c == ',') {
        if (wants_value) throw Fault{at_, "A value is missing before ','"};
        next();
        wants_value = true;
      } else {
        if (!wants_value) throw Fault{at_, "Expected ',' or ')'"};
        wants_value = value(first_string);
      }
    } while (depth > 0);
  }

  /// One value; true when it was the name of a typed parameter, whose list follows.
  bool value(std::string* first_string) {
    const char c = text_[at_];
    if (c == '\'') {
      const std::string_view content = quoted('\'');
      if (first_string != nullptr && first_string->empty()) *first_string = content;
    } else if (c == '"') {
      quoted('"');
    } else if (c == '#') {
      references_.push_back(reference());
    } else if (c == '$' || c == '*') {
      next();
    } else if (c == '.') {
      enumeration();
    } else if (is_digit(c) || c == '+' || c == '-') {
      number();
    } else if (is_letter(c) || c == '!') {
      word();
      if (peek() != '(') throw Fault{at_, "Expected '(' after a type's name"};
      return true;
    } else if (c == '<') {
      throw Fault{at_, "References into other files are not supported"};
    } else {
      throw Fault{at_, "Expected a value"};
    }
    return false;
  }

  std::string_view quoted(char quote) {
    const std::size_t start = at_ + 1;
    std::size_t end = start;
    while (true) {
      end = text_.find(quote, end);
      if (end == std::string_view::npos) throw Fault{at_, "A text in quotes is not ended"};
      if (quote == '\'' && end + 1 < text_.size() && text_[end + 1] == quote) {
        end += 2;
        continue;
      }
      break;
    }
    at_ = end + 1;
    skip_space();
    return text_.substr(start, end - start);
  }

  void enumeration() {
    const std::size_t start = at_++;
    while (at_ < text_.size() && (is_letter(text_[at_]) || is_digit(text_[at_]))) ++at_;
    if (at_ >= text_.size() || text_[at_] != '.') throw Fault{start, "A word in dots is not ended"};
    next();
  }

  void number() {
    const std::size_t start = at_;
    const auto part_of_number = [](char c) {
      return is_digit(c) || c == '+' || c == '-' || c == '.' || c == 'E' || c == 'e';
    };
    while (at_ < text_.size() && part_of_number(text_[at_])) ++at_;
    std::string_view digits = text_.substr(start, at_ - start);
    if (digits.front() == '+') digits.remove_prefix(1);
    double parsed = 0;
    const auto [end, status] =
        std::from_chars(digits.data(), digits.data() + digits.size(), parsed);
    const bool whole = end == digits.data() + digits.size();
    const bool integer = digits.find_first_of(".eE") == std::string_view::npos;
    // A number too small for a double is as good as 0; one whose square overflows is refused.
    const bool too_small = status == std::errc::result_out_of_range &&
                           digits.find_first_of("eE") + 1 < digits.size() &&
                           digits[digits.find_first_of("eE") + 1] == '-';
    const bool readable = whole && (status == std::errc() || too_small);
    if (!readable || std::abs(parsed) > kLargestNumber)
      throw Fault{start, "'" + std::string(digits.substr(0, 40)) + "' is not a usable number"};
    if (integer && std::abs(parsed) > std::numeric_limits<std::int32_t>::max())
      throw Fault{start, "'" + std::string(digits.substr(0, 40)) + "' is too large an integer"};
    skip_space();
  }

  std::uint32_t reference() {
    const std::size_t start = at_++;
    std::uint32_t id = 0;
    const auto [end, status] = std::from_chars(text_.data() + at_, text_.data() + text_.size(), id);
    if (status != std::errc() || id > std::numeric_limits<std::int32_t>::max())
      throw Fault{start, "'#' is not followed by a number of an instance"};
    at_ = static_cast<std::size_t>(end - text_.data());
    skip_space();
    return id;
  }

  std::string_view word() {
    const std::size_t start = at_;
    if (at_ < text_.size() && text_[at_] == '!') ++at_;
    while (at_ < text_.size() &&
           (is_letter(text_[at_]) || is_digit(text_[at_]) || text_[at_] == '-'))
      ++at_;
    const std::string_view found = text_.substr(start, at_ - start);
    skip_space();
    return found;
  }

  void expect_word(std::string_view wanted) {
    const std::size_t start = at_;
    if (word() != wanted) throw Fault{start, "Expected " + std::string(wanted)};
  }

  void expect(char wanted) {
    if (peek() != wanted) throw Fault{at_, std::string("Expected '") + wanted + "'"};
    next();
  }

  char peek() const {
    if (at_ >= text_.size()) throw Fault{at_, "The file ends too early"};
    return text_[at_];
  }

  void next() {
    ++at_;
    skip_space();
  }

  void skip_space() {
    while (at_ < text_.size()) {
      if (is_space(text_[at_])) {
        ++at_;
      } else if (text_.substr(at_, 2) == "/*") {
        const std::size_t end = text_.find("*/", at_ + 2);
        if (end == std::string_view::npos) throw Fault{at_, "A comment is not ended"};
        at_ = end + 2;
      } else {
        return;
      }
    }
  }

  std::string_view text_;
  std::size_t at_ = 0;
  int data_sections_ = 0;
  std::string schema_;
  std::string_view unsupported_;
  std::vector<Instance> instances_;
  std::vector<std::uint32_t> references_;
  std::map<std::string_view, std::uint32_t> keywords_;
};

/// Who refers to whom, by position in `order` (instances sorted by id).
struct ReferenceGraph {
  std::vector<Instance> order;
  std::vector<std::size_t> first;  ///< per instance: its first entry in `targets`
  std::vector<std::uint32_t> targets;
};

std::size_t position_of(const std::vector<Instance>& order, std::uint32_t id) {
  const auto found = std::lower_bound(order.begin(), order.end(), id,
                                      [](const Instance& a, std::uint32_t b) { return a.id < b; });
  if (found == order.end() || found->id != id) return order.size();
  return static_cast<std::size_t>(found - order.begin());
}

/// Resolves every reference; throws Fault for one that leads nowhere and for a number used twice.
ReferenceGraph resolve(const Scanner& scanner) {
  const std::vector<Instance>& instances = scanner.instances();
  ReferenceGraph graph{instances, {}, {}};
  std::stable_sort(graph.order.begin(), graph.order.end(),
                   [](const Instance& a, const Instance& b) { return a.id < b.id; });
  for (std::size_t i = 1; i < graph.order.size(); ++i)
    if (graph.order[i].id == graph.order[i - 1].id)
      throw Fault{graph.order[i].at, "#" + std::to_string(graph.order[i].id) + " is used twice"};

  std::vector<std::size_t> last_of(graph.order.size());
  for (std::size_t i = 0; i < instances.size(); ++i)
    last_of[position_of(graph.order, instances[i].id)] =
        i + 1 < instances.size() ? instances[i + 1].first_refer : scanner.references().size();
  for (std::size_t i = 0; i < graph.order.size(); ++i) {
    graph.first.push_back(graph.targets.size());
    for (std::size_t r = graph.order[i].first_refer; r < last_of[i]; ++r) {
      const std::uint32_t id = scanner.references()[r];
      const std::size_t target = position_of(graph.order, id);
      if (target == graph.order.size())
        throw Fault{graph.order[i].at, "#" + std::to_string(graph.order[i].id) + " refers to #" +
                                           std::to_string(id) + ", which does not exist"};
      graph.targets.push_back(static_cast<std::uint32_t>(target));
    }
  }
  graph.first.push_back(graph.targets.size());
  return graph;
}

/// Depth-first, without recursion; throws Fault at the first instance that leads back to itself.
void refuse_circles(const ReferenceGraph& graph) {
  enum : char { unseen, open, done };
  std::vector<char> state(graph.order.size(), unseen);
  std::vector<std::pair<std::size_t, std::size_t>> stack;  // instance, next of its targets
  for (std::size_t root = 0; root < graph.order.size(); ++root) {
    if (state[root] == unseen) stack.emplace_back(root, graph.first[root]);
    while (!stack.empty()) {
      auto& [node, next] = stack.back();
      state[node] = open;
      if (next == graph.first[node + 1]) {
        state[node] = done;
        stack.pop_back();
        continue;
      }
      const std::size_t target = graph.targets[next++];
      if (state[target] == open)
        throw Fault{graph.order[node].at, "#" + std::to_string(graph.order[node].id) +
                                              " leads back to itself through #" +
                                              std::to_string(graph.order[target].id)};
      if (state[target] == unseen) stack.emplace_back(target, graph.first[target]);
    }
  }
}

Error syntax_error(std::string_view text, const Fault& fault, const std::string& file) {
  const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(fault.at, text.size()));
  const auto line = 1 + std::count(text.begin(), end, '\n');
  return {"model.syntax",
          "The STEP text is damaged at line " + std::to_string(line) + ": " + fault.what + ".",
          file, "Export the model again, or load and save it with a CAD program."};
}

}  // namespace

std::uint32_t Part21Facts::count(std::initializer_list<std::string_view> keywords) const {
  std::uint32_t sum = 0;
  for (const std::string_view keyword : keywords) {
    const auto found = entities.find(std::string(keyword));
    if (found != entities.end()) sum += found->second;
  }
  return sum;
}

Result<Part21Facts> check_part21(std::string_view text, const std::string& file) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  Scanner scanner(text);
  try {
    scanner.scan();
    if (!scanner.unsupported().empty())
      return Error{"model.unsupported",
                   "The STEP file has a section " + std::string(scanner.unsupported()) +
                       ", which is not supported.",
                   file, "Export it as AP203, AP214 or AP242 in a single file."};
    refuse_circles(resolve(scanner));
  } catch (const Fault& fault) {
    return syntax_error(text, fault, file);
  }
  Part21Facts facts;
  facts.schema = scanner.schema();
  for (const auto& [keyword, times] : scanner.keywords()) facts.entities.emplace(keyword, times);
  for (const Instance& instance : scanner.instances())
    facts.last_id = std::max(facts.last_id, instance.id);
  return facts;
}

}  // namespace roomloom
