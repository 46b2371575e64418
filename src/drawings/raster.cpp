#include "drawings/raster.h"

#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace roomloom {
namespace {

// Light from above, a little to the viewer's left; enough left over for what looks away from it.
constexpr double kAmbient = 0.62;

void put_number(std::string& out, std::uint32_t value) {
  for (int shift = 24; shift >= 0; shift -= 8) out += static_cast<char>(value >> shift & 0xFFU);
}

void put_chunk(std::string& out, const char* kind, const std::string& data) {
  put_number(out, static_cast<std::uint32_t>(data.size()));
  const std::string body = kind + data;
  out += body;
  put_number(out, static_cast<std::uint32_t>(
                      crc32(0, reinterpret_cast<const Bytef*>(body.data()),  // NOLINT
                            static_cast<uInt>(body.size()))));
}

/// Rows as differences to the row above (filter 2), which suits flat colour, packed as they come.
std::string packed_rows(const Image& image, int level) {
  const std::size_t stride = static_cast<std::size_t>(image.width) * 3;
  std::vector<std::uint8_t> filtered(stride + 1, 2), none(stride, 0);
  std::vector<char> part(1U << 16U);
  z_stream stream{};
  if (deflateInit(&stream, level) != Z_OK) std::abort();  // for want of memory, or a wrong level
  std::string packed;
  const auto pack = [&](int flush) {
    do {
      stream.next_out = reinterpret_cast<Bytef*>(part.data());  // NOLINT
      stream.avail_out = static_cast<uInt>(part.size());
      if (deflate(&stream, flush) == Z_STREAM_ERROR) std::abort();
      packed.append(part.data(), part.size() - stream.avail_out);
    } while (stream.avail_out == 0);
  };
  for (std::size_t y = 0; y < static_cast<std::size_t>(image.height); ++y) {
    const std::uint8_t* row = image.rgb.data() + y * stride;
    const std::uint8_t* above = y == 0 ? none.data() : row - stride;
    for (std::size_t i = 0; i < stride; ++i)
      filtered[i + 1] = static_cast<std::uint8_t>(row[i] - above[i]);
    stream.next_in = filtered.data();
    stream.avail_in = static_cast<uInt>(filtered.size());
    pack(Z_NO_FLUSH);
  }
  pack(Z_FINISH);
  deflateEnd(&stream);
  return packed;
}

}  // namespace

std::string png_of(const Image& image, int level, int dots_per_m) {
  std::string out = "\x89PNG\r\n\x1a\n";
  std::string header;
  put_number(header, static_cast<std::uint32_t>(image.width));
  put_number(header, static_cast<std::uint32_t>(image.height));
  header += std::string("\x08\x02\x00\x00\x00", 5);
  put_chunk(out, "IHDR", header);
  if (dots_per_m > 0) {
    std::string density;
    put_number(density, static_cast<std::uint32_t>(dots_per_m));
    put_number(density, static_cast<std::uint32_t>(dots_per_m));
    put_chunk(out, "pHYs", density + '\x01');
  }
  put_chunk(out, "IDAT", packed_rows(image, level));
  put_chunk(out, "IEND", "");
  return out;
}

Raster::Raster(int width, int height, const Frame& view, double pixels_per_m)
    : width_(width * kSamples),
      height_(height * kSamples),
      view_(view),
      pixels_per_m_(pixels_per_m * kSamples) {}

Vec3 Raster::project(const Vec3& p) const {
  const Vec3 q = view_.to_local(p);
  return {width_ / 2.0 + q.x * pixels_per_m_, height_ / 2.0 - q.y * pixels_per_m_, q.z};
}

namespace {

/// Depth over the picture: z = a x + b y + c. Nothing for a plane seen on edge.
struct DepthPlane {
  double a = 0, b = 0, c = 0;
  bool valid = false;
};

DepthPlane depth_plane(const std::vector<Vec3>& ring) {
  Vec3 normal;
  for (std::size_t i = 0; i < ring.size(); ++i) {  // Newell's method
    const Vec3 p = ring[i] - ring[0];
    const Vec3 q = ring[(i + 1) % ring.size()] - ring[0];
    normal += cross(p, q);
  }
  DepthPlane plane;
  if (std::abs(normal.z) < 1e-9 * (std::abs(normal.x) + std::abs(normal.y)) || normal.z == 0)
    return plane;
  plane.a = -normal.x / normal.z;
  plane.b = -normal.y / normal.z;
  plane.c = ring[0].z - plane.a * ring[0].x - plane.b * ring[0].y;
  plane.valid = true;
  return plane;
}

}  // namespace

