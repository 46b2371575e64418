#pragma once

#include <string>
#include <vector>

#include "interview/interview.h"

// What first_answer assumes where nobody knows; nothing else includes it.
namespace roomloom {

/// What is not known and bears on this room: a void whose depth follows from two heights does not.
std::vector<Question> unknown_here(const Answers& answers, const HouseHabits& habits);

/// Everything that was not known or not asked, with what was taken for it.
std::string assumptions_text(const Answers& answers, const HouseHabits& habits);

}  // namespace roomloom
