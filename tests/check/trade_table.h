#pragma once

#include <set>
#include <string>
#include <vector>

#include "check/trade_rooms.h"

/// The table of all checks: for each a job whose plan passes it and one whose plan fails it, both
/// sketched, planned, written and judged; the two differ in one fact. What a check says beyond that
/// is tested beside these files.
namespace roomloom::testing {

/// A check with its two rooms.
struct Row {
  const char* id;
  TradeRoom (*room)(bool fails);
  /// What the job says when the written plan is judged: null = what it was planned by. Only where
  /// planning itself keeps the rule without exception.
  Json (*later)(const TradeRoom& room, bool fails) = nullptr;
};

/// A run "A" from a port to an end.
Json run_of(const char* from, const char* to, const char* cable);

/// The cable of runs A and B made as thick: what "cables" of a job holds.
Json loudspeaker_cable(const char* diameter, const char* bend_radius);

/// A coil on the wall behind a seat that comes to within 50 or 420 mm of it.
TradeRoom coil_behind_seat(bool fails);
/// A run over the floor to a subwoofer that stands so far from the left wall.
TradeRoom over_floor(double away);

/// A ceiling tile of 600 mm, up to x = 2.4, in which someone cut a hole.
TradeRoom cut_hole_room(double x, double diameter);

std::vector<Row> rows_of_ways();   ///< signals, pulling, room in ways, support and separation
std::vector<Row> rows_of_rooms();  ///< jackets, building, living, listening, and of every plan
/// Those that no job makes fail: a hand that spoils the written files does (file_table_test.cpp).
std::set<std::string> checks_of_files();

/// A check's id as tests may be named by it.
std::string name_of_row(std::string id);

}  // namespace roomloom::testing
