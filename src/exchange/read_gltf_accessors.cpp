#include "exchange/read_gltf_accessors.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <initializer_list>
#include <optional>
#include <utility>

#include "exchange/read_text.h"
#include "unpack/unpack_view.h"

namespace roomloom::gltf {
namespace {

constexpr const char* kMeshopt = "EXT_meshopt_compression";
constexpr double kLargestWhole = 9007199254740992.0;  // 2^53

// Component types, glTF 2.0 section 3.6.2.2.
constexpr int kByte = 5120, kUnsignedByte = 5121, kShort = 5122, kUnsignedShort = 5123,
              kUnsignedInt = 5125, kFloat = 5126;

std::size_t component_size(int component) {
  switch (component) {
    case kByte:
    case kUnsignedByte:
      return 1;
    case kShort:
    case kUnsignedShort:
      return 2;
    case kUnsignedInt:
    case kFloat:
      return 4;
    default:
      return 0;
  }
}

template <typename T>
using Words = std::initializer_list<std::pair<const char*, T>>;

// EXT_meshopt_compression, "JSON schema updates".
constexpr Words<PackedMode> kModes = {{"ATTRIBUTES", PackedMode::attributes},
                                      {"TRIANGLES", PackedMode::triangles},
                                      {"INDICES", PackedMode::indices}};
constexpr Words<PackedFilter> kFilters = {{"NONE", PackedFilter::none},
                                          {"OCTAHEDRAL", PackedFilter::octahedral},
                                          {"QUATERNION", PackedFilter::quaternion},
                                          {"EXPONENTIAL", PackedFilter::exponential}};

/// What `object[key]` says in one of these words.
template <typename T>
T one_of(const Json& object, const std::string& key, const Words<T>& words,
         const std::string& pointer) {
  const std::string told = text_at(object, key);
  for (const auto& [word, meaning] : words)
    if (told == word) return meaning;
  throw Fault{pointer + "/" + key, "is none of the words that are known", "model.unsupported"};
}

template <typename T>
T little_endian(const char* bytes) {
  std::uint32_t bits = 0;
  for (std::size_t i = 0; i < sizeof(T); ++i)
    bits |= std::uint32_t{static_cast<unsigned char>(bytes[i])} << (8 * i);
  if constexpr (std::is_same_v<T, float>) {
    return std::bit_cast<float>(bits);
  } else {
    return static_cast<T>(bits);
  }
}

/// Number `index` of an element: integer to real as in glTF 2.0 section 3.11 (normalised) or as it
/// is.
double component_value(const char* element, std::size_t index, int component, bool normalised) {
  const char* bytes = element + index * component_size(component);
  switch (component) {
    case kByte: {
      const double v = little_endian<std::int8_t>(bytes);
      return normalised ? std::max(v / 127, -1.0) : v;
    }
    case kUnsignedByte: {
      const double v = little_endian<std::uint8_t>(bytes);
      return normalised ? v / 255 : v;
    }
    case kShort: {
      const double v = little_endian<std::int16_t>(bytes);
      return normalised ? std::max(v / 32767, -1.0) : v;
    }
    case kUnsignedShort: {
      const double v = little_endian<std::uint16_t>(bytes);
      return normalised ? v / 65535 : v;
    }
    case kUnsignedInt:
      return little_endian<std::uint32_t>(bytes);
    default:
      return static_cast<double>(little_endian<float>(bytes));
  }
}

std::uint32_t whole_value(const char* bytes, int component) {
  if (component == kUnsignedByte) return little_endian<std::uint8_t>(bytes);
  if (component == kUnsignedShort) return little_endian<std::uint16_t>(bytes);
  return little_endian<std::uint32_t>(bytes);
}

/// The bytes of a buffer that `where` tells by its byteOffset and byteLength.
std::string_view slice(std::string_view buffer, const Json& where, const std::string& pointer) {
  const std::uint64_t offset = count_at(where, "byteOffset", 0, pointer);
  const std::uint64_t length = count_at(where, "byteLength", 0, pointer);
  if (offset > buffer.size() || length > buffer.size() - offset)
    throw Fault{pointer, "reaches past the end of its buffer"};
  return buffer.substr(offset, length);
}

}  // namespace

const Json& list_at(const Json& object, const std::string& key, const std::string& pointer) {
  static const Json kEmpty = Json::array();
  const auto found = object.find(key);
  if (found == object.end()) return kEmpty;
  if (!found->is_array()) throw Fault{pointer + "/" + key, "is not a list"};
  return *found;
}

std::uint64_t count_at(const Json& object, const std::string& key, std::uint64_t fallback,
                       const std::string& pointer) {
  const auto found = object.find(key);
  if (found == object.end()) return fallback;
  if (found->is_number_unsigned()) return found->get<std::uint64_t>();
  if (found->is_number()) {
    const double value = found->get<double>();
    if (value >= 0 && value <= kLargestWhole && value == std::floor(value))
      return static_cast<std::uint64_t>(value);
  }
  throw Fault{pointer + "/" + key, "is not a whole number of 0 or more"};
}

int index_at(const Json& object, const std::string& key, std::size_t size,
             const std::string& pointer) {
  if (!object.contains(key)) return -1;
  const std::uint64_t index = count_at(object, key, 0, pointer);
  if (index >= size)
    throw Fault{pointer + "/" + key,
                "is " + std::to_string(index) + ", but there are only " + with_separators(size)};
  return static_cast<int>(index);
}

std::vector<double> numbers_at(const Json& object, const std::string& key, std::size_t size,
                               const std::string& pointer) {
  std::vector<double> numbers;
  if (!object.contains(key)) return numbers;
  const Json& list = list_at(object, key, pointer);
  for (const Json& entry : list) {
    if (!entry.is_number() || !std::isfinite(entry.get<double>()))
      throw Fault{pointer + "/" + key, "holds something that is not a finite number"};
    numbers.push_back(entry.get<double>());
  }
  if (numbers.size() != size)
    throw Fault{pointer + "/" + key, "does not hold " + std::to_string(size) + " numbers"};
  return numbers;
}

std::string text_at(const Json& object, const std::string& key) {
  const auto found = object.find(key);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string{};
}

const Json* extension_of(const Json& object, const char* name) {
  const auto all = object.find("extensions");
  if (all == object.end() || !all->is_object()) return nullptr;
  const auto found = all->find(name);
  return found != all->end() && found->is_object() ? &*found : nullptr;
}

Accessors::Accessors(const Json& root, std::string_view glb_chunk,
                     const ReferenceFolder& references)
    : accessors_(list_at(root, "accessors", "")),
      views_(list_at(root, "bufferViews", "")),
      buffers_(list_at(root, "buffers", "")),
      glb_chunk_(glb_chunk),
      references_(references),
      fetched_(buffers_.size()),
      is_fetched_(buffers_.size()),
      unpacked_(views_.size()) {}

void Accessors::claim(std::size_t points, const std::string& pointer) {
  if (points > kMostPoints || (claimed_ += points) > kMostPoints)
    throw Fault{pointer, "brings the model past " + with_separators(kMostPoints) + " points",
                "model.too-large"};
}

bool Accessors::has_data(std::uint64_t buffer) const {
  return !text_at(buffers_[buffer], "uri").empty() || (buffer == 0 && !glb_chunk_.empty());
}

std::string_view Accessors::buffer(std::uint64_t index, const std::string& pointer) {
  if (index >= buffers_.size()) throw Fault{pointer + "/buffer", "names no buffer"};
  const std::string own = "/buffers/" + std::to_string(index);
  const Json& buffer = buffers_[index];
  if (!buffer.is_object()) throw Fault{own, "is not an object"};
  const std::uint64_t length = count_at(buffer, "byteLength", 0, own);
  if (!is_fetched_[index]) {
    const std::string uri = text_at(buffer, "uri");
    if (!has_data(index)) throw Fault{own, "has no data", "model.missing-reference"};
    if (uri.starts_with("data:")) {
      Result<std::string> data = read_data_uri(uri);
      if (!data) throw Fault{own + "/uri", "is not valid base64"};
      fetched_[index] = std::move(*data);
    } else if (!uri.empty()) {
      Result<std::string> data = read_reference(references_, uri, true);
      if (!data) throw BufferError(data.error());
      fetched_[index] = std::move(*data);
    }
    is_fetched_[index] = true;
  }
  const bool from_chunk = text_at(buffer, "uri").empty();
  const std::string_view bytes = from_chunk ? glb_chunk_ : std::string_view(fetched_[index]);
  if (length > bytes.size())
    throw Fault{own + "/byteLength", "claims " + with_separators(length) + " bytes; there are " +
                                         with_separators(bytes.size())};
  return bytes.substr(0, length);
}

std::string_view Accessors::view(std::uint64_t index, const std::string& pointer) {
  if (index >= views_.size()) throw Fault{pointer + "/bufferView", "names no buffer view"};
  const std::string own = "/bufferViews/" + std::to_string(index);
  const Json& view = views_[index];
  if (!view.is_object()) throw Fault{own, "is not an object"};
  const std::uint64_t home = count_at(view, "buffer", buffers_.size(), own);
  // The view's own buffer may be there all the same, for readers that know no compression.
  const Json* packed = extension_of(view, kMeshopt);
  if (packed != nullptr && home < buffers_.size() && buffers_[home].is_object() &&
      (extension_of(buffers_[home], kMeshopt) != nullptr || !has_data(home)))
    return unpacked(index, *packed, own + "/extensions/EXT_meshopt_compression");
  return slice(buffer(home, own), view, own);
}

std::string_view Accessors::unpacked(std::uint64_t index, const Json& packed,
                                     const std::string& pointer) {
  std::string& bytes = unpacked_[index];
  if (!bytes.empty()) return bytes;
  PackedView view;
  view.bytes =
      slice(buffer(count_at(packed, "buffer", buffers_.size(), pointer), pointer), packed, pointer);
  view.count = count_at(packed, "count", 0, pointer);
  view.stride = count_at(packed, "byteStride", 0, pointer);
  view.mode = one_of(packed, "mode", kModes, pointer);
  view.filter =
      packed.contains("filter") ? one_of(packed, "filter", kFilters, pointer) : PackedFilter::none;
  claim(view.count, pointer + "/count");
  std::optional<std::string> plain = unpack_view(view);
  if (!plain) throw Fault{pointer, "is damaged"};
  return bytes = std::move(*plain);
}

bool Accessors::has_bytes(int accessor) const {
  const Json& source = accessors_[static_cast<std::size_t>(accessor)];
  return source.is_object() && (source.contains("bufferView") || source.contains("sparse"));
}

std::size_t Accessors::count(int accessor) const {
  const Json& source = accessors_[static_cast<std::size_t>(accessor)];
  return source.is_object() ? count_at(source, "count", 0, "/accessors/" + std::to_string(accessor))
                            : 0;
}

Accessors::Elements Accessors::elements(int accessor, const std::string& type,
                                        std::size_t components) {
  const std::string own = "/accessors/" + std::to_string(accessor);
  const Json& source = accessors_[static_cast<std::size_t>(accessor)];
  if (!source.is_object()) throw Fault{own, "is not an object"};
  if (text_at(source, "type") != type) throw Fault{own + "/type", "is not " + type};
  Elements out;
  out.component = static_cast<int>(std::min<std::uint64_t>(
      count_at(source, "componentType", 0, own), std::uint64_t{kFloat} + 1));
  const std::size_t size = component_size(out.component) * components;
  if (size == 0) throw Fault{own + "/componentType", "is not one of the format's types"};
  const std::uint64_t count = count_at(source, "count", 0, own);
  if (count == 0) throw Fault{own + "/count", "is 0"};
  claim(count, own + "/count");
  out.count = count;
  out.normalised = source.value("normalized", Json(false)) == Json(true);
  out.stride = size;
  if (!source.contains("bufferView")) return out;

  const std::uint64_t view_index = count_at(source, "bufferView", 0, own);
  const std::string_view bytes = view(view_index, own);
  out.stride = count_at(views_[view_index], "byteStride", size,
                        "/bufferViews/" + std::to_string(view_index));
  if (out.stride < size || out.stride > 252)
    throw Fault{own, "has a byte stride that does not fit its type"};
  const std::uint64_t offset = count_at(source, "byteOffset", 0, own);
  if (offset > bytes.size() || bytes.size() - offset < out.stride * (count - 1) + size)
    throw Fault{own, "reaches past the end of its buffer view"};
  out.bytes = bytes.substr(offset);
  return out;
}

template <typename Value, typename Decode>
void Accessors::overlay_sparse(int accessor, std::vector<Value>& values, const Elements& plain,
                               std::size_t element_size, Decode decode) {
  const Json& source = accessors_[static_cast<std::size_t>(accessor)];
  const auto found = source.find("sparse");
  if (found == source.end()) return;
  const std::string own = "/accessors/" + std::to_string(accessor) + "/sparse";
  if (!found->is_object() || !found->contains("indices") || !found->contains("values") ||
      !(*found)["indices"].is_object() || !(*found)["values"].is_object())
    throw Fault{own, "is not complete"};
  const Json& where = (*found)["indices"];
  const Json& what = (*found)["values"];
  const std::uint64_t count = count_at(*found, "count", 0, own);
  const int component = static_cast<int>(std::min<std::uint64_t>(
      count_at(where, "componentType", 0, own + "/indices"), std::uint64_t{kFloat}));
  const bool fits =
      component == kUnsignedByte || component == kUnsignedShort || component == kUnsignedInt;
  if (!fits || count == 0 || count > values.size()) throw Fault{own, "is out of range"};
  const auto part = [&](const Json& holder, const char* name, std::size_t size) {
    const std::string pointer = own + "/" + name;
    const std::string_view bytes =
        view(count_at(holder, "bufferView", views_.size(), pointer), pointer);
    const std::uint64_t offset = count_at(holder, "byteOffset", 0, pointer);
    if (offset > bytes.size() || bytes.size() - offset < count * size)
      throw Fault{pointer, "reaches past the end of its buffer view"};
    return bytes.substr(offset);
  };
  const std::size_t index_size = component_size(component);
  const std::string_view places = part(where, "indices", index_size);
  const std::string_view given = part(what, "values", element_size);
  for (std::size_t i = 0; i < count; ++i) {
    const std::uint32_t place = whole_value(places.data() + i * index_size, component);
    if (place >= values.size()) throw Fault{own + "/indices", "name an element that is not there"};
    values[place] = decode(given.data() + i * element_size, plain);
  }
}

template <typename Value, typename Decode>
std::vector<Value> Accessors::values(int accessor, const Elements& source, std::size_t components,
                                     Decode decode) {
  std::vector<Value> values(source.count);
  if (!source.bytes.empty())
    for (std::size_t i = 0; i < source.count; ++i)
      values[i] = decode(source.bytes.data() + i * source.stride, source);
  overlay_sparse(accessor, values, source, components * component_size(source.component), decode);
  return values;
}

std::vector<Vec3> Accessors::vectors(int accessor) {
  const Elements source = elements(accessor, "VEC3", 3);
  const std::string own = "/accessors/" + std::to_string(accessor);
  if (source.component == kUnsignedInt) throw Fault{own, "cannot hold positions"};
  const auto vectors = values<Vec3>(accessor, source, 3, [](const char* bytes, const Elements& of) {
    return Vec3{component_value(bytes, 0, of.component, of.normalised),
                component_value(bytes, 1, of.component, of.normalised),
                component_value(bytes, 2, of.component, of.normalised)};
  });
  for (std::size_t i = 0; i < vectors.size(); ++i)
    if (!is_finite(vectors[i]))
      throw Fault{own, "holds a point that is not finite (number " + std::to_string(i) + ")"};
  return vectors;
}

std::vector<std::array<double, 4>> Accessors::quaternions(int accessor) {
  const Elements source = elements(accessor, "VEC4", 4);
  if (source.component == kUnsignedInt || (source.component != kFloat && !source.normalised))
    throw Fault{"/accessors/" + std::to_string(accessor), "cannot hold rotations"};
  return values<std::array<double, 4>>(
      accessor, source, 4, [](const char* bytes, const Elements& of) {
        std::array<double, 4> value{};
        for (std::size_t i = 0; i < value.size(); ++i)
          value[i] = component_value(bytes, i, of.component, of.normalised);
        return value;
      });
}

std::vector<std::uint32_t> Accessors::indices(int accessor, std::size_t limit) {
  const Elements source = elements(accessor, "SCALAR", 1);
  const std::string own = "/accessors/" + std::to_string(accessor);
  if (source.component != kUnsignedByte && source.component != kUnsignedShort &&
      source.component != kUnsignedInt)
    throw Fault{own + "/componentType", "cannot hold indices"};
  const auto indices = values<std::uint32_t>(
      accessor, source, 1,
      [](const char* bytes, const Elements& of) { return whole_value(bytes, of.component); });
  for (const std::uint32_t value : indices)
    if (value >= limit)
      throw Fault{own, "holds the index " + std::to_string(value) + "; there are " +
                           with_separators(limit) + " points"};
  return indices;
}

}  // namespace roomloom::gltf
