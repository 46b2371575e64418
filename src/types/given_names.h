#pragma once

#include <string>
#include <vector>

namespace roomloom {

/// The highest number of names such as "H12", the prefix being "H"; 0 if none is of that form.
int highest_number(const std::string& prefix, const std::vector<std::string>& names);

/// Names for things in their order: those that they had (`had`, "" = none), each once; the others
/// get "H13", "H14", .. beyond all names that were ever given, so that a name that is written on a
/// sheet or a tile never comes to mean another thing.
/// @param given  all names known from before, of things that are no more too
std::vector<std::string> with_new_names(const std::string& prefix, std::vector<std::string> had,
                                        const std::vector<std::string>& given);

}  // namespace roomloom
