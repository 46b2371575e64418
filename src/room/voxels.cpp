#include "room/voxels.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

constexpr int kMargin = 2;

// A triangle in cell units with its main axis last, so that it is a height field over the others.
struct Field {
  std::array<Vec2, 3> corner;
  Vec3 normal;  // of the plane through the corners, main axis last
  double offset = 0;
  std::array<int, 3> axes{};  // field axis -> voxel axis
  double low = 0, high = 0;   // along the main axis
};

Field field_of(const std::array<Vec3, 3>& p) {
  const Vec3 n = cross(p[1] - p[0], p[2] - p[0]);
  int main = 0;
  for (int axis = 1; axis < 3; ++axis)
    if (std::abs(n[axis]) > std::abs(n[main])) main = axis;
  Field f;
  f.axes = {(main + 1) % 3, (main + 2) % 3, main};
  f.normal = {n[f.axes[0]], n[f.axes[1]], n[f.axes[2]]};
  f.low = Box3::kInf;
  f.high = -Box3::kInf;
  for (std::size_t i = 0; i < 3; ++i) {
    f.corner[i] = {p[i][f.axes[0]], p[i][f.axes[1]]};
    f.low = std::min(f.low, p[i][main]);
    f.high = std::max(f.high, p[i][main]);
  }
  f.offset = f.normal.x * f.corner[0].x + f.normal.y * f.corner[0].y + f.normal.z * p[0][main];
  return f;
}

// Separating axes of the triangle's three edges against the unit square at (x, y).
bool square_touches(const Field& f, double x, double y) {
  const double turn = cross(f.corner[1] - f.corner[0], f.corner[2] - f.corner[0]) < 0 ? -1 : 1;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec2 edge = turn * (f.corner[(i + 1) % 3] - f.corner[i]);
    const Vec2 inward{-edge.y, edge.x};
    const Vec2 farthest{inward.x > 0 ? x + 1 : x, inward.y > 0 ? y + 1 : y};
    if (dot(farthest - f.corner[i], inward) < -1e-9) return false;
  }
  return true;
}

// The range along the main axis that the plane takes over the unit square at (x, y).
std::pair<double, double> range_over(const Field& f, double x, double y) {
  if (std::abs(f.normal.z) < 1e-12) return {f.low, f.high};
  const auto at = [&f](double u, double v) {
    return (f.offset - f.normal.x * u - f.normal.y * v) / f.normal.z;
  };
  const double z0 = at(x, y), z1 = at(x + 1, y), z2 = at(x, y + 1), z3 = at(x + 1, y + 1);
  return {std::max(f.low, std::min({z0, z1, z2, z3})),
          std::min(f.high, std::max({z0, z1, z2, z3}))};
}

int floor_cell(double x) { return static_cast<int>(std::floor(x)); }

void block_column(Voxels& voxels, const Field& f, int i, int j) {
  const auto [from, to] = range_over(f, i, j);
  std::array<int, 3> cell{};
  for (int k = floor_cell(from - 1e-9); k <= floor_cell(to + 1e-9); ++k) {
    cell[static_cast<std::size_t>(f.axes[0])] = i;
    cell[static_cast<std::size_t>(f.axes[1])] = j;
    cell[static_cast<std::size_t>(f.axes[2])] = k;
    if (voxels.inside(cell[0], cell[1], cell[2]))
      voxels.blocked[voxels.index(cell[0], cell[1], cell[2])] = 1;
  }
}

// Free cells next to each other along x.
struct Run {
  int from = 0, to = 0, y = 0, z = 0;
  std::uint32_t root = 0;  // a run of the same pocket, or itself
};

std::uint32_t root_of(std::vector<Run>& runs, std::uint32_t run) {
  while (runs[run].root != run) {
    runs[run].root = runs[runs[run].root].root;
    run = runs[run].root;
  }
  return run;
}

void join(std::vector<Run>& runs, std::uint32_t a, std::uint32_t b) {
  a = root_of(runs, a);
  b = root_of(runs, b);
  runs[std::max(a, b)].root = std::min(a, b);  // the earlier one, so that order is kept
}

