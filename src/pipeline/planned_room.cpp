#include "pipeline/roomloom.h"

namespace roomloom {

PlannedRoom::PlannedRoom() = default;
PlannedRoom::PlannedRoom(const PlannedRoom&) = default;
PlannedRoom::PlannedRoom(PlannedRoom&&) noexcept = default;
PlannedRoom& PlannedRoom::operator=(const PlannedRoom&) = default;
PlannedRoom& PlannedRoom::operator=(PlannedRoom&&) noexcept = default;
PlannedRoom::~PlannedRoom() = default;

}  // namespace roomloom
