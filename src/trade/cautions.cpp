#include "trade/cautions.h"

#include <array>

namespace roomloom::trade {
namespace {

constexpr std::array<Caution, 8> kCautions = {{
    {"local-code",
     "Your local code and the people who enforce it stand over all of this. Checks compare with "
     "published figures and common practice; they find conflicts and cannot rule them out.",
     "common practice, no source"},
    {"mains",
     "New outlets and any work on mains are for licensed electricians. Signal cable never shares a "
     "box or a raceway with mains.",
     "NEC 725.136(A) for the second; common practice for the first"},
    {"hidden-services",
     "Scan before you drill: pipes and wires lie behind plaster, above all straight above, below "
     "and beside outlets and switches.",
     "common practice, no source"},
    {"fire",
     "Fire-rated walls and ceilings need a tested sealing system at each hole, not filler alone. "
     "Holes through plates between storeys and bays are sealed too.",
     "IRC R302.11 item 4 (askcodeman.com p=680)"},
    {"old-materials",
     "Ceiling tiles and textured coatings from before 1980 may hold asbestos: do not drill or cut "
     "them before a test. Paint from before 1978 may hold lead.",
     "spray1.com; instceil.blogspot.com 2011/08; diyproject.ai lead-asbestos"},
    {"ladder",
     "Set a leaning ladder one out for four up, keep three contacts, let it reach 0.9 m above a "
     "landing, and do not stand on the top step.",
     "OSHA ladder rules (aconcordcarpenter.com); the top step: 1926.1053(b), from memory"},
    {"drilling", "Wear eye protection and take dust off at the drill.",
     "common practice, no source"},
    {"ceiling-grid",
     "Nothing hangs on ceiling tiles, tees or their wires: cable gets supports of its own, fixed "
     "to "
     "the structure. Never cut a tee.",
     "NEC 300.11 and 800.24 (ecmweb.com/nec/code-qa-36)"},
}};

}  // namespace

std::span<const Caution> cautions() { return kCautions; }

const char* no_conflict_text() {
  return "No conflict found with the published figures and practice that were compared.";
}

}  // namespace roomloom::trade
