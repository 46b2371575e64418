#include <algorithm>
#include <cmath>

#include "network/model.h"

// A model of sizes without them, for ascents and the simplex: lines below what sizes cost.

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

struct Line {
  double fixed = 0;
  double slope = 0;
};

/// A load and what it costs at least; lines must not pass above.
struct Corner {
  double load = 0;
  double price = 0;
};

/// The least load, and the far ends of all steps that loads can need.
std::vector<Corner> corners_of(const std::vector<SizeStep>& steps, double least, double all) {
  std::vector<Corner> corners;
  for (const SizeStep& step : steps) {
    if (step.capacity < least) continue;
    if (corners.empty()) corners.push_back({least, step.price});
    corners.push_back({std::min(step.capacity, all), step.price});
    if (step.capacity >= all) break;
  }
  return corners;
}

/// The line below all corners that is highest at a load; `own`: what the edge costs besides.
Line line_below(const std::vector<Corner>& corners, double own, double load) {
  Line best{corners.front().price, 0};
  for (const Corner& corner : corners) best.fixed = std::min(best.fixed, corner.price);
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (std::size_t j = i + 1; j < corners.size(); ++j) {
      if (corners[j].load <= corners[i].load || corners[j].price <= corners[i].price) continue;
      Line line{kInfinity,
                (corners[j].price - corners[i].price) / (corners[j].load - corners[i].load)};
      for (const Corner& corner : corners)
        line.fixed = std::min(line.fixed, corner.price - line.slope * corner.load);
      if (line.fixed < -own) continue;
      const double gain = line.fixed + line.slope * load - best.fixed - best.slope * load;
      if (gain > 1e-12) best = line;
    }
  return best;
}

void add_slope(std::size_t edge, double slope, Model& relaxed) {
  for (Profile& profile : relaxed.profiles)
    for (const std::size_t arc : {2 * edge, 2 * edge + 1})
      profile.cost[arc] += slope * profile.load;
}

/// A charge's sizes as lines of one slope: by level, what each of its edges pays besides.
struct SizeLines {
  std::vector<double> fixed;
  double slope = 0;
};

/// What a charge's sizes cost for one level, at the loads where that rises.
std::vector<Corner> corners_of(const std::vector<ChargeSize>& sizes, std::uint32_t level,
                               double least, double all) {
  std::vector<Corner> corners;
  const auto add = [&](double load) {
    corners.push_back({load, price_of_size(sizes, load, level)});
  };
  add(least);
  for (const ChargeSize& size : sizes)
    if (size.capacity > least && size.capacity < all) add(size.capacity);
  add(all);
  return corners;
}

/// Of the lines of one slope those that are highest at a load and for the levels of some plan.
SizeLines lines_below(const std::vector<ChargeSize>& sizes, double own, double least, double all,
                      double load, std::uint32_t levels) {
  std::vector<std::vector<Corner>> corners;
  std::uint32_t every = 0;
  for (const ChargeSize& size : sizes) every |= ~size.levels;
  int count = 1;
  while (count < 32 && (every >> count) != 0) ++count;
  for (int level = 0; level < count; ++level)
    corners.push_back(corners_of(sizes, std::uint32_t{1} << level, least, all));
  const auto lines_of = [&](double slope) {
    SizeLines lines{{}, slope};
    for (const std::vector<Corner>& list : corners) {
      double& fixed = lines.fixed.emplace_back(kInfinity);
      for (const Corner& corner : list) fixed = std::min(fixed, corner.price - slope * corner.load);
    }
    return lines;
  };
  const auto height = [&](const SizeLines& lines) {
    double fixed = -kInfinity;
    for (std::size_t level = 0; level < lines.fixed.size(); ++level)
      if ((levels >> level) & 1U) fixed = std::max(fixed, lines.fixed[level]);
    return fixed + lines.slope * load;
  };
  SizeLines best = lines_of(0);
  const std::vector<Corner> used = corners_of(sizes, levels, least, all);
  for (std::size_t i = 0; i < used.size(); ++i)
    for (std::size_t j = i + 1; j < used.size(); ++j) {
      if (used[j].load <= used[i].load || used[j].price <= used[i].price) continue;
      const SizeLines lines =
          lines_of((used[j].price - used[i].price) / (used[j].load - used[i].load));
      if (*std::min_element(lines.fixed.begin(), lines.fixed.end()) < -own) continue;
      if (height(lines) > height(best) + 1e-12) best = lines;
    }
  return best;
}

