#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace roomloom {

/// What a cable carries. A track edge may be closed to some of them (a bit each).
enum class Service : std::uint8_t {
  loudspeaker,
  line_level,
  network,
  picture,
  television,
  fibre,
  control,
  mains
};
constexpr int kServiceCount = 8;
constexpr std::uint32_t service_bit(Service s) { return 1U << static_cast<unsigned>(s); }
const char* to_string(Service service);

/// A kind of cable. Lengths in metres, 20 degrees Celsius where it matters.
struct CableType {
  std::string id;  ///< what a job names: "speaker 2x2.5"
  Service service = Service::loudspeaker;
  std::string series;         ///< row of sizes that an open gauge is chosen from: "awg", "mm2"
  std::string build;          ///< of a picture cable: "passive", "active" or "optical"
  double rate_gbps = 0;       ///< greatest, of a picture cable; 0 = not stated
  bool screened = false;      ///< has a screen
  double diameter_m = 0.006;  ///< outer; of a flat cable the larger side
  /// Least radius of the cable's centreline, fixed and while pulled. A data sheet that states the
  /// radius of the inside of the bend asks for half a diameter more: add it when entering the
  /// value.
  double bend_radius_m = 0.03;
  double pull_bend_radius_m = 0.06;
  int conductors = 2;
  double conductor_area_m2 = 0;     ///< 0 = not stated
  double resistance_ohm_per_m = 0;  ///< one conductor, direct current, 20 degrees
  double capacitance_f_per_m = 0;
  double mass_kg_per_m = 0.1;
  double pull_limit_n = 0;       ///< 0 = none stated
  double greatest_length_m = 0;  ///< 0 = none (network link 90 m, passive picture cables by rate)
  double head_width_m = 0,
         head_height_m = 0;  ///< moulded connector that must pass a hole; 0 = fitted after
  bool directional = false;
  std::vector<std::string> jacket_marks;  ///< "CL2", "CM", "CMP", ...
  std::vector<std::string> colours;
  std::vector<double> put_ups_m;  ///< lengths as sold
  double price_per_m = 0;         ///< money, invented unless the job says otherwise
  std::string source;             ///< where the figures are from
};

/// What a hole must let pass: the diagonal of the cable's moulded head, metres; 0 = it has none.
inline double head_diagonal_m(const CableType& cable) {
  return std::hypot(cable.head_width_m, cable.head_height_m);
}

/// A size of surface raceway. Outer width lies along the sheet, outer depth away from it.
struct RacewayType {
  std::string id;                                       ///< "25 x 16"
  double width_m = 0.025, depth_m = 0.016;              ///< outer
  double inner_width_m = 0.022, inner_depth_m = 0.014;  ///< clear
  /// Clear cross-section that a fill limit is taken of: the published cable capacity divided by the
  /// space factor it was published at. What may lie in it is usable_area_m2 * fill limit.
  double usable_area_m2 = 0;
  double stock_length_m = 3;
  std::vector<std::string> colours;  ///< as sold; empty = not stated
  double price_per_m = 0, price_fitting = 0, price_end = 0;
  std::string source;
};

/// A support for cables in a void.
struct HookType {
  std::string id;
  double bundle_m = 0;  ///< greatest bundle it holds
  double load_kg = 0;   ///< greatest load; 0 = not stated
  double price = 0;
  std::string source;
};

/// What dresses or seals a hole.
struct GrommetType {
  std::string id;
  std::string kind = "grommet";  ///< "grommet", "fire seal" or "plate"
  double hole_m = 0;             ///< to cut for it
  double passes_m = 0;           ///< greatest bundle that passes
  double price = 0;
  std::string source;
};

/// A kind of ceiling tile.
struct TileType {
  std::string id;
  double size_u_m = 0.6, size_v_m = 0.6;  ///< of the grid
  double thickness_m = 0.015;
  double mass_kg_per_m2 = 0;  ///< 0 = not stated
  double price = 0;
  std::string source;
};

/// A fitting of surface raceway, of any of its sizes.
struct FittingType {
  std::string id;
  std::string kind;        ///< "inside corner", "flat elbow", "tee", "end cap", ...
  double radius_m = 0;     ///< of its inner wall; 0 = mitred
  double price_share = 1;  ///< of RacewayType::price_fitting
  std::string source;
};

/// Names and figures of materials; the job may add to them or override them.
struct Catalogue {
  std::vector<CableType> cables;
  std::vector<RacewayType> raceways;  ///< ascending by usable area
  std::vector<HookType> hooks;        ///< ascending by bundle
  std::vector<GrommetType> grommets;  ///< ascending by what passes
  std::vector<TileType> tiles;
  std::vector<FittingType> fittings;
  /// The cable that a run gets which names only a service; "speaker" leaves a gauge open.
  std::vector<std::pair<Service, std::string>> favourites;

  /// Empty if there is none.
  std::string favourite(Service service) const;
  const CableType* cable(const std::string& id) const;
};

}  // namespace roomloom
