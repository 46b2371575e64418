#pragma once

#include <string>
#include <vector>

#include "base/result.h"

namespace roomloom::cutting {

/// A published instance: one kind of stock, as many as needed, all of one price.
struct Instance {
  std::string name;
  double capacity = 0;
  std::vector<double> lengths;
};

/// Reads one of these, told apart by the shape of the text:
/// - OR-Library bin packing: number of instances, then for each its name, "capacity n best", sizes
/// - cutting stock: capacity, then rows of "length demand"; or number of rows, capacity, rows
/// - one size a line: n and capacity (in this order or the other), then n sizes
/// @error `instance.unreadable`, `instance.syntax`
Result<std::vector<Instance>> read_instances(const std::string& path);

}  // namespace roomloom::cutting