void Raster::face(const std::vector<std::vector<Vec3>>& rings, const Rgb& colour, double opacity,
                  double bias_m) {
  if (rings.empty() || rings[0].size() < 3) return;
  const std::size_t first_edge = edges_.size();
  double top = 1e30;
  double bottom = -1e30;
  DepthPlane plane;
  std::vector<Vec3> flat;
  for (const std::vector<Vec3>& ring : rings) {
    flat.clear();
    for (const Vec3& p : ring) flat.push_back(project(p));
    if (&ring == &rings[0]) plane = depth_plane(flat);
    if (!plane.valid) return;
    for (std::size_t i = 0; i < flat.size(); ++i) {
      const Vec3* a = &flat[i];
      const Vec3* b = &flat[(i + 1) % flat.size()];
      top = std::min(top, a->y);
      bottom = std::max(bottom, a->y);
      if (a->y > b->y) std::swap(a, b);
      const Edge edge{static_cast<float>(a->x), static_cast<float>(a->y), static_cast<float>(b->x),
                      static_cast<float>(b->y)};
      if (edge.y0 < edge.y1) edges_.push_back(edge);
    }
  }
  const int first = std::max(0, static_cast<int>(std::ceil(top - 0.5)));
  const int last = std::min(height_ - 1, static_cast<int>(std::ceil(bottom - 0.5)) - 1);
  if (first > last) {
    edges_.resize(first_edge);
    return;
  }
  faces_.push_back({first_edge, edges_.size(), first, last, plane.a, plane.b, plane.c + bias_m,
                    static_cast<float>(colour.r), static_cast<float>(colour.g),
                    static_cast<float>(colour.b), static_cast<float>(opacity)});
}

/// Rows of samples from `top` on.
struct Raster::Band {
  int top, rows;
  std::vector<Sample> samples;
};

void Raster::fill(const Face& face, Band& band) const {
  std::vector<double> cuts;
  const int last = std::min(face.bottom, band.top + band.rows - 1);
  for (int y = std::max(face.top, band.top); y <= last; ++y) {
    const double middle = y + 0.5;
    cuts.clear();
    for (std::size_t i = face.first_edge; i < face.end_edge; ++i) {
      const Edge& e = edges_[i];
      if (middle < e.y0 || middle >= e.y1) continue;
      cuts.push_back(e.x0 + (middle - e.y0) / (e.y1 - e.y0) * (e.x1 - e.x0));
    }
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t i = 0; i + 1 < cuts.size(); i += 2) {
      const int from = std::max(0, static_cast<int>(std::ceil(cuts[i] - 0.5)));
      const int to = std::min(width_ - 1, static_cast<int>(std::ceil(cuts[i + 1] - 0.5)) - 1);
      double z = face.a * (from + 0.5) + face.b * middle + face.c;
      Sample* s = band.samples.data() + static_cast<std::ptrdiff_t>(y - band.top) * width_ + from;
      for (int x = from; x <= to; ++x, ++s, z += face.a) {
        if (z < static_cast<double>(s->z)) continue;
        if (face.opacity >= 1) {
          *s = {static_cast<float>(z), face.red, face.green, face.blue};
          continue;
        }
        s->r += face.opacity * (face.red - s->r);
        s->g += face.opacity * (face.green - s->g);
        s->b += face.opacity * (face.blue - s->b);
      }
    }
  }
}

void Raster::line(const Vec3& a, const Vec3& b, double width_px, const Rgb& colour, double opacity,
                  double bias_m) {
  const Vec3 p = view_.to_local(a);
  const Vec3 q = view_.to_local(b);
  const Vec2 way{q.x - p.x, q.y - p.y};
  const double length = norm(way);
  if (length <= 0) return;
  const double half = width_px * kSamples / 2 / pixels_per_m_;
  const Vec3 across = half * (-way.y / length * view_.u + way.x / length * view_.v);
  face({{a + across, b + across, b - across, a - across}}, colour, opacity, bias_m);
}

