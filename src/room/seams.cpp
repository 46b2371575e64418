#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "geometry/arc.h"
#include "room/sheets.h"

namespace roomloom {
namespace {

constexpr double kGap = 0.010, kShortest = 0.02;
/// Tiles along a wall lie on an angle of 19 to 24 mm fixed to it, and need not reach it: common
/// practice, no source.
constexpr double kTrimGap = 0.025;  // with how far the trim is from the tiles' face
constexpr double kToldGap = 0.1;    // a wider one is no slip of whoever modelled the room

bool is_ceiling_at_wall(const Sheet& a, const Sheet& b) {
  const auto are = [&](SheetRole one, SheetRole other) { return a.role == one && b.role == other; };
  return are(SheetRole::suspended_ceiling, SheetRole::wall) ||
         are(SheetRole::wall, SheetRole::suspended_ceiling);
}

struct Edge {
  Vec3 from, to;
  Vec3 inward;  // in the sheet's plane, into its region
};

std::vector<Edge> edges_of(const Sheet& sheet) {
  std::vector<Edge> edges;
  for (const Ring& ring : region_of(sheet.region)) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3 a = sheet.frame.to_world(ring[i]);
      const Vec3 b = sheet.frame.to_world(ring[(i + 1) % ring.size()]);
      if (distance(a, b) < 1e-6) continue;
      edges.push_back({a, b, cross(sheet.frame.n, normalized(b - a))});
    }
  }
  return edges;
}

Box3 box_of(const Sheet& sheet) {
  Box3 box;
  for (const Vec2& p : sheet.region.outline) box.add(sheet.frame.to_world(p));
  return box;
}

struct Piece {
  Vec3 from, to, inward_a, inward_b;
  double gap = 0;
};

// The stretch along `a` over which `b` runs beside it within the tolerance.
std::optional<Piece> beside(const Edge& a, const Edge& b, double tolerance) {
  const Vec3 d = normalized(a.to - a.from);
  const Vec3 e = normalized(b.to - b.from);
  if (norm(cross(d, e)) > 0.035) return std::nullopt;
  double t0 = dot(b.from - a.from, d), t1 = dot(b.to - a.from, d);
  if (t0 > t1) std::swap(t0, t1);
  t0 = std::max(t0, 0.0);
  t1 = std::min(t1, distance(a.from, a.to));
  if (t1 - t0 < kShortest) return std::nullopt;
  const auto off = [&](const Vec3& p) {
    const Vec3 r = p - b.from;
    return norm(r - dot(r, e) * e);
  };
  const Vec3 p0 = a.from + t0 * d, p1 = a.from + t1 * d;
  const double gap = std::max(off(p0), off(p1));
  if (gap > tolerance) return std::nullopt;
  return Piece{p0, p1, a.inward, b.inward, gap};
}

// Stretches of an edge that end in the middle of the other sheet.
void ends_on(const Edge& edge, const Sheet& a, const Sheet& b, double tolerance,
             std::vector<Piece>& pieces) {
  const double h0 = b.frame.height(edge.from), h1 = b.frame.height(edge.to);
  if (std::max(std::abs(h0), std::abs(h1)) > tolerance) return;
  const Vec3 d = edge.to - edge.from;
  const auto inside =
      inside_pieces(b.region, b.frame.to_plane(edge.from), b.frame.to_plane(edge.to));
  for (const auto& [t0, t1] : inside) {
    if ((t1 - t0) * norm(d) < kShortest) continue;
    const Vec3 p0 = edge.from + t0 * d, p1 = edge.from + t1 * d;
    const Vec2 middle = b.frame.to_plane(0.5 * (p0 + p1));
    if (border_distance(b.region, middle) <= tolerance) continue;  // beside() has it
    Vec3 inward = cross(b.frame.n, normalized(d));
    if (dot(inward, a.frame.n) < 0) inward = -inward;
    pieces.push_back({p0, p1, edge.inward, inward, std::max(std::abs(h0), std::abs(h1))});
  }
}

// Onto the line in which both planes meet.
Vec3 onto_both(const Vec3& p, const Sheet& a, const Sheet& b) {
  const double c = dot(a.frame.n, b.frame.n), s2 = 1 - c * c;
  if (s2 < 0.01) return p;
  const double ha = a.frame.height(p), hb = b.frame.height(p);
  return p - ((ha - hb * c) / s2) * a.frame.n - ((hb - ha * c) / s2) * b.frame.n;
}

Seam seam_of(int ia, int ib, const Sheet& a, const Sheet& b, const Piece& piece) {
  Seam seam;
  seam.a = ia;
  seam.b = ib;
  seam.from = onto_both(piece.from, a, b);
  seam.to = onto_both(piece.to, a, b);
  seam.gap_m = piece.gap < 1e-4 ? 0 : piece.gap;
  const Vec3 d = normalized(seam.to - seam.from);
  const auto square = [&](const Vec3& t) { return normalized(t - dot(t, d) * d); };
  const Vec3 ta = square(piece.inward_a), tb = square(piece.inward_b);
  const double angle = angle_between(ta, tb);
  const bool flat = dot(a.frame.n, b.frame.n) > 0.9998;
  seam.dihedral_rad = flat ? kPi : dot(a.frame.n, tb) > 0 ? angle : 2 * kPi - angle;
  seam.convex = seam.dihedral_rad > kPi + 0.02;
  return seam;
}

