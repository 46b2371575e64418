#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/vec.h"
#include "drawings/page.h"

namespace roomloom {

/// Red, green, blue, a byte each, rows from the top.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;
};

/// A PNG file of it (ISO/IEC 15948): 8 bit true colour, `dots_per_m` stated when above 0.
/// `level` is zlib's, 1 fast to 9 small.
std::string png_of(const Image& image, int level, int dots_per_m);

/// Fills flat faces seen from one direction without perspective; what is nearer hides what is
/// farther. Each pixel is an average over kSamples x kSamples. Faces are kept until image(), which
/// fills them band by band, so that memory grows with the faces and not with the samples.
class Raster {
 public:
  static constexpr int kSamples = 3;
  /// `right`, `up`, `toward`: unit, square to each other; toward the viewer. `centre` is shown in
  /// the middle of the picture; `pixels_per_m` as it says.
  Raster(int width, int height, const Frame& view, double pixels_per_m);

  /// Pixels, x to the right and y down; z is metres toward the viewer.
  Vec3 project(const Vec3& p) const;
  /// Rings of one plane, inside by the even-odd rule. `opacity` below 1 blends with what is there
  /// and leaves depths alone. `bias_m` moves it toward the viewer for the test of depth only.
  void face(const std::vector<std::vector<Vec3>>& rings, const Rgb& colour, double opacity = 1,
            double bias_m = 0);
  /// A line `width_px` wide, hidden where something is in front of it by more than `bias_m`.
  void line(const Vec3& a, const Vec3& b, double width_px, const Rgb& colour, double opacity,
            double bias_m);
  /// A round bar, lit; `diameter_m` as drawn.
  void tube(const Vec3& a, const Vec3& b, double diameter_m, const Rgb& colour);
  void ball(const Vec3& centre, double radius_m, const Rgb& colour);

  Image image() const;
  double pixels_per_m() const { return pixels_per_m_ / kSamples; }

 private:
  struct Edge {
    float x0, y0, x1, y1;  ///< samples; y0 < y1
  };
  /// A face as it will be filled: depth = a x + b y + c.
  struct Face {
    std::size_t first_edge, end_edge;
    int top, bottom;  ///< rows of samples, both included
    double a, b, c;
    float red, green, blue, opacity;
  };
  struct Sample {
    float z;
    float r, g, b;
  };
  struct Band;
  void fill(const Face& face, Band& band) const;
  void average(const Band& band, Image& out) const;

  int width_, height_;  ///< in samples
  Frame view_;
  double pixels_per_m_;  ///< samples a metre
  std::vector<Edge> edges_;
  std::vector<Face> faces_;
};

}  // namespace roomloom
