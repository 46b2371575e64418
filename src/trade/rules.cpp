#include "trade/rules.h"

#include <array>

namespace roomloom::trade {
namespace {

constexpr const char* kPractice = "common practice, no source";

constexpr std::array kRules = {
    // Signals
    Rule{"loudspeaker-loss",
         "What a loudspeaker's cable takes of the amplifier's voltage over the run's whole cut "
         "length, at the temperature of the job (prefer.temperature, 20 degrees Celsius).",
         "loop = 2 x length x ohm per metre x (1 + 0.00393 (t - 20)); share = loop / impedance; "
         "loss = 20 log10(1 + share) dB; damping = impedance / (amplifier + loop)",
         "share 5 % unless the run says \"loss\" or \"loss_db\"; \"damping\" where it says it",
         "audioroundtable th=15199; 5 %: common practice (axiomaudio posts/294519, 3starinc); "
         "damping 25 advised, 50 better: manualslib.es/manual/7911 p21"},
    Rule{
        "gauge-choice",
        "A run that leaves its gauge open got the smallest cable of its row that keeps every limit "
        "over its cut length. Cable that lies already stays what it is, and is told if it "
        "serves no more.",
        "as loudspeaker-loss, for each cable of the row",
        "the cable of plan.json is the first in order of cross-section that satisfies",
        "as loudspeaker-loss"},
    Rule{"line-roll-off",
         "A line-level cable's capacitance and its source's resistance take off the treble.",
         "loss = 10 log10(1 + (2 pi R C' L f)^2)",
         "1 dB at 20 kHz; source resistance 1 kilohm unless the run says \"source_impedance\"",
         "mh-audio.nl/Calculate-cable.asp; the limit: common practice, no source"},
    Rule{"cable-length", "A run is longer than its type of cable serves.", "",
         "the type's greatest length (catalogue or job)",
         "by the catalogue's source of that cable"},
    Rule{
        "piece-length",
        "A run is one piece from end to end, so some spool or ready-made lead of its cable must be "
        "as long.",
        "cut length",
        "the longest put-up of the type (catalogue or job) or spool of the job's \"stock\"",
        "by the catalogue's source of that cable"},
    Rule{"network-link", "The fixed part of a network link, and link and cords together.",
         "cut length; cut length + \"cords\" (10 m unless said)", "90 m; 100 m",
         "TIA-568 and ISO/IEC 11801, as told by eyby.com"},
    Rule{
        "picture-rate",
        "A picture cable serves the rate that the run asks for (\"picture\"), and a passive one is "
        "short enough for it.",
        "rate = pixel clock x 3 channels x 10 bits, x 1.5 at 12 bit",
        "the cable's rate; passive: 1080p 15 m, at 12 bit 10 m, 4K30 5 m, 4K60 3 m, 48 Gb/s 3 m",
        "practice: CH-2540RX manual p59; network-supply.com"},
    Rule{"signal-direction",
         "A directional cable (active or optical) has a sending and a receiving end; it is to be "
         "pulled with the sending end at the source. labels.csv and pull_order.csv say which end "
         "goes "
         "where; ports whose names say nothing are taken as the job has them, the source at "
         "\"from\".",
         "", "\"signal_from\" of the run, and port names that begin with in or out",
         "network-supply.com HDMI guide"},
    // Pulling
    Rule{"pull-bends",
         "Bends between two places where the way can be opened: in conduits, stud bays and voids "
         "without tiles. Raceway lids and lifted tiles are such places.",
         "sum of the bends' angles", "360 degrees; for network at most two of 90 degrees and 30 m",
         "NEC, forums.bicsi.org Topic1127; TIA-569, r/Bicsi 1oqdott"},
    Rule{"pull-radius",
         "A bend inside a closed way, through which the cable is pulled. At a conduit's mouth one "
         "pulls in line with it, and into a wall's bay lets the cable down by hand; it is laid "
         "round "
         "those bends afterwards.",
         "", "the cable type's bend radius while pulled (catalogue or job)",
         "by the catalogue's source of that cable"},
    Rule{"pull-tension",
         "Estimated pull at the end of a closed way, for cables whose greatest pull is known.",
         "T = T + m g (f L + rise) along a straight, T = T e^(f angle) at a bend; friction f 0.5 "
         "(prefer.pull_friction)",
         "the cable type's greatest pull; four pairs: 110 N",
         "capstan equation, from memory; 110 N: etcconnect.com UTP practices"},
    // Room in ways
    Rule{"raceway-fill", "Cross-section of the cables in a piece of surface raceway.",
         "sum of pi d^2 / 4 over the clear cross-section (published capacity / its space factor)",
         "prefer.fill_limit, 40 %; above 100 %, or where one is thicker than the raceway's lesser "
         "inside measure, they cannot lie in it at all",
         "TIA-569 40 % (r/Bicsi 1oqdott); capacities: storage.electrika.com/flips/0290 p42"},
    Rule{"conduit-fill", "Cross-section of the cables in a conduit, those in it already included.",
         "sum of pi d^2 / 4 over pi D^2 / 4", "53 % for one cable, 31 % for two, 40 % for more",
         "NEC chapter 9, table 1"},
    Rule{"conduit-jam", "Three equal cables in a conduit can line up in a bend and wedge.",
         "inside diameter / cable diameter", "none between 2.8 and 3.2",
         "NEC chapter 9, table 1, informational note"},
    Rule{"hole-fill", "A hole is too small for the cables that pass it.",
         "no circle below max(d1 + d2, root of the sum of d^2, packing ratio x d) holds them",
         "the hole's diameter", "en.wikipedia.org/wiki/Circle_packing_in_a_circle"},
    Rule{"head-passes",
         "The moulded head of a cable passes the hole, beside the cables whose heads have passed "
         "before; and the conduit that it is pulled through.",
         "diagonal of the head + bundle of the headed cables before it", "the hole's diameter",
         "geometry; head sizes by the catalogue's source of that cable"},
    Rule{"spare-capacity",
         "What the job asks to keep free (\"spare\") still fits the holes, raceways and conduits "
         "that its companions pass.",
         "fill as in raceway-fill and conduit-fill, holes by the bundle with the spare cables; "
         "heads "
         "where they shall be fitted",
         "the same limits", "as raceway-fill, conduit-fill, hole-fill"},
    // Support and separation
    Rule{"support-spacing", "Distance along a run in a void between its supports.", "",
         "1.52 m (60 in)", "TIA-569-A 4.6.5: 48 to 60 in (cablinginstall.com 16466910)"},
    Rule{
        "support-structure",
        "Each support can be fixed to the structure: a deck, ceiling, beam or wall is near it. The "
        "ceiling grid and its wires carry no cable.",
        "", "something other than tiles within 1.5 m above or 0.3 m beside",
        "NEC 300.11 and 800.24 (ecmweb.com/nec/code-qa-36); the distances are settings of the "
        "check"},
    Rule{"tile-clearance",
         "Clearance of cable above ceiling tiles. Cable that rests on tiles keeps them from being "
         "lifted and loads the grid. Who wants it all the same says prefer.lay_on_tiles.",
         "distance straight down from the cable's underside to the suspended ceiling",
         "75 mm (3 in); resting: below 10 mm", "BICSI TDMM (Panduit p8-10rht6-t p112)"},
    Rule{"bundle-size", "Cables on one support.", "", "24", "montana.edu/uit/wiringguidelines"},
    Rule{
        "power-separation",
        "A signal run beside mains: how near, for how long, and at which angle it crosses.",
        "for each point of the run the distance to the power part, and the angle between the two",
        "alongside (nearer than 60 degrees to parallel) for more than 0.5 m: network and line "
        "level "
        "200 mm from unscreened mains, 50 mm if ours is screened, 30 mm if the mains is; all "
        "others 50 mm; where the job's rule of the part, or the model, says of how many "
        "\"circuits\" "
        "they are, 20 mm for up to 3, 100 mm for 15, 200 mm for 30, and half of it if ours is "
        "screened or they are; an end with its loop or coil, at whatever angle, 50 mm; the job's "
        "prefer.power_separation (0.3 m) is a wish",
        "EN 50174-2:2000 (pdfmaal.com 1204), waived on the last 15 m of a link; by circuits "
        "EN 50174-2 since 2009 (Elboken 2017 p528); NEC 725.136(I) "
        "50 mm, as discussed at inspectionnews.net t-11460, own text not seen; 0.3 m, 0.5 m and 60 "
        "degrees: common practice, no source"},
    Rule{"power-wish", "A signal run nearer to mains than is wished for.",
         "as for power-separation, by the part's \"clearance\", else by prefer.power_separation",
         "alongside for more than 0.5 m and more than 50 mm nearer than the wish; quiet where the "
         "published distance is not kept either and so is told",
         "the job; 0.5 m and 50 mm: common practice, no source"},
    Rule{"luminaire-separation", "A network or line-level run alongside a fluorescent luminaire.",
         "", "130 mm; the job says \"fluorescent\": false of luminaires that are none",
         "EN 50174-2:2000 (pdfmaal.com 1204)"},
    // Jackets and fire
    Rule{"void-air",
         "The job does not say whether the void above a suspended ceiling moves air for heating or "
         "cooling. Only such a void asks for plenum jackets; an ordinary one does not.",
         "", "\"handles_air\" of the ceiling's rule under \"parts\"",
         "NEC 300.22(C) by cablestogo.com cable-jackets"},
    Rule{"jacket", "Marks on the cable's jacket against the spaces it runs in.",
         "P replaces R replaces general replaces X",
         "a void that moves air: CL2P, CL3P, CMP, OFNP; an ordinary void or wall: any but X above "
         "6.35 mm, or a Euroclass of Eca or better, though your country may ask for a better one; "
         "no "
         "mark known: told. Whether the amplifier's class wants CL2 or CL3 is not judged: its "
         "marking "
         "says it",
         "substitution list of 1996 (what-when-how.com LAN-Wiring-127); Handbook for Sound "
         "Engineers "
         "ch. 14; Euroclasses: EN 50575 (rekacables.com cable-facts/cpr); local marks and classes "
         "may differ"},
    Rule{"fire-seal",
         "A hole through a part that is fire-rated, or through a plate of a stud wall.", "",
         "each is sealed: rated parts by a tested system",
         "IRC R302.11 item 4 (askcodeman.com p=680)"},
    Rule{"old-material", "Cutting tiles or drilling walls of a building of that age.", "",
         "\"building_year\" before 1980: test for asbestos; before 1978: lead paint",
         "spray1.com; instceil.blogspot.com 2011/08; diyproject.ai lead-asbestos"},
    // Building
    Rule{"stud-hole", "Size of a hole through a stud or plate, and what is left beside it.",
         "share of the framing's depth; (depth - diameter) / 2 at the edge",
         "40 % if it bears (taken unless the part says \"bearing\": false), 60 % if not; 16 mm at "
         "the edge; a top plate cut by more than half: steel strap 1.37 x 38 mm",
         "IRC R602.6 and R602.6.1 (flipbuilder mewf/mima p203; studylib.net 13373209)"},
    Rule{"nail-plate",
         "A hole through framing near its edge, ready ones through studs included, where nails and "
         "screws come.",
         "(depth - diameter) / 2; of ready holes to the nearer edge",
         "32 mm (1 1/4 in), else a steel plate of 1.6 mm",
         "NEC 300.4(D) (ecmweb.com whats-wrong-here-66); fished cable in finished walls is exempt"},
    Rule{
        "member-hole",
        "A ready hole through a joist, beam or stud (\"member\" of the part). One that is open at "
        "the member's edge is a notch.",
        "to the edge = distance of the hole's middle from the edge - diameter / 2; notch = that "
        "distance + diameter / 2",
        "joists: a third of the depth, 51 mm to either edge; studs: 40 % of the depth if they bear "
        "(taken unless \"bearing\" is false), 60 % if not, 16 mm to the edge, notches 25 and "
        "40 %; engineered members: only as their maker says",
        "joists: hinarratives.com notching; studs: IRC R602.6 (flipbuilder mewf/mima p203; "
        "studylib.net 13373209)"},
    Rule{"tile-edge", "A hole's rim near the edge of its tile, where the tee carries it.",
         "distance of the hole's middle to the edge less its radius", "prefer.tee_margin, 30 mm",
         kPractice},
    Rule{"hole-size", "A hole to cut that is larger than the job allows.", "its diameter",
         "prefer.largest_hole, 80 mm", "the job"},
    Rule{"tile-hole", "A hole that is large for its tile.", "diameter / shorter side of the tile",
         "a third", kPractice},
    Rule{
        "hidden-wiring",
        "A hole to be drilled in a wall straight above, below or beside an outlet or switch, where "
        "mains is to be presumed.",
        "distance of the hole's rim from the outlet's upright and level lines", "75 mm", kPractice},
    Rule{
        "pinch-point",
        "A run, raceway or coil that lies, or gear that stands, where a door, a cupboard door or a "
        "seat moves.",
        "along the shut leaf and away from it: hypot < leaf's width, atan2 < swing",
        "none inside a leaf's sector or a seat's box with its \"recline\" and \"slide\"",
        kPractice},
    Rule{"walkway", "A run that lies where people walk (\"walkways\", parts that are walkways).",
         "", "none up to 1.9 m over the floor, save where \"floor\" allows a crossing", kPractice},
    Rule{"gear-place",
         "Gear that stands before a door's opening, where people walk, or in furniture that is not "
         "said to hide things.",
         "points and lines of the gear's box against the model's parts",
         "25 mm of touch; 0.6 m free before a door, 50 mm of its opening", kPractice},
    Rule{"floor-crossing", "Cable on open floor, away from the walls.", "",
         "none without leave (\"floor\": { \"cross\" }); with it a ramp: rises above 6.4 mm "
         "bevelled at "
         "1:2, above 13 mm ramped at 1:12",
         "2010 ADA Standards 303.2 to 303.4 and 405.2 (gasafesidewalks.com ADA Requirements); the "
         "rest "
         "common practice"},
    Rule{"sight",
         "What the plan says is seen from each eye point, against rays to the written lines.",
         "sum of the samples that no part hides, ways once", "0.3 m + 20 % apart", "geometry"},
    Rule{"tile-load",
         "Mass of the cable coiled on one ceiling tile or beside it in the void, and of what lies "
         "on it where the job lays cable on tiles.",
         "sum of length x mass per metre", "0.5 kg on one tile", kPractice},
    // Listening
    Rule{"loudspeaker-angle", "A labelled loudspeaker's direction from the listener.",
         "azimuth and elevation from the listener's ear, 0 = where the listener looks",
         "the label's range in the job's system, 0.5 degrees more",
         "ITU-R BS.2051-1 as held by a public renderer's data file (ear 2051_layouts.yaml)"},
    Rule{
        "loudspeaker-height", "Ear-height loudspeakers and the ear itself.", "",
        "ear-height loudspeakers level with each other within 0.3 m; the seated ear at about 1.2 m",
        "BS.775-3: 1.2 m (scribd 392233939); 0.3 m: common practice, no source"},
    Rule{"loudspeaker-distance", "How much the loudspeakers' distances from the listener differ.",
         "(greatest - least) / mean", "15 %: beyond that the processor must delay the nearer ones",
         kPractice},
    Rule{"loudspeaker-symmetry", "Left and right of a pair, mirrored about the listener's axis.",
         "", "3 degrees of azimuth, 0.1 m of distance", kPractice},
    Rule{"listener-wall", "The listener's head from the nearest wall.", "", "0.5 m",
         "common practice; BS.1116 asks a metre of loudspeakers, from memory"},
    // Living with it
    Rule{"label-unique",
         "Names of runs that a hand-written label or a hurried eye takes for one another.",
         "case, blanks, dashes and leading zeros dropped; O as 0, I and L as 1", "all differ",
         "TIA-606-C asks for unique labels (bradyid.com.sg); the likeness: common "
         "practice, no source"},
    Rule{"outlet-reach",
         "Gear that needs mains (\"powered\", and what a line-level or picture run ends at outside "
         "the gear) and the nearest outlet of the model.",
         "along the room's axes, as a lead lies", "prefer.mains_lead, 1.5 m", kPractice},
};

}  // namespace

std::span<const Rule> rules() { return kRules; }

const Rule* rule(std::string_view id) {
  for (const Rule& one : kRules)
    if (one.id == id) return &one;
  return nullptr;
}

std::string explained(std::string_view id) {
  const Rule* one = rule(id);
  if (one == nullptr) return "";
  std::string text = one->what;
  if (*one->formula != '\0') text += std::string("\nFormula: ") + one->formula + ".";
  return text + "\nLimit: " + one->limit + ".\nSource: " + one->source + ".";
}

}  // namespace roomloom::trade
