#include "types/loudspeaker_layouts.h"

#include <array>
#include <cstdio>

namespace roomloom {
namespace {

struct Span {
  double nominal, low, high;
};
constexpr Span fixed(double degrees) { return {degrees, degrees, degrees}; }
constexpr Span kLevel = fixed(0);
constexpr Span kUpper = {30, 30, 55};
constexpr Span kLower = {-30, -30, -15};

using Labels = std::vector<LabelRange>;

std::string named(const std::string& layer, int azimuth) {
  std::array<char, 8> digits{};
  std::snprintf(digits.data(), digits.size(), "%+04d", azimuth);
  return layer + digits.data();
}

void single(Labels& labels, const std::string& label, Span azimuth, Span elevation) {
  labels.push_back({label, azimuth.nominal, azimuth.low, azimuth.high, elevation.nominal,
                    elevation.low, elevation.high, true});
}

/// One on the median plane.
void middle(Labels& labels, const std::string& layer, int azimuth, Span elevation) {
  single(labels, named(layer, azimuth), fixed(azimuth), elevation);
}

/// Left and right of the listener, mirrored.
void pair(Labels& labels, const std::string& layer, int name, Span azimuth, Span elevation) {
  single(labels, named(layer, name), azimuth, elevation);
  single(labels, named(layer, -name), {-azimuth.nominal, -azimuth.high, -azimuth.low}, elevation);
}

void unplaced_lfe(Labels& labels) {
  LabelRange lfe;
  lfe.label = "LFE1";
  lfe.positioned = false;
  labels.push_back(lfe);
}

/// No nominal direction was seen: the middle of the range's azimuths, and the floor's elevation.
void placed_lfe_pair(Labels& labels) {
  single(labels, "LFE1", {60, 30, 90}, kLower);
  single(labels, "LFE2", {-60, -90, -30}, kLower);
}

Labels five(Span surround_elevation) {
  Labels labels;
  middle(labels, "M", 0, kLevel);
  pair(labels, "M", 30, fixed(30), kLevel);
  pair(labels, "M", 110, {110, 100, 120}, surround_elevation);
  return labels;
}

Labels seven() {
  Labels labels;
  middle(labels, "M", 0, kLevel);
  pair(labels, "M", 30, {30, 30, 45}, kLevel);
  pair(labels, "M", 90, {90, 85, 110}, kLevel);
  pair(labels, "M", 135, {135, 120, 150}, kLevel);
  return labels;
}

Labels four_plus_seven() {
  Labels labels = seven();
  pair(labels, "U", 45, {45, 30, 45}, kUpper);
  pair(labels, "U", 135, {135, 100, 150}, kUpper);
  return labels;
}

Labels four_plus_five() {
  Labels labels = five(kLevel);
  pair(labels, "U", 30, {30, 30, 45}, kUpper);
  pair(labels, "U", 110, {110, 100, 135}, kUpper);
  return labels;
}

Labels three_plus_seven() {
  constexpr Span kHigh = {30, 30, 45};
  Labels labels;
  middle(labels, "M", 0, kLevel);
  pair(labels, "M", 30, fixed(30), kLevel);
  pair(labels, "M", 90, {90, 60, 150}, kLevel);
  pair(labels, "M", 135, {135, 60, 150}, kLevel);
  pair(labels, "U", 45, {45, 30, 45}, kHigh);
  middle(labels, "UH", 180, {45, 45, 90});
  placed_lfe_pair(labels);
  return labels;
}

Labels nine_ten_three() {
  constexpr Span kFront = {0, 0, 5};
  constexpr Span kSide = {0, 0, 15};
  constexpr Span kHigh = {30, 30, 45};
  Labels labels;
  middle(labels, "M", 0, kFront);
  pair(labels, "M", 30, {30, 22.5, 30}, kFront);
  pair(labels, "M", 60, {60, 45, 60}, kFront);
  pair(labels, "M", 90, fixed(90), kSide);
  pair(labels, "M", 135, {135, 110, 135}, kSide);
  middle(labels, "M", 180, kSide);
  middle(labels, "U", 0, kHigh);
  pair(labels, "U", 45, {45, 45, 60}, kHigh);
  pair(labels, "U", 90, fixed(90), kHigh);
  pair(labels, "U", 135, {135, 110, 135}, kHigh);
  middle(labels, "U", 180, kHigh);
  middle(labels, "T", 0, fixed(90));
  middle(labels, "B", 0, kLower);
  pair(labels, "B", 45, {45, 45, 60}, kLower);
  placed_lfe_pair(labels);
  return labels;
}

std::vector<LoudspeakerSystem> build_systems() {
  Labels two;
  pair(two, "M", 30, fixed(30), kLevel);
  Labels two_five = five({0, 0, 15});
  pair(two_five, "U", 30, {30, 30, 45}, kUpper);
  Labels four_five_one = four_plus_five();
  middle(four_five_one, "B", 0, kLower);
  Labels four_nine = four_plus_seven();
  single(four_nine, "M+SC", {15, 5, 25}, kLevel);
  single(four_nine, "M-SC", {-15, -25, -5}, kLevel);

  std::vector<LoudspeakerSystem> systems = {
      {'A', "0+2+0", two},           {'B', "0+5+0", five({0, 0, 15})},
      {'C', "2+5+0", two_five},      {'D', "4+5+0", four_plus_five()},
      {'E', "4+5+1", four_five_one}, {'F', "3+7+0", three_plus_seven()},
      {'G', "4+9+0", four_nine},     {'H', "9+10+3", nine_ten_three()},
      {'I', "0+7+0", seven()},       {'J', "4+7+0", four_plus_seven()}};
  for (LoudspeakerSystem& system : systems)
    if (std::string("BCDEGIJ").find(system.letter) != std::string::npos)
      unplaced_lfe(system.labels);
  return systems;
}

const LabelRange* label_in(const LoudspeakerSystem& system, std::string_view label) {
  for (const LabelRange& range : system.labels)
    if (range.label == label) return &range;
  return nullptr;
}

}  // namespace

std::span<const LoudspeakerSystem> loudspeaker_systems() {
  static const std::vector<LoudspeakerSystem> systems = build_systems();
  return systems;
}

const LoudspeakerSystem* loudspeaker_system(std::string_view name) {
  for (const LoudspeakerSystem& system : loudspeaker_systems())
    if (system.name == name || std::string_view(&system.letter, 1) == name) return &system;
  return nullptr;
}

const LabelRange* find_label(std::string_view system, std::string_view label) {
  if (const LoudspeakerSystem* own = loudspeaker_system(system))
    if (const LabelRange* range = label_in(*own, label)) return range;
  const LabelRange* best = nullptr;
  std::size_t best_size = 0;
  for (const LoudspeakerSystem& other : loudspeaker_systems()) {
    const LabelRange* range = label_in(other, label);
    if (range == nullptr) continue;
    // A system that gives the label a place beats one that gives it none.
    const bool better = best == nullptr || (range->positioned && !best->positioned) ||
                        (range->positioned == best->positioned && other.labels.size() < best_size);
    if (better) best = range, best_size = other.labels.size();
  }
  return best;
}

}  // namespace roomloom