void join_rows(std::vector<Run>& runs, std::pair<std::size_t, std::size_t> row,
               std::pair<std::size_t, std::size_t> other) {
  std::size_t j = other.first;
  for (std::size_t i = row.first; i < row.second; ++i) {
    while (j < other.second && runs[j].to <= runs[i].from) ++j;
    for (std::size_t k = j; k < other.second && runs[k].from < runs[i].to; ++k)
      join(runs, static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(k));
  }
}

std::vector<Run> joined_runs(const Voxels& voxels) {
  std::vector<Run> runs;
  std::vector<std::pair<std::size_t, std::size_t>> rows;  // of runs, by z * ny + y
  for (int z = 0; z < voxels.nz; ++z) {
    for (int y = 0; y < voxels.ny; ++y) {
      const std::uint8_t* row = &voxels.blocked[voxels.index(0, y, z)];
      const std::size_t first = runs.size();
      for (int x = 0; x < voxels.nx; ++x) {
        if (row[x] != 0) continue;
        const int from = x;
        while (x < voxels.nx && row[x] == 0) ++x;
        runs.push_back({from, x, y, z, static_cast<std::uint32_t>(runs.size())});
      }
      rows.emplace_back(first, runs.size());
      if (y > 0) join_rows(runs, rows.back(), rows[rows.size() - 2]);
      if (z > 0)
        join_rows(runs, rows.back(), rows[rows.size() - 1 - static_cast<std::size_t>(voxels.ny)]);
    }
  }
  return runs;
}

void count_faces(const Voxels& voxels, const Run& run, Pocket& pocket) {
  const auto look = [&](int x, int y, int z) {
    if (!voxels.inside(x, y, z)) {
      pocket.at_border = true;
      return;
    }
    const std::uint8_t cell = voxels.blocked[voxels.index(x, y, z)];
    pocket.faces += cell != 0;
    pocket.open_faces += cell == 2;
  };
  look(run.from - 1, run.y, run.z);
  look(run.to, run.y, run.z);
  for (const auto& [dy, dz] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
    if (!voxels.inside(run.from, run.y + dy, run.z + dz)) {
      pocket.at_border = true;
      continue;
    }
    const std::uint8_t* row = &voxels.blocked[voxels.index(0, run.y + dy, run.z + dz)];
    for (int x = run.from; x < run.to; ++x) {
      pocket.faces += row[x] != 0;
      pocket.open_faces += row[x] == 2;
    }
  }
}

}  // namespace

std::array<int, 3> Voxels::cell_of(const Vec3& p) const {
  const Vec3 local = (p - origin) / cell;
  return {floor_cell(local.x), floor_cell(local.y), floor_cell(local.z)};
}

Voxels voxels_over(const Box3& box, double cell, std::size_t most) {
  Voxels voxels;
  voxels.cell = cell;
  const Vec3 size = box.size();
  for (;;) {
    const double x = std::ceil(size.x / voxels.cell) + 2 * kMargin + 1;
    const double y = std::ceil(size.y / voxels.cell) + 2 * kMargin + 1;
    const double z = std::ceil(size.z / voxels.cell) + 2 * kMargin + 1;
    if (x * y * z <= static_cast<double>(most)) {
      voxels.nx = static_cast<int>(x);
      voxels.ny = static_cast<int>(y);
      voxels.nz = static_cast<int>(z);
      break;
    }
    voxels.cell *= 1.25;
  }
  // Off by a part of a cell, so that planes at round measures do not lie on cell sides.
  voxels.origin = box.low - (kMargin + 0.37) * Vec3{voxels.cell, voxels.cell, voxels.cell};
  const std::size_t count = voxels.index(0, 0, voxels.nz);
  voxels.blocked.assign(count, 0);
  voxels.label.assign(count, -1);
  return voxels;
}

void block_triangle(Voxels& voxels, const Vec3& a, const Vec3& b, const Vec3& c) {
  const std::array<Vec3, 3> local = {(a - voxels.origin) / voxels.cell,
                                     (b - voxels.origin) / voxels.cell,
                                     (c - voxels.origin) / voxels.cell};
  const Field f = field_of(local);
  const std::array<int, 3> counts = {voxels.nx, voxels.ny, voxels.nz};
  const Box2 box = box_of(f.corner);
  const int i0 = std::max(0, floor_cell(box.low.x - 1e-9));
  const int i1 =
      std::min(counts[static_cast<std::size_t>(f.axes[0])] - 1, floor_cell(box.high.x + 1e-9));
  const int j0 = std::max(0, floor_cell(box.low.y - 1e-9));
  const int j1 =
      std::min(counts[static_cast<std::size_t>(f.axes[1])] - 1, floor_cell(box.high.y + 1e-9));
  for (int j = j0; j <= j1; ++j)
    for (int i = i0; i <= i1; ++i)
      if (square_touches(f, i, j)) block_column(voxels, f, i, j);
}

