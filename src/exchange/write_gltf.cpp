#include "exchange/write_gltf.h"

#include <algorithm>
#include <charconv>
#include <optional>

#include "base/files.h"
#include "exchange/write_glb_container.h"
#include "exchange/write_gltf_builder.h"
#include "exchange/write_json_text.h"

namespace roomloom {
namespace {

Error syntax_error(const std::filesystem::path& file, const std::string& what) {
  return {"write.original-syntax", what, file.string(), "Export the model again."};
}

/// "%20" and the like of a URI as bytes.
std::string percent_decoded(std::string_view uri) {
  std::string text;
  for (std::size_t i = 0; i < uri.size(); ++i) {
    unsigned code = 0;
    const bool escape =
        uri[i] == '%' && i + 2 < uri.size() &&
        std::from_chars(uri.data() + i + 1, uri.data() + i + 3, code, 16).ptr == uri.data() + i + 3;
    text += escape ? static_cast<char>(code) : uri[i];
    if (escape) i += 2;
  }
  return text;
}

bool has_scheme(std::string_view uri) {
  const std::size_t colon = uri.find(':');
  return colon != std::string_view::npos && uri.find('/') > colon;
}

/// A file inside the model's own folder, or nothing.
std::optional<std::filesystem::path> inside_folder(const std::filesystem::path& folder,
                                                   const std::string& name) {
  const std::filesystem::path relative = std::filesystem::path(name).lexically_normal();
  if (relative.empty() || relative.is_absolute() || *relative.begin() == "..") return std::nullopt;
  return folder / relative;
}

std::size_t count_of(const JsonSpan& root, std::string_view key) {
  const JsonSpan* list = root.find(key);
  return list == nullptr ? 0 : list->elements.size();
}

std::optional<std::size_t> index_in(std::string_view json, const JsonSpan* value) {
  std::size_t index = 0;
  if (value == nullptr || value->kind != JsonSpan::Kind::number) return std::nullopt;
  const auto read = std::from_chars(json.data() + value->begin, json.data() + value->end, index);
  if (read.ec != std::errc()) return std::nullopt;
  return index;
}

/// Collects the changes to one document.
class Splicer {
 public:
  Splicer(GlbContainer container, JsonSpan root, const std::filesystem::path& file)
      : container_(std::move(container)), root_(std::move(root)), file_(file) {
    const JsonSpan* buffers = root_.find("buffers");
    const bool no_buffers = buffers == nullptr || buffers->elements.empty();
    binary_is_first_ =
        no_buffers || (container_.has_binary && uri_of(buffers->elements[0]).empty());
  }

  /// Puts what lies in other files, and in data URIs of buffer 0, into this one.
  void embed();
  GltfStart start() const;
  Status add(const GltfBuilder& builder);
  GlbFile finished() const;

 private:
  std::optional<std::string> content_of(const std::string& uri);
  void embed_buffer(std::size_t index, const JsonSpan& buffer);
  void embed_image(const JsonSpan& image);
  void remove_member(const JsonSpan& object, std::string_view key);
  void extend(std::string_view key, const GltfElements& elements);
  void add_member(const JsonSpan& object, const std::string& text);
  Status add_roots(const std::vector<std::size_t>& roots);
  void add_new_scene(const std::vector<std::size_t>& roots);
  void add_bytes(const GltfBuilder& builder);
  std::string uri_of(const JsonSpan& object) const;

