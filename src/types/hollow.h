#pragma once

#include "types/job.h"

namespace roomloom {

/// Furniture, in which cables may lie where the job says so.
inline bool is_hollow(Role role) {
  return role == Role::furniture || role == Role::cupboard || role == Role::seat;
}

}  // namespace roomloom
