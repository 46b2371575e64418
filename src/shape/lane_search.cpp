#include "shape/lane_search.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

#include "geometry/arc.h"
#include "shape/place_lane.h"
#include "shape/raceway_choice.h"
#include "shape/stays.h"

namespace roomloom {
namespace {

constexpr double kSameLine = 1 - 1e-9;
constexpr double kFurthest = 12;   // diameters: cables beyond are no obstacle
constexpr double kTogether = 0.3;  // share of their spread that cables keep in a hole
constexpr double kOutward = 0.7;   // diameters: those that leave first lie so much further out

// A cable that has its lane, on a leg of some other chain.
struct PlacedLeg {
  std::size_t path = 0;
  int chain = -1;
  Segment cable;
  Box3 box;
};

class LaneSearch {
 public:
  LaneSearch(const std::vector<LanePath>& paths, const Chains& chains, const Room& room,
             const Ends& ends, const Tracks& tracks, const Vec3& anchor)
      : paths_(paths), chains_(chains), room_(room), ends_(ends), tracks_(tracks), anchor_(anchor) {
    for (const LanePath& path : paths) {
      offsets_.emplace_back(path.path.edges.size());
      placed_.emplace_back(path.path.edges.size(), false);
    }
  }

  LaneOffsets run() {
    raceway_of_ = choose_raceways(paths_, chains_);
    for (std::size_t c = 0; c < chains_.chains.size(); ++c) fill(static_cast<int>(c));
    return std::move(offsets_);
  }

 private:
  const Section& section(int s) const { return chains_.sections[static_cast<std::size_t>(s)]; }
  Vec2 in_section(const Chain& chain, const Vec3& offset) const {
    return {dot(offset, chain.axes[0]), dot(offset, chain.axes[1])};
  }
  static Vec3 in_room(const Chain& chain, const Vec2& at) {
    return at.x * chain.axes[0] + at.y * chain.axes[1];
  }

  // The neighbour of a stay along its path, behind what is loose and what goes straight on without
  // a lane so far.
  struct Neighbour {
    std::size_t edge = 0;
    bool beyond_loose = false;
  };
  std::optional<Neighbour> neighbour(std::size_t path, std::size_t edge, bool after) const {
    Neighbour found{edge, false};
    while (after ? found.edge + 1 < paths_[path].path.edges.size() : found.edge > 0) {
      found.edge += after ? 1 : static_cast<std::size_t>(-1);
      const bool loose = chains_.section_at(path, found.edge) < 0;
      const bool straight_on = !loose &&
                               chains_.chain_at(path, found.edge) == chains_.chain_at(path, edge) &&
                               !placed_[path][found.edge];
      if (!loose && !straight_on) return found;
      found.beyond_loose = found.beyond_loose || loose;
    }
    return std::nullopt;
  }

  // What the lane on edge `from` asks of edge `to` next to it: the same level across the plane of
  // the bend between them, and in that plane as far outside.
  Wish wish_of(const Chain& chain, std::size_t path, std::size_t edge, const Neighbour& from,
               bool after) const {
    const Vec3& offset = offsets_[path][from.edge];
    const Vec3 a =
        (after ? -1.0 : 1.0) * direction_of(paths_[path], from.edge);        // towards the bend
    const Vec3 b = (after ? -1.0 : 1.0) * direction_of(paths_[path], edge);  // away from it
    const Vec3 turn = cross(a, b);
    Wish wish;
    if (norm(turn) < kStraightRad) {
      wish.at = in_section(chain, offset);
      if (!from.beyond_loose) wish.kind = Wish::Kind::both;
      return wish;
    }
    const Vec3 level = normalized(turn);
    const Vec3 outside_before = normalized(dot(b, a) * a - b);
    const Vec3 outside_after = normalized(a - dot(a, b) * b);
    wish.at =
        in_section(chain, dot(offset, level) * level + dot(offset, outside_before) * outside_after);
    if (from.beyond_loose) wish.at = in_section(chain, offset);
    if (!from.beyond_loose) wish.kind = Wish::Kind::along_axis;
    wish.axis = in_section(chain, level);
    return wish;
  }

  std::vector<Wish> wishes_for(const Chain& chain, std::size_t path, std::size_t first,
                               std::size_t last) const {
    std::vector<Wish> wishes;
    for (const bool after : {false, true}) {
      const std::size_t edge = after ? last : first;
      const auto next = neighbour(path, edge, after);
      if (next && placed_[path][next->edge])
        wishes.push_back(wish_of(chain, path, edge, *next, after));
    }
    return wishes;
  }

