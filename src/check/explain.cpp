#include <array>

#include "check/check.h"
#include "trade/rules.h"

namespace roomloom {
namespace {

struct Explanation {
  const char* id;
  const char* text;
};

constexpr std::array<Explanation, 34> kExplanations = {{
    {"no-way",
     "A run of the job cannot be routed. What blocks it is named: a part, a rule of the job, or "
     "the "
     "separation from mains. The other runs are planned all the same.\n"
     "Limit: every run of the job has a way.\nSource: the job."},
    {"move-without-way",
     "An end may move to places that no way reaches. The cut length reaches the farthest of the "
     "others, so that the cable is too short for these.\nLimit: every place of a \"may_move\" that "
     "is tried has a way.\nSource: the job."},
    {"zone-too-large",
     "Inside a free zone of plan.json cable may lie without a surface, so each must stand for "
     "something that the check finds again in the job or the model: the gap between gear and its "
     "wall (as deep as the job's \"off_wall\", as wide and high as the gear and 0.1 m to either "
     "side), the inside of a piece of furniture, the 0.6 m behind a curtain, a strip along a floor "
     "that holds the cable, or a way 0.12 m wide from a surface to an end (1.3 m up, 0.32 m off a "
     "wall). Nothing may be cut there but furniture.\nLimit: the sizes above.\nSource: common "
     "practice, no source."},
    {"free-zones",
     "Where cable lies free, fixed to nothing: behind gear, in furniture, behind a curtain, on the "
     "way up to an end, or just below ceiling tiles, from a hole or a wall to an end in them. "
     "Listed so that you can see that it may lie there.\nLimit: none, it is "
     "told.\n"
     "Source: common practice, no source."},
    {"bend-radius",
     "A cable is drawn with a smaller inside radius than its type allows.\n"
     "Formula: in a mitred raceway corner of clear depth h, a cable of diameter d can bend at most "
     "at "
     "R = (h k - d (1 + k) / 2) / (k - 1), k = 1 / cos(angle / 2); elsewhere the straight pieces "
     "on "
     "both sides limit the arc, r tan(angle / 2) <= the length there is.\n"
     "Limit: the cable type's fixed bend radius (catalogue or job), measured on the STEP file's "
     "arcs.\n"
     "Source: geometry; the radius by the catalogue's source of that cable."},
    {"bend-kink",
     "A cable turns by more than 15 degrees at one point, because no arc fits between its straight "
     "pieces.\nLimit: 15 degrees at a point; each place is told.\nSource: geometry."},
    {"cuts-surface",
     "A centreline passes through a triangle of the original model outside every listed hole; in a "
     "free zone, furniture may be passed.\nLimit: none, beyond the model's chord error and 4 mm at "
     "an end. In a scan, whose "
     "surface waves about the plane that stands for it, a run may dip into it where it stays "
     "within the plan's residual of it for 0.3 m either way.\nSource: geometry."},
    {"ignored-part",
     "Runs pass through a part of the model that the plan takes for nothing that is there, and "
     "whose "
     "shape or name bears that out (a raw scan beside labelled walls, a body round whole walls, a "
     "space of a building model). Any other part is judged as a thing, whatever the plan "
     "says.\nLimit: none, it is told.\nSource: the plan's own guess; "
     "the job can overrule it under \"parts\"."},
    {"unsupported",
     "A point of a centreline is farther than 80 mm from every surface, and is in no void (two "
     "surfaces less than 1.6 m apart, above and below it) and no declared free zone.\n"
     "Limit: 80 mm.\nSource: geometry; the distances are settings of the check."},
    {"runs-meet",
     "Two cables are drawn nearer to each other than half the sum of their diameters, outside free "
     "zones and fittings (four diameters either side of a bend).\n"
     "Limit: half the sum of the diameters.\nSource: geometry; four diameters: the bend radius of "
     "TIA-568 for unscreened cable."},
    {"end-misplaced",
     "A run begins or ends more than 1 mm from the place that plan.json gives its end, or more "
     "than "
     "100 mm from the point that the job gives.\nLimit: 1 mm and 100 mm.\nSource: geometry."},
    {"end-loose",
     "An end lies more than 150 mm from every surface of the model and in no declared free zone.\n"
     "Limit: 150 mm.\nSource: geometry."},
    {"hole-ring",
     "A listed hole has no ring in a written model, or one in another place or of another width.\n"
     "Limit: 2 mm in place, 4 % in width.\nSource: geometry."},
    {"hole-to-widen",
     "A hole that is recorded as cut lets not all pass that the plan leads through it: the bundle "
     "as drawn, or the heads one after the other.\n"
     "Limit: the recorded width, at least what passes.\nSource: geometry."},
    {"hole-missed",
     "A run that is listed for a hole does not pass within it with its whole thickness.\n"
     "Limit: the hole's rim.\nSource: geometry."},
    {"tube-thickness",
     "A run is drawn thinner or thicker than its cable type's outer diameter.\n"
     "Limit: 2 % and 0.1 mm.\nSource: the catalogue's source of that cable."},
    {"length-differs",
     "The lengths of a run differ between the STEP curve, the GLB and OBJ polylines, lengths.csv "
     "and "
     "plan.json.\nLimit: 0.1 mm.\nSource: geometry."},
    {"cut-sum",
     "A cut length is not the drawn length plus its addends, or is shorter than drawn.\n"
     "Limit: 0.1 mm.\nSource: arithmetic."},
    {"place-differs",
     "A run lies elsewhere in one written model than in another.\nLimit: 0.5 mm.\nSource: "
     "geometry."},
    {"run-missing",
     "A planned run, its centreline or its cable type is missing from a written file or the job.\n"
     "Limit: each is there once.\nSource: arithmetic."},
    {"run-unknown",
     "A written model holds a run that the plan does not list.\n"
     "Limit: none.\nSource: arithmetic."},
    {"list-differs",
     "lengths.csv, holes.csv, raceway.csv or a total does not say what plan.json says, cell by "
     "cell; or hole_schedule.csv does not say what holes.csv says, or a wall of the model does not "
     "stand as far from a hole as it tells.\nLimit: 0.1 mm in lengths, half of the last place in "
     "sizes, 2 mm to walls.\nSource: arithmetic."},
    {"work-order",
     "ladder.csv, followed step by step, does something before what it needs: cable through a hole "
     "that is not cut or into raceway that is not fixed and open, a fitting over a hole that is "
     "not "
     "cut, a test before the connectors, something closed before the tests; or it leaves out what "
     "the other lists ask for (runs, raceway, fittings, supports, boxes, ends, coils, labels, "
     "ramps, "
     "moves of the ladder, hand-ons), leaves a tile, raceway or cable on the floor open at the end "
     "of "
     "a day, or its minutes are not those of so much work.\n"
     "Limit: minutes as minutes.csv and the job have them, rounded as shown.\nSource: arithmetic."},
    {"thing-differs",
     "A thing that was added to the model (a run's tube, a piece of raceway, a hole's ring, a "
     "support, a tag) is missing, doubled, elsewhere, or of another size or with other properties "
     "in one of the written models than in routed.glb or plan.json.\n"
     "Limit: 0.5 mm between meshes, 1 mm between meshes and solids.\nSource: geometry."},
    {"plan-differs",
     "plan.json does not hold the runs that the job asks for, each once, with its cable and its "
     "ends.\nLimit: none differs.\nSource: arithmetic."},
    {"run-rules",
     "A run of the plan does not do what the job asks of it: it does not pass what \"via\" names, "
     "it "
     "passes what \"avoid\" names, it lies in one raceway, hole or conduit with a run that it is "
     "\"not_with\", or it shares no stretch with one that it is to go the \"same_way_as\".\n"
     "Limit: the job's own words; holes and raceway as plan.json lists who lies in them, places "
     "as it lists each run's way.\nSource: the job."},
    {"model-changed",
     "The original model's SHA-256 is not the one that plan.json records: it changed since.\n"
     "Limit: the same SHA-256.\nSource: FIPS 180-4 (the hash)."},
    {"job-changed",
     "The job file's SHA-256 is not the one that plan.json records.\n"
     "Limit: the same SHA-256.\nSource: FIPS 180-4 (the hash)."},
    {"house-changed",
     "The house file's SHA-256 is not the one that plan.json records.\n"
     "Limit: the same SHA-256.\nSource: FIPS 180-4 (the hash)."},
    {"as-built-changed",
     "The SHA-256 of the record of what was built is not the one that plan.json records: more lies "
     "now, or other things, than the plan was made for. Nothing else of the plan is judged.\n"
     "Limit: the same SHA-256.\nSource: FIPS 180-4 (the hash)."},
    {"recorded-unused",
     "A hole or a run is recorded as built, and nothing of the plan is it: it stays in the room "
     "all the same. A recorded hole is a planned one where cables pass it at the same place, or "
     "where the two circles overlap, each once, the nearest first.\n"
     "Limit: none, it is told.\nSource: the record of what was built."},
    {"measured-odd",
     "The length that is recorded of a run can hardly be: most such are a slip of the pen or a "
     "wrong unit.\n"
     "Limit: at least 85 % of its way as drawn; at most one and a half times what was predicted "
     "and 2 m.\nSource: common practice, no source."},
    {"hole-unlined",
     "A hole was to be lined by a grommet or plate and is recorded as cut to another width, for "
     "which the catalogue has none: its edge is bare, where cable may chafe.\n"
     "Limit: the width that the grommet asks.\nSource: common practice, no source."},
    {"file-changed",
     "The SHA-256 of a file of the result is not the one that plan.json records, or the file is "
     "gone.\nLimit: the same SHA-256.\nSource: FIPS 180-4 (the hash)."},
}};

}  // namespace

std::string explain(const std::string& id) {
  for (const Explanation& one : kExplanations) {
    if (id == one.id) return one.text;
  }
  return trade::explained(id);
}

std::vector<std::string> explained_ids() {
  std::vector<std::string> ids;
  for (const trade::Rule& one : trade::rules()) ids.emplace_back(one.id);
  for (const Explanation& one : kExplanations) ids.emplace_back(one.id);
  return ids;
}

}  // namespace roomloom
