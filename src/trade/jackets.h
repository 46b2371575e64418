#pragma once

#include <optional>
#include <string_view>

namespace roomloom::trade {

/// Where a cable lies, as far as its jacket is concerned.
enum class JacketSpace {
  open_room,
  ordinary_void,  ///< a ceiling void or wall that moves no air for heating or cooling
  air_void  ///< moves air for heating or cooling: "plenum" in the code's sense (NEC 300.22(C))
};

/// How a mark ranks: plenum over riser over general over the X types of homes.
enum class JacketRank { limited, general, riser, plenum };
/// What it was tested for.
enum class JacketFamily { class_2, class_3, communications, fibre };

struct JacketMark {
  JacketFamily family = JacketFamily::class_2;
  JacketRank rank = JacketRank::general;
};

/// "CMP", "CL2R", "CM", "CL3X", "OFNP", "OFN" ...; none for other marks (Euroclasses, say).
std::optional<JacketMark> jacket_mark(std::string_view mark);

/// "Eca" or a better Euroclass of EN 50575 (from memory), which says how a cable burns; which class
/// a building asks for is its country's word.
bool is_euroclass(std::string_view mark);

/// Whether the mark suffices for the space. An X type in a void only if thinner than a quarter of
/// an inch (homes): P > R > general > X. Source: substitution list of 1996 (what-when-how.com
/// LAN-Wiring-127; Handbook for Sound Engineers ch. 14); 300.22(C) by cablestogo.com.
bool jacket_suffices(const JacketMark& mark, JacketSpace space, double diameter_m);

constexpr double kLimitedDiameter_m = 0.00635;

}  // namespace roomloom::trade
