#include "exchange/scene_stream.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <type_traits>

#include "exchange/read_text.h"

namespace roomloom {
namespace {

constexpr std::uint32_t kMark = 0x31534C52;  // "RLS1": the version is in the mark
enum class Content : std::uint8_t { scene, error };

class Writer {
 public:
  template <typename T>
  void number(T value) {
    static_assert(std::is_trivially_copyable_v<T>);
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  void text(const std::string& value) {
    number(static_cast<std::uint64_t>(value.size()));
    bytes_ += value;
  }
  template <typename T>
  void array(const std::vector<T>& values) {
    static_assert(std::is_trivially_copyable_v<T>);
    number(static_cast<std::uint64_t>(values.size()));
    bytes_.append(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(T));
  }
  std::string take() { return std::move(bytes_); }

 private:
  std::string bytes_;
};

struct BadAnswer {
  std::string what;
};

class Reader {
 public:
  explicit Reader(std::string_view bytes) : rest_(bytes) {}

  template <typename T>
  T number() {
    static_assert(std::is_trivially_copyable_v<T>);
    T value;
    std::memcpy(&value, take(sizeof value), sizeof value);
    return value;
  }
  double finite() {
    const auto value = number<double>();
    if (!std::isfinite(value)) throw BadAnswer{"a number is not finite"};
    return value;
  }
  /// A whole number that stands for a member of an enumeration with `count` members.
  std::uint8_t choice(std::uint8_t count) {
    const auto value = number<std::uint8_t>();
    if (value >= count) throw BadAnswer{"a kind is out of range"};
    return value;
  }
  std::string text() {
    const std::size_t size = length(1);
    std::string value(take(size), size);
    if (!is_utf8(value)) throw BadAnswer{"a text is not UTF-8"};
    return value;
  }
  template <typename T>
  std::vector<T> array() {
    const std::size_t size = length(sizeof(T));
    std::vector<T> values(size);
    if (size > 0) std::memcpy(values.data(), take(size * sizeof(T)), size * sizeof(T));
    return values;
  }
  /// A count of entries that take at least `entry_size` bytes each.
  std::size_t length(std::size_t entry_size) {
    const auto count = number<std::uint64_t>();
    if (count > rest_.size() / entry_size) throw BadAnswer{"it is cut off"};
    return static_cast<std::size_t>(count);
  }
  bool at_end() const { return rest_.empty(); }

 private:
  const char* take(std::size_t size) {
    if (size > rest_.size()) throw BadAnswer{"it is cut off"};
    const char* start = rest_.data();
    rest_.remove_prefix(size);
    return start;
  }

