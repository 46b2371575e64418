#include <gtest/gtest.h>

#include "room/words.h"

namespace roomloom {

Role role_of(const char* name) {
  const auto found = role_in_words(words_of(name));
  return found ? found->role : Role::automatic;
}

TEST(Words, SplitNamesAtHumpsDigitsAndSigns) {
  EXPECT_EQ(words_of("IfcWallStandardCase"),
            (std::vector<std::string>{"ifc", "wall", "standard", "case"}));
  EXPECT_EQ(words_of("WALL_FACE.plane.01"),
            (std::vector<std::string>{"wall", "face", "plane", "01"}));
  EXPECT_EQ(words_of("T\xC3\x9CR 2"), (std::vector<std::string>{"t\xC3\xBCr", "2"}));
}

TEST(Words, TheNarrowerMeaningWins) {
  EXPECT_EQ(role_of("Ceiling vent"), Role::vent);
  EXPECT_EQ(role_of("Wall cabinet"), Role::cupboard);
  EXPECT_EQ(role_of("Suspended ceiling"), Role::suspended_ceiling);
  EXPECT_EQ(role_of("Ceiling"), Role::ceiling);
  EXPECT_EQ(role_of("Slab above"), Role::deck);
  EXPECT_EQ(role_of("Floor tile 3"), Role::floor);
  EXPECT_EQ(role_of("Tile A1"), Role::suspended_ceiling);
  EXPECT_EQ(role_of("Basic Wall:Interior - Partition (92mm Stud):139682"), Role::wall);
  EXPECT_EQ(role_of("WINDOW_FRAME"), Role::window);
  EXPECT_EQ(role_of("GLOBAL_MESH"), Role::automatic);
  EXPECT_EQ(role_of("Thing 7"), Role::automatic);
}

TEST(Words, FurnitureStructureAndTheGridOfACeilingAreKnown) {
  for (const char* name :
       {"Bookcase", "Sideboard oak", "Dresser", "Piano", "Grand piano", "Credenza", "Fridge",
        "Worktop 2", "TV stand", "Chest of drawers", "Washing machine"})
    EXPECT_EQ(role_of(name), Role::furniture) << name;
  for (const char* name :
       {"Purlin 3", "Rafter_12", "Roof truss", "Lintel over door", "Steel girder"})
    EXPECT_EQ(role_of(name), Role::obstacle) << name;
  for (const char* name : {"Tee x1", "Cross tee y3", "Main runner 2", "Wall angle", "Ceiling grid"})
    EXPECT_EQ(role_of(name), Role::suspended_ceiling) << name;
  // Furniture may hold cables; what holds mains may not.
  for (const char* name : {"Breaker panel", "Fuse box 1", "CONSUMER_UNIT", "Distribution board"})
    EXPECT_EQ(role_of(name), Role::obstacle) << name;
  for (const char* name : {"Roof window 2", "Rooflight", "Skylight", "Dachfenster"})
    EXPECT_EQ(role_of(name), Role::window) << name;
  EXPECT_EQ(role_of("Parete piano terra"), Role::wall);
  EXPECT_EQ(role_of("Pavimento piano terra"), Role::floor);
  EXPECT_EQ(role_of("Lintel"), Role::obstacle);
  EXPECT_EQ(role_of("Stool"), Role::seat);
  EXPECT_EQ(role_of("LED panel 3-3"), Role::luminaire);
  EXPECT_EQ(role_of("LED screen"), Role::obstacle);
  EXPECT_EQ(role_of("Acoustic ceiling"), Role::suspended_ceiling);
  EXPECT_EQ(role_of("Bay soffit"), Role::ceiling);
  EXPECT_EQ(role_of("Bulkhead"), Role::wall);
  EXPECT_EQ(role_of("Downstand"), Role::wall);
}

// As the room file's own examples name them; STEP and OBJ carry nothing but the name.
TEST(Words, AHoleIsWhatIsCalledOneNotWhatHasOne) {
  for (const char* hole : {"Hole 1", "Hole", "Hole in a wall", "Hole in a tile", "Hole tile",
                           "Hole tile C2", "Cable hole", "Wall hole 2", "existing hole", "HOLE_03",
                           "Loch 2", "Cable hole B", "Grommet"})
    EXPECT_EQ(role_of(hole), Role::hole) << hole;
  EXPECT_EQ(role_of("Wall with hole"), Role::wall);
  EXPECT_EQ(role_of("Wall with a hole 2"), Role::wall);
  EXPECT_EQ(role_of("Door hole"), Role::door);
  EXPECT_EQ(role_of("Downlight hole 3"), Role::luminaire);
  EXPECT_EQ(role_of("Manhole"), Role::automatic);
  EXPECT_EQ(role_of("Tile C2"), Role::suspended_ceiling);
}

TEST(Words, OtherLanguagesAreKnown) {
  EXPECT_EQ(role_of("Wand Nord"), Role::wall);
  EXPECT_EQ(role_of("Fen\xC3\xAAtre 2"), Role::window);
  EXPECT_EQ(role_of("Parede"), Role::wall);
  EXPECT_EQ(role_of("Abgeh\xC3\xA4ngte Decke"), Role::suspended_ceiling);
}

TEST(Words, BuildsAreReadFromNames) {
  EXPECT_EQ(build_in_words(words_of("Interior (92mm Stud)")), Build::stud);
  EXPECT_EQ(build_in_words(words_of("Brick on Block")), Build::masonry);
  EXPECT_EQ(build_in_words(words_of("Wall left")), std::nullopt);
}

}  // namespace roomloom