/// Writes the lists of charges and edges anew, with charges added.
void set_shared(const std::vector<std::vector<int>>& charges_of, Model& relaxed) {
  std::vector<std::vector<int>> edges_of(relaxed.price.size());
  relaxed.shared.clear();
  relaxed.shared_begin.assign(1, 0);
  for (std::size_t e = 0; e < charges_of.size(); ++e) {
    for (const int charge : charges_of[e]) {
      relaxed.shared.push_back(charge);
      edges_of[at(charge)].push_back(static_cast<int>(e));
    }
    relaxed.shared_begin.push_back(static_cast<int>(relaxed.shared.size()));
  }
  relaxed.passes.assign(relaxed.shared.size(), 0);  // of no use to ascents
  relaxed.charge_edges.clear();
  relaxed.charge_edges_begin.assign(1, 0);
  for (const std::vector<int>& edges : edges_of) {
    relaxed.charge_edges.insert(relaxed.charge_edges.end(), edges.begin(), edges.end());
    relaxed.charge_edges_begin.push_back(static_cast<int>(relaxed.charge_edges.size()));
  }
}

void relax_sizes(const Model& model, const std::vector<double>& loads, double least, double all,
                 Model& relaxed) {
  std::vector<std::vector<int>> charges_of(model.own.size());
  for (std::size_t e = 0; e < model.own.size(); ++e)
    charges_of[e].assign(model.shared.begin() + model.shared_begin[e],
                         model.shared.begin() + model.shared_begin[e + 1]);
  for (std::size_t g = 0; g < model.price.size(); ++g) {
    if (model.charge_sizes[g].empty()) continue;
    const auto begin = model.charge_edges.begin() + model.charge_edges_begin[g];
    const std::vector<int> edges(begin,
                                 model.charge_edges.begin() + model.charge_edges_begin[g + 1]);
    double load = 0;
    std::uint32_t levels = 0;
    for (const int e : edges) {
      load += loads[at(e)];
      if (loads[at(e)] > 0) levels |= model.level_of(at(e));
    }
    if (levels == 0) levels = model.level_of(at(edges.front()));
    const SizeLines lines = lines_below(model.charge_sizes[g], model.price[g], least, all,
                                        std::max(load, least), levels);
    const auto fixed_of = [&](int e) {
      const auto level = at(model.problem->edges[at(e)].level);
      return lines.fixed[std::min(level, lines.fixed.size() - 1)];
    };
    std::vector<double> heights;
    for (const int e : edges) {
      heights.push_back(fixed_of(e));
      add_slope(at(e), lines.slope, relaxed);
    }
    std::sort(heights.begin(), heights.end());
    heights.erase(std::unique(heights.begin(), heights.end()), heights.end());
    relaxed.price[g] += heights.front();
    relaxed.charge_sizes[g].clear();
    for (std::size_t i = 1; i < heights.size(); ++i) {
      for (const int e : edges)
        if (fixed_of(e) >= heights[i])
          charges_of[at(e)].push_back(static_cast<int>(relaxed.price.size()));
      relaxed.price.push_back(heights[i] - heights[i - 1]);
      relaxed.charge_sizes.emplace_back();
    }
  }
  relaxed.has_sized = false;
  set_shared(charges_of, relaxed);
}

}  // namespace

Model relax_steps(const Model& model, const std::vector<double>& loads) {
  Model relaxed = model;
  if (!model.is_stepped()) return relaxed;
  relaxed.steps.clear();
  double all = 0, least = kInfinity;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    all += model.load(static_cast<int>(k));
    least = std::min(least, model.load(static_cast<int>(k)));
  }
  for (std::size_t e = 0; e < model.own.size(); ++e) {
    if (!model.has_steps(e)) continue;
    const std::vector<Corner> corners = corners_of(model.steps[e], least, all);
    if (corners.empty()) continue;
    const Line line = line_below(corners, model.own[e], std::max(loads[e], least));
    relaxed.own[e] += line.fixed;
    add_slope(e, line.slope, relaxed);
  }
  if (model.has_sized) relax_sizes(model, loads, least, all, relaxed);
  return relaxed;
}

}  // namespace roomloom::network