void Raster::tube(const Vec3& a, const Vec3& b, double diameter_m, const Rgb& colour) {
  const Vec3 way = normalized(b - a);
  const Vec3 side = normalized(cross(way, view_.n));
  if (norm(side) < 0.5) return;
  const Vec3 front = normalized(cross(side, way));
  constexpr int kStrips = 6;  // over the half that is seen
  for (int i = 0; i < kStrips; ++i) {
    const auto rim = [&](int k) {
      const double turn = kPi * k / kStrips;
      return diameter_m / 2 * (std::cos(turn) * side + std::sin(turn) * front);
    };
    const double middle = kPi * (i + 0.5) / kStrips;
    const Vec3 normal = std::cos(middle) * side + std::sin(middle) * front;
    const double toward = std::max(0.0, dot(normal, normalized(view_.n + 0.6 * view_.v)));
    const double light = kAmbient + (1 - kAmbient) * toward;
    const double glint = 0.25 * std::pow(toward, 12);
    const Rgb lit{std::min(1.0, colour.r * light + glint), std::min(1.0, colour.g * light + glint),
                  std::min(1.0, colour.b * light + glint)};
    face({{a + rim(i), b + rim(i), b + rim(i + 1), a + rim(i + 1)}}, lit);
  }
}

void Raster::ball(const Vec3& centre, double radius_m, const Rgb& colour) {
  constexpr int kRings = 7;
  for (int i = kRings; i >= 1; --i) {  // from the rim inward, each a little nearer and lighter
    const double share = static_cast<double>(i) / kRings;
    const double height = std::sqrt(std::max(0.0, 1 - share * share));
    const double light = kAmbient + (1 - kAmbient) * height;
    std::vector<Vec3> rim;
    for (int k = 0; k < 24; ++k) {
      const double turn = 2 * kPi * k / 24;
      rim.push_back(centre +
                    radius_m * (share * (std::cos(turn) * view_.u + std::sin(turn) * view_.v) +
                                height * view_.n + 0.08 * (1 - share) * view_.v));
    }
    face({rim}, {colour.r * light, colour.g * light, colour.b * light});
  }
}

void Raster::average(const Band& band, Image& out) const {
  constexpr float kShare = 255.0F / (kSamples * kSamples);
  const auto byte = [](float sum) {
    return static_cast<std::uint8_t>(std::clamp(sum * kShare + 0.5F, 0.0F, 255.0F));
  };
  for (int y = 0; y < band.rows; y += kSamples) {
    for (int x = 0; x < out.width; ++x) {
      Sample sum{0, 0, 0, 0};
      for (int j = 0; j < kSamples; ++j) {
        const Sample* s = band.samples.data() + static_cast<std::ptrdiff_t>(y + j) * width_ +
                          static_cast<std::ptrdiff_t>(x) * kSamples;
        for (int i = 0; i < kSamples; ++i, ++s) {
          sum.r += s->r;
          sum.g += s->g;
          sum.b += s->b;
        }
      }
      out.rgb.insert(out.rgb.end(), {byte(sum.r), byte(sum.g), byte(sum.b)});
    }
  }
}

Image Raster::image() const {
  constexpr int kBandRows = 16 * kSamples;
  Image out{width_ / kSamples, height_ / kSamples, {}};
  out.rgb.reserve(static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height) * 3);
  Band band{0, 0, {}};
  for (; band.top < height_; band.top += kBandRows) {
    band.rows = std::min(kBandRows, height_ - band.top);
    band.samples.assign(static_cast<std::size_t>(width_) * static_cast<std::size_t>(band.rows),
                        Sample{-1e30F, 1, 1, 1});
    for (const Face& face : faces_) {
      if (face.top < band.top + band.rows && face.bottom >= band.top) fill(face, band);
    }
    average(band, out);
  }
  return out;
}

}  // namespace roomloom