  // Where a cable would lie by itself: on the track; but where it shares a raceway in a corner of
  // it, and in a bundle to the side, towards where it leaves.
  Vec2 resting_place(const Chain& chain, const Stay& stay, const LaneTask& task) const {
    if (!stay.shared) return {};
    const Vec3 mid = 0.5 * (paths_[stay.path].path.points[stay.first] +
                            paths_[stay.path].path.points[stay.last + 1]);
    double at[2] = {0, 0};
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const Vec3& way = chain.axes[axis];
      const double leaves = dot(stay.leaves, way);
      const auto [low, high] = free_along(task.limits, way);
      if (std::isfinite(stay.room_m2) && std::isfinite(low) && std::isfinite(high)) {
        // The first axis of a raceway's section is square to its sheet: the back is the low side
        // of an axis that looks into the room.
        double towards = dot(anchor_ - mid, way);
        if (axis == 0) towards = dot(sheet_normal(stay), way) > 0 ? -1 : 1;
        if (axis == 1 && std::fabs(leaves) > kLeavesAside) towards = leaves;
        at[axis] = towards > 0 ? high : low;
      } else {
        const double out = kOutward * std::sqrt(stay.order) * task.diameter_m;
        at[axis] = std::fabs(leaves) > kLeavesAside ? std::copysign(out, leaves) : 0;
      }
    }
    return {at[0], at[1]};
  }

  Vec3 sheet_normal(const Stay& stay) const {
    for (std::size_t i = stay.first; i <= stay.last; ++i) {
      const int edge = paths_[stay.path].path.edges[i].edge;
      const Sheet* sheet = sheet_of(tracks_.edges[static_cast<std::size_t>(edge)], room_);
      if (sheet != nullptr) return sheet->frame.n;
    }
    return {0, 0, 1};
  }

  static std::optional<Segment> core(const Segment& whole, double reach) {
    const double length = distance(whole.a, whole.b);
    if (length <= 2 * reach) return std::nullopt;
    const Vec3 way = (reach / length) * (whole.b - whole.a);
    return Segment{whole.a + way, whole.b - way};
  }

  // Cables of other chains that come near the way of this one, outside fittings.
  void add_others(LaneTask& task, int index, std::size_t path, const Segment& way) const {
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    Box3 box;
    box.add(way.a);
    box.add(way.b);
    box = box.grown(kFurthest * task.diameter_m);
    for (const PlacedLeg& leg : legs_) {
      if (leg.chain == index || leg.path == path || !box.overlaps(leg.box)) continue;
      const double other = paths_[leg.path].diameter_m;
      const double need = 0.5 * (task.diameter_m + other);
      const double reach = kFittingReach * std::max(task.diameter_m, other);
      const auto mine = core(way, reach);
      const auto theirs = core(leg.cable, reach);
      if (!mine || !theirs) continue;
      const Vec3 theirs_way = normalized(theirs->b - theirs->a);
      if (std::fabs(dot(theirs_way, chain.along)) < kSameLine) {
        task.across.push_back({*theirs, *mine, need});
        continue;
      }
      const double a = dot(theirs->a - mine->a, chain.along);
      const double b = dot(theirs->b - mine->a, chain.along);
      const double length = dot(mine->b - mine->a, chain.along);
      if (std::max(a, b) < std::min(0.0, length) || std::min(a, b) > std::max(0.0, length))
        continue;
      task.beside.push_back({in_section(chain, theirs->a - mine->a), need});
    }
  }

  LaneTask task_for(int index, const Stay& stay) const {
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    const LanePath& path = paths_[stay.path];
    LaneTask task;
    task.diameter_m = path.diameter_m;
    task.axes = chain.axes;
    for (std::size_t i = stay.first; i <= stay.last; ++i) {
      task.limits.push_back(path.limits[i].in_one_raceway(raceway_of_[stay.path][i]));
      const Section& here = section(chains_.section_at(stay.path, i));
      for (const Member& other : here.members) {
        if (other.path == stay.path || !placed_[other.path][other.edge]) continue;
        task.keep_off({in_section(chain, offsets_[other.path][other.edge]),
                       0.5 * (path.diameter_m + paths_[other.path].diameter_m)});
      }
      add_others(task, index, stay.path, {path.path.points[i], path.path.points[i + 1]});
    }
    task.wishes = wishes_for(chain, stay.path, stay.first, stay.last);
    task.target = resting_place(chain, stay, task);
    task.from_anchor =
        0.5 * (path.path.points[stay.first] + path.path.points[stay.last + 1]) - anchor_;
    task.obstruction = [this, &path, stay](const Vec3& offset) {
      return obstructed(path, stay, offset);
    };
    return task;
  }

