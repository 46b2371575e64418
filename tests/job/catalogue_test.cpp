#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>
#include <string>

#include "base/files.h"
#include "job/embedded.h"
#include "job/job.h"
#include "job/json_text.h"

namespace roomloom {
namespace {

constexpr double kResistivity = 0.017241;  // ohm mm2 / m at 20 degrees Celsius: 100 % IACS

// ASTM B258-02: diameters form a geometric row, number 36 = 0.005 in, 4/0 = 0.46 in.
double awg_diameter_mm(int gauge) { return 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0); }
double awg_ohm_per_km(int gauge) {
  const double d = awg_diameter_mm(gauge);
  return 1000 * kResistivity / (kPi / 4 * d * d);
}

const CableType& cable(const std::string& id) {
  const CableType* found = built_in_catalogue().cable(id);
  if (found == nullptr) ADD_FAILURE() << "no " << id;
  static const CableType none;
  return found == nullptr ? none : *found;
}

// Strands have the metal of a solid wire and a resistance some 2 to 3 % above it.
TEST(Catalogue, GaugeAreasFollowTheWireTableFormulaAndStrandsResistALittleMore) {
  for (const int cores : {2, 4}) {
    for (int gauge = 10; gauge <= 20; gauge += 2) {
      const auto& c =
          cable("speaker " + std::to_string(cores) + "x" + std::to_string(gauge) + "awg");
      EXPECT_GT(1000 * c.resistance_ohm_per_m, 1.015 * awg_ohm_per_km(gauge));
      EXPECT_LT(1000 * c.resistance_ohm_per_m, 1.030 * awg_ohm_per_km(gauge));
      const double d = awg_diameter_mm(gauge);
      EXPECT_NEAR(1e6 * c.conductor_area_m2, kPi / 4 * d * d, 6e-4);
      EXPECT_EQ(c.conductors, cores);
    }
  }
}

// NEC chapter 9, table 8: uncoated copper, stranded, 75 degrees Celsius, ohm per 1000 ft; to
// another temperature R2 = R1 (1 + 0.00323 (T2 - 75)), note 2 of the table. Seen at
// sfasoft.com/look/35/Conductor_Properties.
TEST(Catalogue, GaugeResistancesAreThoseOfStrandedWireInTheElectricalCode) {
  const std::map<int, double> table = {{18, 7.95}, {16, 4.99}, {14, 3.14}, {12, 1.98}, {10, 1.24}};
  for (const auto& [gauge, at_75] : table) {
    const double at_20 = at_75 * (1 + 0.00323 * (20 - 75));
    EXPECT_NEAR(304.8 * cable("speaker 2x" + std::to_string(gauge) + "awg").resistance_ohm_per_m,
                at_20, 0.001 * at_20);
  }
}

// gxslo.avasdm.it, insertion loss of 100 ft into 4, 8 and 16 ohm; the figures imply stranded wire.
TEST(Catalogue, LossesAgreeWithAPublishedTable) {
  const std::map<std::pair<int, int>, double> table = {{{16, 4}, 1.65},  {{16, 8}, 0.86},
                                                       {{16, 16}, 0.44}, {{18, 4}, 2.49},
                                                       {{18, 8}, 1.33},  {{18, 16}, 0.69}};
  for (const auto& [which, db] : table) {
    const double ohm =
        cable("speaker 2x" + std::to_string(which.first) + "awg").resistance_ohm_per_m;
    EXPECT_NEAR(20 * std::log10(1 + 2 * 30.48 * ohm / which.second), db, 0.02 * db);
  }
}

// IEC 60228, class 5, plain copper, greatest resistance at 20 degrees Celsius in ohm/km (seen at
// mycableengineering.com/knowledge-base/iec-60228-dc-resistance).
TEST(Catalogue, MetricResistancesAreThoseOfIec60228) {
  const std::map<std::string, double> table = {{"0.75", 26.0}, {"1", 19.5}, {"1.5", 13.3},
                                               {"2.5", 7.98},  {"4", 4.95}, {"6", 3.30}};
  for (const auto& [area, ohm_per_km] : table) {
    for (const char* cores : {"2", "4"}) {
      const auto& c = cable(std::string("speaker ") + cores + "x" + area);
      EXPECT_NEAR(1000 * c.resistance_ohm_per_m, ohm_per_km, 1e-9);
      // Never below the resistance of solid copper of that area.
      EXPECT_GT(1000 * c.resistance_ohm_per_m, 1000 * kResistivity / (1e6 * c.conductor_area_m2));
    }
  }
}

// Published loop resistances of 10 m of cable, as of solid wire: manualslib.es/manual/7911,
// page 21.
TEST(Catalogue, LoopResistancesLieJustAboveThoseOfAnAmplifierManual) {
  const std::map<int, double> loops = {
      {18, 0.413}, {16, 0.262}, {14, 0.164}, {12, 0.105}, {10, 0.066}};
  for (const auto& [gauge, ohm] : loops)
    EXPECT_NEAR(20 * cable("speaker 2x" + std::to_string(gauge) + "awg").resistance_ohm_per_m,
                1.023 * ohm, 0.02 * ohm);
}

// Cable counts of a maker's catalogue at 40 % fill from the outer diameters in inches
// (manualshelf.com wiremold 40n2b08wh, page 2): 3.22 in2 takes 37 at 0.210, 26 at 0.250, 13 at
// 0.354.
TEST(Catalogue, NetworkDiametersGiveAMakersCableCounts) {
  const double area_m2 = 3.22 * 0.0254 * 0.0254;
  const auto count = [&](const std::string& id) {
    const double d = cable(id).diameter_m;
    return static_cast<int>(0.40 * area_m2 / (kPi / 4 * d * d));
  };
  EXPECT_EQ(count("cat6"), 26);
  EXPECT_EQ(count("cat6a"), 13);
  EXPECT_NEAR(count("cat5e"), 37, 1);  // 5.3 mm is 0.2087 in
  EXPECT_EQ(cable("cat6").bend_radius_m, 4 * cable("cat6").diameter_m);
}

// UK trunking at a space factor of 45 %, mm2 of cable (storage.electrika.com/flips/0290, page 42).
TEST(Catalogue, RacewayAreasGiveThePublishedCapacities) {
  const std::map<std::string, double> published = {
      {"18 x 9", 55},   {"16 x 16", 67},  {"25 x 16", 120}, {"40 x 16", 209},
      {"40 x 25", 360}, {"40 x 40", 585}, {"50 x 25", 422}, {"50 x 50", 898}};
  const auto& raceways = built_in_catalogue().raceways;
  EXPECT_EQ(raceways.size(), published.size());
  double last = 0;
  for (const RacewayType& raceway : raceways) {
    ASSERT_EQ(published.count(raceway.id), 1U) << raceway.id;
    EXPECT_NEAR(0.45 * 1e6 * raceway.usable_area_m2, published.at(raceway.id), 0.01);
    EXPECT_LE(raceway.usable_area_m2, raceway.inner_width_m * raceway.inner_depth_m + 1e-9);
    EXPECT_GE(raceway.usable_area_m2, last);
    last = raceway.usable_area_m2;
  }
}

TEST(Catalogue, EveryCableIsWholeAndSaysItsSource) {
  std::set<std::string> ids;
  for (const CableType& c : built_in_catalogue().cables) {
    EXPECT_TRUE(ids.insert(c.id).second) << c.id;
    EXPECT_GE(c.diameter_m, 0.002) << c.id;
    EXPECT_GT(c.pull_limit_n, 0) << c.id;
    EXPECT_FALSE(c.colours.empty()) << c.id;
    EXPECT_FALSE(c.put_ups_m.empty()) << c.id;
    EXPECT_GE(c.bend_radius_m, 2 * c.diameter_m) << c.id;
    EXPECT_GE(c.pull_bend_radius_m, c.bend_radius_m) << c.id;
    EXPECT_GT(c.price_per_m, 0) << c.id;
    EXPECT_NE(c.source.find("diameter: "), std::string::npos) << c.id;
    EXPECT_NE(c.source.find("price_per_metre: invented"), std::string::npos) << c.id;
    if (c.conductor_area_m2 > 0) {
      EXPECT_GT(c.resistance_ohm_per_m, 0.99 * kResistivity / (1e6 * c.conductor_area_m2)) << c.id;
    } else {
      EXPECT_NE(c.source.find("conductor_area_mm2: not stated: "), std::string::npos) << c.id;
    }
    const double copper_kg_m = c.conductors * c.conductor_area_m2 * 8960;
    EXPECT_GT(c.mass_kg_per_m, copper_kg_m) << c.id;
    EXPECT_LT(c.conductors * c.conductor_area_m2, 0.5 * c.diameter_m * c.diameter_m) << c.id;
  }
  for (const Service service :
       {Service::loudspeaker, Service::line_level, Service::network, Service::picture,
        Service::television, Service::fibre, Service::control, Service::mains})
    EXPECT_TRUE(std::any_of(built_in_catalogue().cables.begin(), built_in_catalogue().cables.end(),
                            [&](const CableType& c) { return c.service == service; }))
        << to_string(service);
  EXPECT_EQ(cable("hdmi passive 18G").greatest_length_m, 5);
  EXPECT_EQ(cable("hdmi passive 18G").head_width_m, 0.021);
  EXPECT_TRUE(cable("hdmi optical 48G").directional);
}

// Every figure of the file that is not a name, a count or a word has a source beside it.
TEST(Catalogue, EachFigureHasASourceBesideIt) {
  const auto root = parse_json(embedded_catalogue(), "catalogue.json");
  ASSERT_TRUE(root);
  const std::set<std::string> plain = {"id",          "service",  "conductors", "colours",
                                       "directional", "source",   "note",       "series",
                                       "build",       "screened", "kind"};
  const std::map<std::string, std::string> shared = {
      {"pull_bend_radius", "bend_radius"}, {"price_fitting", "price_per_metre"},
      {"price_end", "price_per_metre"},    {"inner_depth", "inner_width"},
      {"width", "stock_length"},           {"depth", "stock_length"}};
  for (const char* list : {"cables", "raceways", "hooks", "grommets", "tiles", "fittings"}) {
    for (const JsonValue& entry : root->find(list)->items) {
      for (const JsonMember& member : entry.members) {
        if (plain.count(member.key) != 0) continue;
        const auto other = shared.find(member.key);
        const std::string key = other == shared.end() ? member.key : other->second;
        EXPECT_NE(entry.find("source")->find(key), nullptr)
            << entry.find("id")->text << ": " << member.key;
      }
    }
  }
}

// 50 N a square millimetre of copper, four pairs 110 N = 25 lbf (etcconnect.com UTP practices).
TEST(Catalogue, PullLimitsFollowCopperAndTheFourPairRule) {
  EXPECT_EQ(cable("cat6").pull_limit_n, 110);
  EXPECT_NEAR(110, 25 * 4.448, 2);
  EXPECT_EQ(cable("speaker 2x2.5").pull_limit_n, 250);
}

TEST(Catalogue, HoldsEveryKindThatAPlanMayNeed) {
  const Catalogue& all = built_in_catalogue();
  for (const char* cores : {"2", "4"}) {
    for (const char* size : {"20awg", "18awg", "16awg", "14awg", "12awg", "10awg", "0.75", "1",
                             "1.5", "2.5", "4", "6"})
      EXPECT_NE(all.cable(std::string("speaker ") + cores + "x" + size), nullptr) << size;
  }
  for (const char* category : {"cat5e", "cat6", "cat6a"}) {
    EXPECT_FALSE(cable(category).screened);
    EXPECT_TRUE(cable(std::string(category) + " screened").screened);
  }
  for (const char* build : {"passive", "active", "optical"})
    EXPECT_TRUE(std::any_of(all.cables.begin(), all.cables.end(), [&](const CableType& c) {
      return c.build == build && c.head_width_m > 0 && c.rate_gbps > 0;
    })) << build;
  for (const char* id : {"line coax", "line balanced", "tv coax", "fibre duplex", "trigger 2x20awg",
                         "mains flex 3x1", "cat6 plenum", "speaker 2x14awg plenum"})
    EXPECT_NE(all.cable(id), nullptr) << id;
  EXPECT_EQ(cable("cat6 plenum").jacket_marks, std::vector<std::string>{"CMP"});
  EXPECT_EQ(cable("speaker 2x14awg").series, "awg");
  EXPECT_EQ(cable("speaker 2x1.5").series, "mm2");
}

// A void that moves air asks for a plenum jacket, so each kind of signal cable is there with one.
TEST(Catalogue, HoldsEachKindOfSignalCableWithAPlenumJacketToo) {
  const auto plenum = [](const CableType& one) {
    return std::any_of(one.jacket_marks.begin(), one.jacket_marks.end(),
                       [](const std::string& mark) { return mark.back() == 'P'; });
  };
  const Catalogue& all = built_in_catalogue();
  for (const CableType& one : all.cables) {
    if (one.service == Service::mains) continue;
    EXPECT_FALSE(one.jacket_marks.empty()) << one.id;
    EXPECT_TRUE(std::any_of(all.cables.begin(), all.cables.end(), [&](const CableType& other) {
      return plenum(other) && other.service == one.service && other.conductors == one.conductors &&
             other.screened == one.screened && other.rate_gbps >= one.rate_gbps &&
             other.conductor_area_m2 >= 0.8 * one.conductor_area_m2;
    })) << one.id;
  }
  for (const char* id : {"speaker 2x20awg", "speaker 4x10awg", "cat6a screened", "line coax",
                         "hdmi passive 18G", "hdmi optical 48G"})
    EXPECT_TRUE(plenum(cable(std::string(id) + " plenum"))) << id;
}

TEST(Catalogue, HoldsHooksGrommetsTilesAndFittings) {
  const Catalogue& all = built_in_catalogue();
  ASSERT_GE(all.hooks.size(), 3U);
  for (std::size_t i = 1; i < all.hooks.size(); ++i)
    EXPECT_GT(all.hooks[i].bundle_m, all.hooks[i - 1].bundle_m);
  ASSERT_GE(all.grommets.size(), 5U);
  for (const GrommetType& grommet : all.grommets) EXPECT_LT(grommet.passes_m, grommet.hole_m);
  EXPECT_TRUE(std::any_of(all.grommets.begin(), all.grommets.end(),
                          [](const GrommetType& g) { return g.kind == "fire seal"; }));
  // Grids of 2 x 2 and 2 x 4 ft and of 600 mm: newclassicceiling.com, corleydesigns.com.
  EXPECT_TRUE(std::any_of(all.tiles.begin(), all.tiles.end(), [](const TileType& t) {
    return t.size_u_m == 1.22 && t.size_v_m == 0.61;
  }));
  EXPECT_TRUE(std::any_of(all.tiles.begin(), all.tiles.end(), [](const TileType& t) {
    return t.size_u_m == 0.6 && t.size_v_m == 0.6;
  }));
  EXPECT_TRUE(std::any_of(all.fittings.begin(), all.fittings.end(),
                          [](const FittingType& f) { return f.radius_m >= 0.025; }));
  for (const char* kind :
       {"inside corner", "outside corner", "flat elbow", "tee", "end cap", "joiner"})
    EXPECT_TRUE(std::any_of(all.fittings.begin(), all.fittings.end(), [&](const FittingType& f) {
      return f.kind == kind;
    })) << kind;
}

// Brands go out of print and are nobody's to recommend: ids say what a thing is.
TEST(Catalogue, IsDescribedForEditorsByASchemaOfItsOwn) {
  const auto schema = parse_json(
      read_file(ROOMLOOM_SOURCE_DIR "/src/job/roomloom-catalogue.schema.json").value(), "schema");
  ASSERT_TRUE(schema);
  EXPECT_EQ(schema->find("$ref")->text, "roomloom-job.schema.json#/$defs/catalogue");
}

}  // namespace
}  // namespace roomloom
