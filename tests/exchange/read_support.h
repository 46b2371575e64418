#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <fstream>
#include <string>

#include "exchange/read_here.h"

namespace roomloom {

/// A folder that is gone when the test is over.
class TemporaryFolder {
 public:
  TemporaryFolder() {
    static std::atomic<int> counter{0};
    path_ = std::filesystem::temp_directory_path() /
            ("roomloom-read-test-" + std::to_string(::getpid()) + "-" + std::to_string(counter++));
    std::filesystem::create_directories(path_);
  }
  ~TemporaryFolder() {
    std::error_code failed;
    std::filesystem::remove_all(path_, failed);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path write(const std::string& name, const std::string& content) const {
    std::filesystem::create_directories((path_ / name).parent_path());
    std::ofstream(path_ / name, std::ios::binary) << content;
    return path_ / name;
  }

 private:
  std::filesystem::path path_;
};

/// Reads `content` under that name in this process.
inline Result<Scene> read_text_as(const std::string& name, const std::string& content,
                                  const ReadOptions& options = {}) {
  const TemporaryFolder folder;
  return read_model_here(folder.write(name, content), options);
}

inline const Part& part_at(const Scene& scene, const std::string& path) {
  const auto found = std::find_if(scene.parts.begin(), scene.parts.end(),
                                  [&](const Part& p) { return p.path == path; });
  EXPECT_NE(found, scene.parts.end()) << "no part " << path;
  static const Part kNone;
  return found != scene.parts.end() ? *found : kNone;
}

inline Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) box.add(scene.points[part.first_point + i]);
  return box;
}

inline double volume_of(const Scene& scene, const Part& part) {
  double volume = 0;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    const auto& t = scene.triangles[part.first_triangle + i];
    volume += dot(scene.points[t[0]], cross(scene.points[t[1]], scene.points[t[2]])) / 6;
  }
  return volume;
}

inline bool has_note(const Scene& scene, const std::string& code) {
  return std::any_of(scene.notes.begin(), scene.notes.end(),
                     [&](const Note& note) { return note.code == code; });
}

inline std::string code_of(const Result<Scene>& scene) {
  return scene ? "read" : scene.error().code;
}

}  // namespace roomloom