  double obstructed(const LanePath& path, const Stay& stay, const Vec3& offset) const {
    double worst = 0;
    for (std::size_t i = stay.first; i <= stay.last; ++i) {
      if (path.rigid[i]) continue;
      const int edge = path.path.edges[i].edge;
      const Segment track{path.path.points[i], path.path.points[i + 1]};
      worst = std::max(
          worst, obstruction(tracks_.edges[static_cast<std::size_t>(edge)].home, track,
                             {track.a + offset, track.b + offset}, path.diameter_m, room_, ends_));
    }
    return worst;
  }

  void keep(const Stay& stay, const Vec3& offset) {
    for (std::size_t i = stay.first; i <= stay.last; ++i) {
      offsets_[stay.path][i] = offset;
      placed_[stay.path][i] = true;
    }
  }

  void forget(const Stay& stay) {
    for (std::size_t i = stay.first; i <= stay.last; ++i) placed_[stay.path][i] = false;
  }

  void fill(int index) {
    const std::vector<Stay> stays = find_stays(paths_, chains_, index);
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    std::vector<int> full;
    const bool hole =
        std::any_of(stays.begin(), stays.end(), [](const Stay& s) { return s.rigid; });
    if (hole) gather(index, stays);
    for (const Stay& stay : stays) {
      if (hole && stay.rigid) continue;
      const FoundLane found = find_lane(task_for(index, stay));
      if (found.free)
        keep(stay, in_room(chain, found.at));
      else
        place_by_section(index, stay, full);
    }
    std::sort(full.begin(), full.end());
    full.erase(std::unique(full.begin(), full.end()), full.end());
    for (const int s : full) pack_anew(index, s);
    remember(index);
  }

  // One section after the other, those with the least room first.
  void place_by_section(int index, const Stay& stay, std::vector<int>& full) {
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    std::vector<Stay> parts;
    for (std::size_t i = stay.first; i <= stay.last; ++i) {
      Stay part = stay_of(paths_, chains_, {stay.path, i});
      part.leaves = stay.leaves;
      part.order = stay.order;
      parts.push_back(part);
    }
    std::stable_sort(parts.begin(), parts.end(), [&](const Stay& a, const Stay& b) {
      const auto key = [&](const Stay& s) {
        return std::tuple(
            s.room_m2,
            -static_cast<int>(section(chains_.section_at(s.path, s.first)).members.size()),
            -s.length_m);
      };
      return key(a) < key(b);
    });
    for (const Stay& part : parts) {
      const FoundLane found = find_lane(task_for(index, part));
      keep(part, in_room(chain, found.at));
      if (!found.free) full.push_back(chains_.section_at(part.path, part.first));
    }
  }

  bool ends_at_tip(const Stay& stay) const {
    return stay.first == 0 || stay.last + 1 == paths_[stay.path].path.edges.size();
  }

  // Cables come together in a hole: each keeps its side of the others, and its level across the
  // plane of the next bend.
  void gather(int index, const std::vector<Stay>& stays) {
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    std::vector<std::pair<LaneTask, const Stay*>> tasks;
    Vec2 middle;
    for (const Stay& stay : stays) {
      if (!stay.rigid) continue;
      LaneTask task = task_for(index, stay);
      for (const Wish& wish : task.wishes)
        task.target = (1.0 / static_cast<double>(task.wishes.size())) * wish.at +
                      (&wish == &task.wishes.front() ? Vec2{} : task.target);
      middle = middle + task.target;
      tasks.emplace_back(std::move(task), &stay);
    }
    middle = (1.0 / static_cast<double>(tasks.size())) * middle;
    std::stable_sort(tasks.begin(), tasks.end(), [&](const auto& a, const auto& b) {
      const auto away = [&](const LaneTask& task) {
        return std::llround(norm(task.target - middle) * 1e6);
      };
      return away(a.first) < away(b.first);
    });
    for (const auto& [before, stay] : tasks) {
      LaneTask task = task_for(index, *stay);
      task.target = tasks.size() > 1 ? kTogether * (before.target - middle) : Vec2{};
      std::erase_if(task.wishes, [](const Wish& w) { return w.kind != Wish::Kind::along_axis; });
      if (ends_at_tip(*stay)) {
        // A step aside right behind the hole would be a kink: no bend fits between it and the tip.
        task.wishes.clear();
        task.target = {};
      }
      for (Wish& wish : task.wishes) {
        wish.at = task.target + dot(wish.at - task.target, wish.axis) * wish.axis;
        task.target = wish.at;
      }
      keep(*stay, in_room(chain, find_lane(task).at));
    }
    bundle_up(chain, tasks);
  }