  std::string_view rest_;
};

void write(Writer& out, const Transform& transform) {
  for (const double value : transform.m) out.number(value);
}

Transform read_transform(Reader& in) {
  Transform transform;
  for (double& value : transform.m) value = in.finite();
  return transform;
}

void write(Writer& out, const Source& source) {
  out.text(source.path);
  out.text(source.sha256);
  out.number(static_cast<std::uint8_t>(source.format));
  out.number(source.unit_m);
  out.number(source.up);
  out.number(source.chord_error_m);
  write(out, source.to_room);
  out.text(source.schema);
}

Source read_source(Reader& in) {
  Source source;
  source.path = in.text();
  source.sha256 = in.text();
  source.format = static_cast<ModelFormat>(in.choice(4));
  source.unit_m = in.finite();
  source.up = in.number<char>();
  source.chord_error_m = in.finite();
  source.to_room = read_transform(in);
  source.schema = in.text();
  if (!(source.unit_m > 0) || (source.up != 'y' && source.up != 'z'))
    throw BadAnswer{"the unit or the up axis is out of range"};
  return source;
}

void write(Writer& out, const Part& part) {
  out.text(part.name);
  out.text(part.path);
  out.number(static_cast<std::int32_t>(part.parent));
  out.text(part.layer);
  out.text(part.material);
  out.number(static_cast<std::uint8_t>(part.colour.has_value()));
  out.number(part.colour.value_or(Colour{}));
  out.number(static_cast<std::uint64_t>(part.extras.size()));
  for (const auto& [key, value] : part.extras) {
    out.text(key);
    out.text(value);
  }
  out.number(static_cast<std::uint8_t>(part.kind));
  out.number(static_cast<std::uint8_t>(part.closure));
  write(out, part.transform);
  for (const std::uint32_t value :
       {part.first_point, part.point_count, part.first_triangle, part.triangle_count})
    out.number(value);
  out.text(part.native_reference);
}

Colour read_colour(Reader& in) {
  const auto colour = in.number<Colour>();
  for (const float value : {colour.r, colour.g, colour.b, colour.a})
    if (!(value >= 0 && value <= 1)) throw BadAnswer{"a colour is out of range"};
  return colour;
}

Part read_part(Reader& in) {
  Part part;
  part.name = in.text();
  part.path = in.text();
  part.parent = in.number<std::int32_t>();
  part.layer = in.text();
  part.material = in.text();
  const bool has_colour = in.choice(2) == 1;
  const Colour colour = read_colour(in);
  if (has_colour) part.colour = colour;
  const std::size_t extras = in.length(16);
  for (std::size_t i = 0; i < extras; ++i) {
    std::string key = in.text();
    part.extras.insert_or_assign(std::move(key), in.text());
  }
  part.kind = static_cast<PartKind>(in.choice(3));
  part.closure = static_cast<Closure>(in.choice(3));
  part.transform = read_transform(in);
  part.first_point = in.number<std::uint32_t>();
  part.point_count = in.number<std::uint32_t>();
  part.first_triangle = in.number<std::uint32_t>();
  part.triangle_count = in.number<std::uint32_t>();
  part.native_reference = in.text();
  return part;
}

void write(Writer& out, const Scene& scene) {
  write(out, scene.source);
  out.number(static_cast<std::uint64_t>(scene.groups.size()));
  for (const Group& group : scene.groups) {
    out.text(group.name);
    out.number(static_cast<std::int32_t>(group.parent));
  }
  out.number(static_cast<std::uint64_t>(scene.parts.size()));
  for (const Part& part : scene.parts) write(out, part);
  out.array(scene.points);
  out.array(scene.triangles);
  out.array(scene.face);
  out.number(static_cast<std::uint64_t>(scene.notes.size()));
  for (const Note& note : scene.notes) {
    out.text(note.code);
    out.text(note.text);
    out.text(note.where);
  }
}

bool within(std::uint32_t first, std::uint32_t count, std::size_t size) {
  return first <= size && count <= size - first;
}

void check_part(const Scene& scene, const Part& part) {
  if (part.parent < -1 || part.parent >= static_cast<std::int64_t>(scene.groups.size()))
    throw BadAnswer{"a part's parent does not exist"};
  if (!within(part.first_point, part.point_count, scene.points.size()) ||
      !within(part.first_triangle, part.triangle_count, scene.triangles.size()))
    throw BadAnswer{"a part's points or triangles do not exist"};
  const bool fits_kind = part.kind == PartKind::mesh    ? part.triangle_count > 0
                         : part.kind == PartKind::curve ? part.point_count >= 2
                                                        : part.point_count == 1;
  if (!fits_kind) throw BadAnswer{"a part does not hold what its kind says"};
  for (std::uint32_t i = 0; i < part.triangle_count; ++i)
    for (const std::uint32_t index : scene.triangles[part.first_triangle + i])
      if (index < part.first_point || index - part.first_point >= part.point_count)
        throw BadAnswer{"a triangle uses a point of another part"};
}

void check(const Scene& scene) {
  for (std::size_t i = 0; i < scene.groups.size(); ++i)
    if (scene.groups[i].parent < -1 || scene.groups[i].parent >= static_cast<std::int64_t>(i))
      throw BadAnswer{"a group's parent does not come before it"};
  if (scene.face.size() != scene.triangles.size())
    throw BadAnswer{"faces and triangles differ in number"};
  if (!std::all_of(scene.points.begin(), scene.points.end(), is_finite))
    throw BadAnswer{"a point is not finite"};
  for (const auto& triangle : scene.triangles)
    for (const std::uint32_t index : triangle)
      if (index >= scene.points.size()) throw BadAnswer{"a triangle has no point"};
  for (const Part& part : scene.parts) check_part(scene, part);
}

Scene read_scene(Reader& in) {
  Scene scene;
  scene.source = read_source(in);
  for (std::size_t left = in.length(12); left > 0; --left) {
    Group group;
    group.name = in.text();
    group.parent = in.number<std::int32_t>();
    scene.groups.push_back(std::move(group));
  }
  for (std::size_t left = in.length(100); left > 0; --left) scene.parts.push_back(read_part(in));
  scene.points = in.array<Vec3>();
  scene.triangles = in.array<std::array<std::uint32_t, 3>>();
  scene.face = in.array<std::int32_t>();
  for (std::size_t left = in.length(24); left > 0; --left) {
    Note note;
    note.code = in.text();
    note.text = in.text();
    note.where = in.text();
    scene.notes.push_back(std::move(note));
  }
  check(scene);
  return scene;
}

Error read_error(Reader& in) {
  Error error;
  error.code = in.text();
  error.what = in.text();
  error.where = in.text();
  error.remedy = in.text();
  return error;
}

}  // namespace

std::string to_stream(const Result<Scene>& scene) {
  Writer out;
  out.number(kMark);
  if (scene) {
    out.number(Content::scene);
    write(out, *scene);
  } else {
    out.number(Content::error);
    for (const std::string* text :
         {&scene.error().code, &scene.error().what, &scene.error().where, &scene.error().remedy})
      out.text(repaired_utf8(*text));
  }
  out.number(kMark);
  return out.take();
}

Result<Scene> from_stream(std::string_view bytes, const std::string& file) {
  try {
    Reader in(bytes);
    if (in.number<std::uint32_t>() != kMark) throw BadAnswer{"it has another version"};
    const auto content = static_cast<Content>(in.choice(2));
    Result<Scene> result =
        content == Content::scene ? Result<Scene>(read_scene(in)) : Result<Scene>(read_error(in));
    if (in.number<std::uint32_t>() != kMark || !in.at_end())
      throw BadAnswer{"it does not end where it should"};
    return result;
  } catch (const BadAnswer& bad) {
    return Error{"model.bad-answer",
                 "The reading process gave an unusable answer: " + bad.what + ".", file,
                 "Export the model again; if it persists, report the file."};
  }
}

}  // namespace roomloom
