#pragma once

#include <optional>
#include <string_view>

namespace roomloom::trade {

/// Where a cable lies, as far as its jacket is concerned.
enum class JacketSpace {
  open_room,
  ordinary_void,  ///< a ceiling void or wall that moves no air for heating or cooling
  riser,          ///< from storey to storey
  air_void  ///< moves air for heating or cooling: "plenum" in the code's sense (NEC 300.22(C))
};

/// How a mark ranks: plenum over riser over general over the X types of homes.
enum class JacketRank { limited, general, riser, plenum };
/// What it was tested for: communications may replace the power-limited classes 3 and 2.
enum class JacketFamily { class_2, class_3, communications, fibre };

struct JacketMark {
  JacketFamily family = JacketFamily::class_2;
  JacketRank rank = JacketRank::general;
};

/// "CMP", "CL2R", "CM", "CL3X", "OFNP", "OFN" ...; none for other marks (Euroclasses, say).
std::optional<JacketMark> jacket_mark(std::string_view mark);

/// Whether a cable marked `have` may lie where `wanted` is asked for: P > R > general > X, and CM >
/// CL3 > CL2 of the same rank; fibre only for fibre. Source: substitution list of 1996
/// (what-when-how.com LAN-Wiring-127; Handbook for Sound Engineers ch. 14).
bool may_replace(const JacketMark& have, const JacketMark& wanted);

/// Whether the mark suffices for the space. An X type in a void only if thinner than a quarter of
/// an inch (homes). Source: as above; 300.22(C) by cablestogo.com.
bool jacket_suffices(const JacketMark& mark, JacketSpace space, double diameter_m);

/// Greatest voltage of classes 2 and 3. Source: rhumbarlv.com. The amplifier's marking says which
/// class its output is (NEC 640.9(C)).
constexpr double kClass2Volts = 150, kClass3Volts = 300;
constexpr double kLimitedDiameter_m = 0.00635;

}  // namespace roomloom::trade
