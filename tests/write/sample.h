#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "exchange/write.h"

/// A hand-made room and annotation for the writers' tests.
namespace roomloom::sample {

/// A cable along the corners, with an arc of `radius_m` at each inner one.
std::vector<Piece> filleted(const std::vector<Vec3>& corners, double radius_m);

/// Two runs (one with accents and quotes in its texts), a raceway bar, a ring, a support and a tag.
Annotation annotation();

/// The plane runs of a whole room: `count` runs of 20 pieces each, every tenth with raceway, rings
/// and tags.
Annotation many_runs(int count);

/// A box room of 4 x 3 x 2.5 m: four walls, a floor and a marker, in one group.
Scene box_scene();

/// Makes an empty folder of this test's own; it is gone when the program ends.
std::filesystem::path fresh_folder(const std::string& name);

/// Writes `content` as the original and returns a scene that says it was read from there.
Scene scene_from(const std::filesystem::path& original, const std::string& content,
                 ModelFormat format);

std::string read_text(const std::filesystem::path& file);

const WrittenFile* find(const std::vector<WrittenFile>& files, const std::string& name);

}  // namespace roomloom::sample
