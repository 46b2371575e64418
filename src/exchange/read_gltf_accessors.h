#pragma once

#include <array>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "base/result.h"
#include "base/vec.h"
#include "exchange/read_references.h"

// Only for read_gltf_*.cpp: it brings in the JSON library.
namespace roomloom::gltf {

using Json = nlohmann::json;

/// What is wrong with a document and where; thrown within read_gltf_*.cpp only.
struct Fault {
  std::string pointer;  ///< JSON pointer
  std::string what;
  std::string code = "model.syntax";
};

/// `object[key]` as a list; an absent one is empty. Throws Fault when it is something else.
const Json& list_at(const Json& object, const std::string& key, const std::string& pointer);
/// `object[key]` as a whole number of 0 or more; `fallback` when absent.
std::uint64_t count_at(const Json& object, const std::string& key, std::uint64_t fallback,
                       const std::string& pointer);
/// `object[key]` as an index below `size`; -1 when absent.
int index_at(const Json& object, const std::string& key, std::size_t size,
             const std::string& pointer);
/// `object[key]` as exactly `size` finite numbers; empty when absent.
std::vector<double> numbers_at(const Json& object, const std::string& key, std::size_t size,
                               const std::string& pointer);
/// The most points that a document may hold, in all its accessors together.
constexpr std::size_t kMostPoints = 50'000'000;

/// `object[key]` as text; empty when absent or something else.
std::string text_at(const Json& object, const std::string& key);

/// What an extension says of an object, or null.
const Json* extension_of(const Json& object, const char* name);

/// Decodes positions and indices, fetching each buffer when it is first needed.
class Accessors {
 public:
  Accessors(const Json& root, std::string_view glb_chunk, const ReferenceFolder& references);

  std::size_t size() const { return accessors_.size(); }
  /// False for one without bytes of its own: all zeros, or what an extension fills in.
  bool has_bytes(int accessor) const;
  /// How many elements it declares.
  std::size_t count(int accessor) const;
  /// VEC3 of floats or of (normalised) small integers, KHR_mesh_quantization. Throws Fault.
  std::vector<Vec3> vectors(int accessor);
  /// VEC4 of floats or of normalised integers: x, y, z, w. Throws Fault.
  std::vector<std::array<double, 4>> quaternions(int accessor);
  /// SCALAR of unsigned integers, each below `limit`. Throws Fault.
  std::vector<std::uint32_t> indices(int accessor, std::size_t limit);
  /// The bytes of a buffer view, unpacked where EXT_meshopt_compression packs them. Throws Fault.
  std::string_view view(std::uint64_t index, const std::string& pointer);
  /// Counts points before they are given memory. Throws Fault beyond 50 million.
  void claim(std::size_t points, const std::string& pointer);
  /// The Error of a buffer that could not be fetched; thrown as itself.
  using BufferError = Error;

 private:
  struct Elements {
    std::string_view bytes;  ///< from the first element on; empty = all zeros
    std::size_t count = 0, stride = 0;
    int component = 0;
    bool normalised = false;
  };
  Elements elements(int accessor, const std::string& type, std::size_t components);
  std::string_view unpacked(std::uint64_t index, const Json& packed, const std::string& pointer);
  bool has_data(std::uint64_t buffer) const;
  std::string_view buffer(std::uint64_t index, const std::string& pointer);
  /// Every element by `decode`, each of `components` numbers, those of a sparse overlay in place.
  template <typename Value, typename Decode>
  std::vector<Value> values(int accessor, const Elements& source, std::size_t components,
                            Decode decode);
  template <typename Value, typename Decode>
  void overlay_sparse(int accessor, std::vector<Value>& values, const Elements& plain,
                      std::size_t element_size, Decode decode);

  const Json& accessors_;
  const Json& views_;
  const Json& buffers_;
  std::string_view glb_chunk_;
  const ReferenceFolder& references_;
  std::vector<std::string> fetched_;
  std::vector<bool> is_fetched_;
  std::vector<std::string> unpacked_;  ///< of each view that was packed and asked for
  std::size_t claimed_ = 0;
};

}  // namespace roomloom::gltf