// Joins pieces of one line that touch or overlap.
void merge(std::vector<Seam>& seams) {
  std::vector<Seam> merged;
  for (const Seam& seam : seams) {
    bool joined = false;
    for (Seam& home : merged) {
      const Vec3 d = normalized(home.to - home.from);
      const auto off = [&](const Vec3& p) {
        const Vec3 r = p - home.from;
        return norm(r - dot(r, d) * d);
      };
      if (off(seam.from) > 2 * kGap || off(seam.to) > 2 * kGap) continue;
      if (std::abs(home.dihedral_rad - seam.dihedral_rad) > 0.1) continue;
      double t0 = dot(seam.from - home.from, d), t1 = dot(seam.to - home.from, d);
      if (t0 > t1) std::swap(t0, t1);
      const double length = distance(home.from, home.to);
      if (t0 > length + 1e-3 || t1 < -1e-3) continue;
      const Vec3 start = home.from;
      home.from = start + std::min(0.0, t0) * d;
      home.to = start + std::max(length, t1) * d;
      home.gap_m = std::max(home.gap_m, seam.gap_m);
      joined = true;
      break;
    }
    if (!joined) merged.push_back(seam);
  }
  seams = std::move(merged);
}

std::vector<Seam> seams_between(int ia, int ib, const Room& room,
                                const std::vector<std::vector<Edge>>& edges, double gap_m) {
  const Sheet& a = room.sheets[static_cast<std::size_t>(ia)];
  const Sheet& b = room.sheets[static_cast<std::size_t>(ib)];
  const double tolerance = gap_m + a.residual_m + b.residual_m + 1e-6;
  std::vector<Piece> pieces;
  for (const Edge& ea : edges[static_cast<std::size_t>(ia)]) {
    for (const Edge& eb : edges[static_cast<std::size_t>(ib)])
      if (const auto piece = beside(ea, eb, tolerance)) pieces.push_back(*piece);
    ends_on(ea, a, b, tolerance, pieces);
  }
  std::vector<Piece> reverse;
  for (const Edge& eb : edges[static_cast<std::size_t>(ib)]) ends_on(eb, b, a, tolerance, reverse);
  for (Piece& piece : reverse) {
    std::swap(piece.inward_a, piece.inward_b);
    pieces.push_back(piece);
  }
  // No trim joins a ceiling to what is behind its face: to the wall above its tiles' thickness.
  std::erase_if(pieces, [&](const Piece& piece) {
    return piece.gap > kGap + a.residual_m + b.residual_m + 1e-6 &&
           dot(a.frame.n, piece.inward_b) * dot(b.frame.n, piece.inward_a) < 0;
  });
  std::vector<Seam> seams;
  for (const Piece& piece : pieces) seams.push_back(seam_of(ia, ib, a, b, piece));
  std::erase_if(seams, [](const Seam& s) { return distance(s.from, s.to) < kShortest; });
  merge(seams);
  return seams;
}

/// A ceiling that all but reaches a wall: no cable gets from the one to the other.
void tell_apart(const std::vector<Seam>& near, const Sheet& a, const Sheet& b, const Job& job,
                Room& room) {
  const auto nearest = std::min_element(
      near.begin(), near.end(), [](const Seam& l, const Seam& r) { return l.gap_m < r.gap_m; });
  const auto length = [&](double metres) { return format_length(metres, job.units, 4); };
  room.warnings.push_back("\"" + a.name + "\" and \"" + b.name + "\" miss each other by " +
                          length(nearest->gap_m) + ": that is more than the " + length(kTrimGap) +
                          " of a trim, so they are taken for apart, and nothing is led from the "
                          "one to the other. Close the gap in the model if there is none.");
}

}  // namespace

void find_seams(const Job& job, Room& room) {
  constexpr int kMostWarnings = 8, kMostApart = 6;
  int gaps = 0, apart = 0;
  double widest_untold = 0;
  std::vector<std::vector<Edge>> edges;
  std::vector<Box3> boxes;
  for (const Sheet& sheet : room.sheets) {
    edges.push_back(edges_of(sheet));
    boxes.push_back(box_of(sheet).grown(kToldGap + sheet.residual_m));
  }
  const int count = static_cast<int>(room.sheets.size());
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      const Sheet& sa = room.sheets[static_cast<std::size_t>(a)];
      const Sheet& sb = room.sheets[static_cast<std::size_t>(b)];
      if (!boxes[static_cast<std::size_t>(a)].overlaps(boxes[static_cast<std::size_t>(b)]))
        continue;
      if (sa.front_air != sb.front_air || dot(sa.frame.n, sb.frame.n) < -0.999) continue;
      const bool on_trim = is_ceiling_at_wall(sa, sb);
      const auto seams = seams_between(a, b, room, edges, on_trim ? kTrimGap : kGap);
      if (on_trim && seams.empty()) {
        const auto near = seams_between(a, b, room, edges, kToldGap);
        if (!near.empty() && ++apart <= kMostApart) tell_apart(near, sa, sb, job, room);
      }
      double widest = 0;
      for (const Seam& seam : seams) {
        room.seams.push_back(seam);
        widest = std::max(widest, seam.gap_m);
      }
      if (widest < 0.0005 || widest <= sa.residual_m + sb.residual_m) continue;
      if (++gaps > kMostWarnings) {
        widest_untold = std::max(widest_untold, widest);
        continue;
      }
      room.warnings.push_back("\"" + sa.name + "\" and \"" + sb.name + "\" miss each other by " +
                              format_length(widest, job.units, 4) + "; they are taken to meet.");
    }
  }
  if (apart > kMostApart)
    room.warnings.push_back(std::to_string(apart - kMostApart) +
                            " more ceilings miss a wall by more than a trim; they are taken for "
                            "apart, too.");
  if (gaps > kMostWarnings)
    room.warnings.push_back(
        std::to_string(gaps - kMostWarnings) + " more pairs of sheets miss each other, by up to " +
        format_length(widest_untold, job.units, 4) + "; they are taken to meet.");
}

}  // namespace roomloom