  void bundle_up(const Chain& chain, const std::vector<std::pair<LaneTask, const Stay*>>& tasks) {
    std::map<int, std::vector<std::size_t>> holes;
    for (std::size_t k = 0; k < tasks.size(); ++k)
      holes[chains_.section_at(tasks[k].second->path, tasks[k].second->first)].push_back(k);
    for (const auto& [section, members] : holes) {
      std::vector<const LaneTask*> cables;
      std::vector<Vec2> now;
      for (const std::size_t k : members) {
        const Stay& stay = *tasks[k].second;
        cables.push_back(&tasks[k].first);
        now.push_back(in_section(chain, offsets_[stay.path][stay.first]));
      }
      const auto places = bundled(cables, now);
      for (std::size_t i = 0; i < places.size(); ++i)
        keep(*tasks[members[i]].second, in_room(chain, places[i]));
    }
  }

  // All members of a section from the first, thickest first, without regard to where they come
  // from; then cables of one size change places where that brings them nearer to it.
  void pack_anew(int index, int s) {
    const Chain& chain = chains_.chains[static_cast<std::size_t>(index)];
    std::vector<Stay> parts;
    std::vector<Vec3> before;
    for (const Member& member : section(s).members) {
      Stay part = stay_of(paths_, chains_, member);
      part.leaves = {};
      parts.push_back(part);
    }
    std::stable_sort(parts.begin(), parts.end(), [&](const Stay& a, const Stay& b) {
      return paths_[a.path].diameter_m > paths_[b.path].diameter_m + 1e-9;
    });
    for (const Stay& part : parts) before.push_back(offsets_[part.path][part.first]);
    for (const Stay& part : parts) forget(part);
    bool all_free = true;
    for (const Stay& part : parts) {
      LaneTask task = task_for(index, part);
      task.wishes.clear();
      const FoundLane found = find_lane(task);
      all_free = all_free && found.free;
      keep(part, in_room(chain, found.at));
    }
    if (!all_free) {
      for (std::size_t i = 0; i < parts.size(); ++i) keep(parts[i], before[i]);
      return;
    }
    exchange_places(parts, before);
  }

  void exchange_places(const std::vector<Stay>& parts, const std::vector<Vec3>& wanted) {
    const auto away = [&](std::size_t who, std::size_t where) {
      return distance(wanted[who], offsets_[parts[where].path][parts[where].first]);
    };
    for (bool better = true; better;) {
      better = false;
      for (std::size_t i = 0; i < parts.size(); ++i)
        for (std::size_t j = i + 1; j < parts.size(); ++j) {
          const double di = paths_[parts[i].path].diameter_m;
          const double dj = paths_[parts[j].path].diameter_m;
          if (std::fabs(di - dj) > 1e-9) continue;
          if (raceway_of_[parts[i].path][parts[i].first] !=
              raceway_of_[parts[j].path][parts[j].first])
            continue;
          if (away(i, j) + away(j, i) >= away(i, i) + away(j, j) - 1e-9) continue;
          std::swap(offsets_[parts[i].path][parts[i].first],
                    offsets_[parts[j].path][parts[j].first]);
          better = true;
        }
    }
  }

  void remember(int index) {
    for (const int s : chains_.chains[static_cast<std::size_t>(index)].sections)
      for (const Member& member : section(s).members) {
        const Vec3& offset = offsets_[member.path][member.edge];
        const std::vector<Vec3>& points = paths_[member.path].path.points;
        PlacedLeg leg{member.path,
                      index,
                      {points[member.edge] + offset, points[member.edge + 1] + offset},
                      {}};
        leg.box.add(leg.cable.a);
        leg.box.add(leg.cable.b);
        legs_.push_back(leg);
      }
  }

  const std::vector<LanePath>& paths_;
  const Chains& chains_;
  const Room& room_;
  const Ends& ends_;
  const Tracks& tracks_;
  const Vec3 anchor_;
  LaneOffsets offsets_;
  std::vector<std::vector<bool>> placed_;
  std::vector<std::vector<int>> raceway_of_;  // by path and edge: of those side by side
  std::vector<PlacedLeg> legs_;
};

}  // namespace

LaneOffsets search_lanes(const std::vector<LanePath>& paths, const Chains& chains, const Room& room,
                         const Ends& ends, const Tracks& tracks, const Vec3& anchor) {
  return LaneSearch(paths, chains, room, ends, tracks, anchor).run();
}

}  // namespace roomloom