  GlbContainer container_;
  JsonSpan root_;
  std::filesystem::path file_;
  TextEdits edits_;
  std::size_t root_members_ = 0;  ///< added
  bool binary_is_first_ = false;  ///< buffer 0 is, or will be, the binary chunk
  std::vector<std::string> notes_;
};

std::string Splicer::uri_of(const JsonSpan& object) const {
  const JsonSpan* uri = object.find("uri");
  if (uri == nullptr) return {};
  return json_unquoted(container_.json.substr(uri->begin, uri->end - uri->begin));
}

std::optional<std::string> Splicer::content_of(const std::string& uri) {
  if (uri.starts_with("data:")) {
    const std::size_t comma = uri.find(";base64,");
    if (comma == std::string::npos) return std::nullopt;
    return from_base64(std::string_view(uri).substr(comma + 8));
  }
  const auto path =
      has_scheme(uri) ? std::nullopt : inside_folder(file_.parent_path(), percent_decoded(uri));
  const auto content = path ? read_file(*path) : Result<std::string>(Error{});
  if (content) return *content;
  notes_.push_back("\"" + uri +
                   "\" was not found inside the model's folder and is only referred to.");
  return std::nullopt;
}

/// With the comma that parts it from its neighbours.
void Splicer::remove_member(const JsonSpan& object, std::string_view key) {
  const auto found = std::find_if(object.members.begin(), object.members.end(),
                                  [&](const auto& member) { return member.key == key; });
  const bool first = found == object.members.begin();
  const bool last = found + 1 == object.members.end();
  JsonSpan gone;
  gone.begin = first ? object.begin + 1 : std::prev(found)->value.end;
  gone.end = found->value.end;
  if (first && !last) {
    const auto key_offset = [&](std::string_view name) {
      return static_cast<std::size_t>(name.data() - container_.json.data()) - 1;
    };
    gone.end = key_offset((found + 1)->key);
  }
  edits_.replace(gone, "");
}

void Splicer::embed_buffer(std::size_t index, const JsonSpan& buffer) {
  const std::string uri = uri_of(buffer);
  const bool becomes_binary = index == 0 && !container_.has_binary;
  if (uri.empty() || (uri.starts_with("data:") && !becomes_binary)) return;
  const auto content = content_of(uri);
  if (!content) return;
  if (becomes_binary) {
    container_.binary = *content;
    container_.has_binary = true;
    binary_is_first_ = true;
    remove_member(buffer, "uri");
    return;
  }
  edits_.replace(*buffer.find("uri"),
                 json_string("data:application/octet-stream;base64," + base64(*content)));
}

void Splicer::embed_image(const JsonSpan& image) {
  const std::string uri = uri_of(image);
  if (uri.empty() || uri.starts_with("data:")) return;
  const auto content = content_of(uri);
  if (!content) return;
  const std::string type = content->starts_with("\x89PNG")        ? "image/png"
                           : content->starts_with("\xFF\xD8\xFF") ? "image/jpeg"
                                                                  : "";
  if (type.empty()) {
    notes_.push_back("\"" + uri + "\" is neither PNG nor JPEG and is only referred to.");
    return;
  }
  edits_.replace(*image.find("uri"), json_string("data:" + type + ";base64," + base64(*content)));
}

void Splicer::embed() {
  if (const JsonSpan* buffers = root_.find("buffers"))
    for (std::size_t i = 0; i < buffers->elements.size(); ++i)
      embed_buffer(i, buffers->elements[i]);
  if (const JsonSpan* images = root_.find("images"))
    for (const JsonSpan& image : images->elements) embed_image(image);
}

GltfStart Splicer::start() const {
  GltfStart start{count_of(root_, "nodes"), count_of(root_, "meshes"), count_of(root_, "materials"),
                  count_of(root_, "accessors"), count_of(root_, "bufferViews")};
  if (binary_is_first_)
    start.offset = (container_.binary.size() + 3) / 4 * 4;
  else
    start.buffer = count_of(root_, "buffers");
  return start;
}

void Splicer::add_member(const JsonSpan& object, const std::string& text) {
  const bool first = object.members.empty() && (&object != &root_ || root_members_ == 0);
  if (&object == &root_) ++root_members_;
  edits_.insert(object.end - 1, (first ? "" : ",") + text);
}

void Splicer::extend(std::string_view key, const GltfElements& elements) {
  if (elements.count == 0) return;
  const JsonSpan* list = root_.find(key);
  if (list == nullptr)
    add_member(root_, json_string(key) + ":[" + elements.text + "]");
  else
    edits_.insert(list->end - 1, (list->elements.empty() ? "" : ",") + elements.text);
}

std::string joined(const std::vector<std::size_t>& indices) {
  std::string text;
  for (const std::size_t i : indices) text += (text.empty() ? "" : ",") + std::to_string(i);
  return text;
}

/// A file without scenes shows all its roots: the new scene must too.
void Splicer::add_new_scene(const std::vector<std::size_t>& roots) {
  std::vector<bool> is_child(count_of(root_, "nodes"), false);
  if (const JsonSpan* nodes = root_.find("nodes"))
    for (const JsonSpan& node : nodes->elements)
      if (const JsonSpan* children = node.find("children"))
        for (const JsonSpan& child : children->elements)
          if (const auto i = index_in(container_.json, &child); i && *i < is_child.size())
            is_child[*i] = true;
  std::vector<std::size_t> all;
  for (std::size_t i = 0; i < is_child.size(); ++i)
    if (!is_child[i]) all.push_back(i);
  all.insert(all.end(), roots.begin(), roots.end());
  GltfElements scene;
  scene.add("{\"nodes\":[" + joined(all) + "]}");
  extend("scenes", scene);
  if (root_.find("scene") == nullptr) add_member(root_, "\"scene\":0");
}

Status Splicer::add_roots(const std::vector<std::size_t>& roots) {
  const JsonSpan* scenes = root_.find("scenes");
  if (scenes == nullptr || scenes->elements.empty()) {
    add_new_scene(roots);
    return Done{};
  }
  const std::size_t shown = index_in(container_.json, root_.find("scene")).value_or(0);
  if (shown >= scenes->elements.size())
    return syntax_error(file_, "It names a scene that it does not hold.");
  const JsonSpan& scene = scenes->elements[shown];
  if (const JsonSpan* nodes = scene.find("nodes"))
    edits_.insert(nodes->end - 1, (nodes->elements.empty() ? "" : ",") + joined(roots));
  else
    add_member(scene, "\"nodes\":[" + joined(roots) + "]");
  return Done{};
}

void Splicer::add_bytes(const GltfBuilder& builder) {
  if (builder.bytes().empty()) return;
  const JsonSpan* buffers = root_.find("buffers");
  const bool own_buffer = builder.buffer() > 0 || buffers == nullptr || buffers->elements.empty();
  GltfElements added;
  if (builder.buffer() > 0) {
    added.add("{\"byteLength\":" + std::to_string(builder.bytes().size()) + ",\"uri\":" +
              json_string("data:application/octet-stream;base64," + base64(builder.bytes())) + "}");
    extend("buffers", added);
    return;
  }
  container_.binary.resize(builder.offset(), '\0');
  container_.binary += builder.bytes();
  const std::string length = std::to_string(container_.binary.size());
  if (own_buffer) {
    added.add("{\"byteLength\":" + length + "}");
    extend("buffers", added);
  } else if (const JsonSpan* old = buffers->elements[0].find("byteLength")) {
    edits_.replace(*old, length);
  }
}

Status Splicer::add(const GltfBuilder& builder) {
  for (const char* key :
       {"nodes", "meshes", "materials", "accessors", "bufferViews", "buffers", "scenes"})
    if (const JsonSpan* list = root_.find(key); list && list->kind != JsonSpan::Kind::array)
      return syntax_error(file_, std::string("Its \"") + key + "\" is not a list.");
  extend("nodes", builder.nodes());
  extend("meshes", builder.meshes());
  extend("materials", builder.materials());
  extend("accessors", builder.accessors());
  extend("bufferViews", builder.views());
  add_bytes(builder);
  return add_roots(builder.roots());
}

GlbFile Splicer::finished() const {
  return {glb_bytes(edits_.applied(container_.json), container_.binary), notes_};
}

}  // namespace

Result<GlbFile> append_to_gltf(std::string_view original, const std::filesystem::path& file,
                               const FileFrame& frame, const Annotation& annotation,
                               const std::vector<DrawnItem>& drawings) {
  auto container = glb_opened(original, file);
  if (!container) return container.error();
  auto root = json_spans(container->json, file.string());
  if (!root) return root.error();
  Splicer splicer(std::move(*container), std::move(*root), file);
  splicer.embed();
  GltfBuilder builder(splicer.start(), frame);
  builder.add_annotation(annotation, drawings);
  if (const Status added = splicer.add(builder); !added) return added.error();
  return splicer.finished();
}

GlbFile glb_of_our_own(const FileFrame& frame, const Annotation& annotation,
                       const std::vector<DrawnItem>& drawings, const Scene* scene,
                       const std::string& generator) {
  GltfBuilder builder({}, frame);
  std::vector<std::string> notes;
  std::string extras;
  if (scene != nullptr) {
    const std::filesystem::path path(scene->source.path);
    builder.add_scene(*scene, path.stem().string());
    if (scene->source.chord_error_m > 0)
      extras = ",\"extras\":{\"chord_error_m\":" + json_number(scene->source.chord_error_m) + "}";
  }
  if (scene == nullptr || !annotation.items.empty()) builder.add_annotation(annotation, drawings);
  std::string json = "{\"asset\":{\"version\":\"2.0\",\"generator\":" + json_string(generator) +
                     extras + "},\"scene\":0,\"scenes\":[{\"nodes\":[" + joined(builder.roots()) +
                     "]}]";
  const auto list = [&](const char* key, const GltfElements& elements) {
    if (elements.count > 0) json += std::string(",\"") + key + "\":[" + elements.text + "]";
  };
  list("nodes", builder.nodes());
  list("meshes", builder.meshes());
  list("materials", builder.materials());
  list("accessors", builder.accessors());
  list("bufferViews", builder.views());
  if (!builder.bytes().empty())
    json += ",\"buffers\":[{\"byteLength\":" + std::to_string(builder.bytes().size()) + "}]";
  return {glb_bytes(json + "}", builder.bytes()), notes};
}

std::vector<std::string> gltf_references(std::string_view original) {
  std::vector<std::string> names;
  const auto container = glb_opened(original, {});
  if (!container) return names;
  const auto root = json_spans(container->json, "");
  if (!root) return names;
  for (const char* key : {"buffers", "images"}) {
    const JsonSpan* list = root->find(key);
    if (list == nullptr) continue;
    for (const JsonSpan& element : list->elements) {
      const JsonSpan* uri = element.find("uri");
      if (uri == nullptr) continue;
      const std::string name =
          json_unquoted(container->json.substr(uri->begin, uri->end - uri->begin));
      if (!has_scheme(name)) names.push_back(percent_decoded(name));
    }
  }
  return names;
}

}  // namespace roomloom
