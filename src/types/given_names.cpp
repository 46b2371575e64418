#include "types/given_names.h"

#include <algorithm>
#include <set>

namespace roomloom {

int highest_number(const std::string& prefix, const std::vector<std::string>& names) {
  constexpr std::size_t kMostDigits = 6;
  int highest = 0;
  for (const std::string& name : names) {
    if (!name.starts_with(prefix)) continue;
    const std::string digits = name.substr(prefix.size());
    if (digits.empty() || digits.size() > kMostDigits ||
        digits.find_first_not_of("0123456789") != std::string::npos)
      continue;
    highest = std::max(highest, std::stoi(digits));
  }
  return highest;
}

std::vector<std::string> with_new_names(const std::string& prefix, std::vector<std::string> had,
                                        const std::vector<std::string>& given) {
  int number = std::max(highest_number(prefix, given), highest_number(prefix, had));
  std::set<std::string> used;
  for (std::string& name : had)
    if (name.empty() || !used.insert(name).second) name = prefix + std::to_string(++number);
  return had;
}

}  // namespace roomloom