void block_region(Voxels& voxels, const Frame& frame, const Region& region, std::uint8_t value) {
  // Samples closer than a third of a cell meet one of any two neighbours that the plane parts.
  const double step = 0.3 * voxels.cell;
  for (const Polygon& polygon : polygons(grown(region, 0.5 * voxels.cell))) {
    const Box2 box = box_of(polygon.outline);
    for (double y = box.low.y + 0.5 * step; y < box.high.y; y += step) {
      const Vec2 a{box.low.x - 1, y}, b{box.high.x + 1, y};
      for (const auto& [t0, t1] : inside_pieces(polygon, a, b)) {
        const double x1 = a.x + t1 * (b.x - a.x);
        for (double x = a.x + t0 * (b.x - a.x); x <= x1; x += step) {
          const auto [i, j, k] = voxels.cell_of(frame.to_world(Vec2{x, y}));
          if (!voxels.inside(i, j, k)) continue;
          std::uint8_t& cell = voxels.blocked[voxels.index(i, j, k)];
          if (cell == 0) cell = value;
        }
      }
    }
  }
}

std::vector<Pocket> label_pockets(Voxels& voxels) {
  std::fill(voxels.label.begin(), voxels.label.end(), -1);
  std::vector<Run> runs = joined_runs(voxels);
  std::vector<std::int32_t> number(runs.size(), -1);
  std::vector<Pocket> pockets;
  for (std::uint32_t i = 0; i < runs.size(); ++i) {
    const Run& run = runs[i];
    const std::uint32_t root = root_of(runs, i);
    if (number[root] < 0) {
      number[root] = static_cast<std::int32_t>(pockets.size());
      pockets.push_back({});
      pockets.back().first = {run.from, run.y, run.z};
    }
    Pocket& pocket = pockets[static_cast<std::size_t>(number[root])];
    pocket.cells += static_cast<std::size_t>(run.to - run.from);
    pocket.box.add(voxels.centre(run.from, run.y, run.z));
    pocket.box.add(voxels.centre(run.to - 1, run.y, run.z));
    count_faces(voxels, run, pocket);
    const auto first =
        voxels.label.begin() + static_cast<std::ptrdiff_t>(voxels.index(run.from, run.y, run.z));
    std::fill(first, first + (run.to - run.from), number[root]);
  }
  return pockets;
}

std::vector<Vec3> middles_of(const Voxels& voxels, const std::vector<Pocket>& pockets) {
  std::vector<Vec3> middles(pockets.size());
  std::vector<double> least(pockets.size(), Box3::kInf);
  for (int z = 0; z < voxels.nz; ++z) {
    for (int y = 0; y < voxels.ny; ++y) {
      for (int x = 0; x < voxels.nx; ++x) {
        const std::int32_t label = voxels.label[voxels.index(x, y, z)];
        if (label < 0) continue;
        const auto pocket = static_cast<std::size_t>(label);
        const Vec3 at = voxels.centre(x, y, z);
        const double away = distance(at, pockets[pocket].box.centre());
        if (away < least[pocket]) {
          least[pocket] = away;
          middles[pocket] = at;
        }
      }
    }
  }
  return middles;
}

int pocket_at(const Voxels& voxels, const Vec3& point) {
  const auto [x, y, z] = voxels.cell_of(point);
  for (int reach = 0; reach <= 8; ++reach) {
    for (int k = -reach; k <= reach; ++k) {
      for (int j = -reach; j <= reach; ++j) {
        for (int i = -reach; i <= reach; ++i) {
          if (std::max({std::abs(i), std::abs(j), std::abs(k)}) != reach) continue;
          if (!voxels.inside(x + i, y + j, z + k)) continue;
          const std::int32_t label = voxels.label[voxels.index(x + i, y + j, z + k)];
          if (label >= 0) return label;
        }
      }
    }
  }
  return -1;
}

}  // namespace roomloom
