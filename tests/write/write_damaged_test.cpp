#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "exchange/write_frame.h"
#include "exchange/write_gltf.h"
#include "exchange/write_obj.h"
#include "exchange/write_step.h"
#include "write/sample.h"

/// Originals that are damaged must be refused or extended, never crash the program.
namespace roomloom {
namespace {

/// Cuts, doubles or changes some bytes.
std::string damaged(std::string text, std::mt19937& random) {
  const auto below = [&](std::size_t limit) { return random() % std::max<std::size_t>(1, limit); };
  const std::size_t changes = 1 + below(6);
  for (std::size_t i = 0; i < changes; ++i) {
    const std::size_t at = below(text.size());
    const std::size_t length = std::min(below(40), text.size() - at);
    const std::size_t kind = below(12);
    if (kind == 0) text.resize(at);
    if (kind >= 1 && kind < 4) text.erase(at, length);
    if (kind >= 4 && kind < 8) text.insert(at, text.substr(at, length));
    if (kind >= 8 && !text.empty()) text[at] = static_cast<char>(below(256));
  }
  return text;
}

TEST(DamagedOriginals, AreRefusedOrExtended) {
  const Annotation annotation = sample::annotation();
  std::vector<DrawnItem> drawings;
  for (const AnnotationItem& item : annotation.items) drawings.push_back(drawn(item.shape));
  const Scene scene = sample::box_scene();
  const FileFrame frame = customary_frame(Source{}, ModelFormat::glb);
  const std::string glb = glb_of_our_own(frame, {}, {}, &scene, "t").bytes;
  const SheetPlane floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}}, {}, {}};
  const std::string step = step_of_our_own(frame, {}, {floor}, "f", "t").text;
  std::mt19937 random(20);
  int extended = 0;
  int refused = 0;
  for (int i = 0; i < 300; ++i) {
    const std::string bad_glb = damaged(glb, random);
    const std::string bad_step = damaged(step, random);
    gltf_references(bad_glb);
    const bool glb_done =
        append_to_gltf(bad_glb, "missing-folder/f.glb", frame, annotation, drawings).has_value();
    const bool step_done = append_to_step(bad_step, "f", frame, annotation).has_value();
    extended += static_cast<int>(glb_done) + static_cast<int>(step_done);
    refused += static_cast<int>(!glb_done) + static_cast<int>(!step_done);
    append_to_obj(bad_step, frame, annotation, drawings, "m");
  }
  EXPECT_GT(extended, 50);
  EXPECT_GT(refused, 50);
}

}  // namespace
}  // namespace roomloom
