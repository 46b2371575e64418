#pragma once

#include <vector>

#include "types/annotation.h"

namespace roomloom {

/// A cross-section of a tube: where it is and how it is turned. `along` and `across` are unit and
/// square to each other.
struct TubeRing {
  Vec3 centre, along, across;
  /// across, or a quarter turn further round `along`.
  Vec3 at(double angle_rad) const;
};

/// Pieces that follow each other smoothly, so that one solid can be swept along them.
/// Collinear lines are one piece.
struct TubeChain {
  std::vector<Piece> pieces;
  std::vector<TubeRing> rings;  ///< one more than pieces: turned as the sweep turns them
};

struct TubeChains {
  std::vector<TubeChain> chains;
  int kinks = 0;        ///< corners without an arc
  int tight_bends = 0;  ///< arcs no wider than the tube: drawn as their chord, a piece of its own
};

/// The centreline without pieces of no length, and with collinear lines joined.
std::vector<Piece> tidied(const std::vector<Piece>& pieces);

/// Cuts a tube where no single solid could be swept.
TubeChains tube_chains(const Tube& tube);

/// v turned about the unit axis by the right-hand rule.
Vec3 turned(const Vec3& v, const Vec3& axis, double angle_rad);
/// Any unit vector square to the unit vector d, the same one each time.
Vec3 square_to(const Vec3& d);

Vec3 piece_from(const Piece& piece);
Vec3 piece_to(const Piece& piece);

}  // namespace roomloom
