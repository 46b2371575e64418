#pragma once

#include <cstdint>
#include <string>
#include <vector>

/// Small glTF documents as text.
namespace roomloom {

template <typename T>
std::string bytes_of(const std::vector<T>& values) {
  return {reinterpret_cast<const char*>(values.data()), values.size() * sizeof(T)};
}

inline std::string base64(std::string bytes) {
  const std::string digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  const std::size_t padding = (3 - bytes.size() % 3) % 3;
  bytes.append(padding, '\0');
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const auto byte = [&](std::size_t k) {
      return std::uint32_t{static_cast<unsigned char>(bytes[i + k])};
    };
    const std::uint32_t three = byte(0) << 16 | byte(1) << 8 | byte(2);
    for (int shift = 18; shift >= 0; shift -= 6) text.push_back(digits[three >> shift & 63]);
  }
  text.replace(text.size() - padding, padding, std::string(padding, '='));
  return text;
}

// A box 2 x 1 x 3 m, X, Y (up), Z, from the origin, faces outwards.
inline const std::vector<float> kBox = {0, 0, 0, 2, 0, 0, 0, 1, 0, 2, 1, 0,
                                        0, 0, 3, 2, 0, 3, 0, 1, 3, 2, 1, 3};
inline const std::vector<std::uint16_t> kBoxFaces = {0, 2, 3, 0, 3, 1, 4, 5, 7, 4, 7, 6,
                                                     0, 1, 5, 0, 5, 4, 2, 6, 7, 2, 7, 3,
                                                     0, 4, 6, 0, 6, 2, 1, 3, 7, 1, 7, 5};

/// A document whose only buffer holds the box; accessor 0 its positions, accessor 1 its indices.
inline std::string document(const std::string& nodes, const std::string& meshes,
                            const std::string& more = "", const std::string& uri = "") {
  const std::string buffer = bytes_of(kBox) + bytes_of(kBoxFaces);
  return R"({"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":)" + nodes +
         R"(,"meshes":)" + meshes +
         R"(,"accessors":[{"bufferView":0,"componentType":5126,"count":8,"type":"VEC3"},
             {"bufferView":1,"componentType":5123,"count":36,"type":"SCALAR"}],
             "bufferViews":[{"buffer":0,"byteLength":96},{"buffer":0,"byteOffset":96,"byteLength":72}],
             "buffers":[{"byteLength":168,"uri":")" +
         (uri.empty() ? "data:application/octet-stream;base64," + base64(buffer) : uri) + "\"}]" +
         more + "}";
}

inline const std::string kBoxMesh =
    R"([{"name":"Box","primitives":[{"attributes":{"POSITION":0},"indices":1}]}])";

}  // namespace roomloom
