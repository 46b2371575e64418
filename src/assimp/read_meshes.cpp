#include "assimp/read_meshes.h"

#include <assimp/BaseImporter.h>
#include <assimp/importerdesc.h>
#include <assimp/postprocess.h>
#include <assimp/scene.h>

#include <assimp/IOSystem.hpp>
#include <assimp/Importer.hpp>
#include <charconv>
#include <new>

namespace roomloom {
namespace {

/// A file system in which nothing exists.
class NoFiles : public Assimp::IOSystem {
 public:
  bool Exists(const char*) const override { return false; }
  char getOsSeparator() const override { return '/'; }
  Assimp::IOStream* Open(const char*, const char*) override { return nullptr; }
  void Close(Assimp::IOStream*) override {}
};

/// Assimp tries every importer that knows the look of a file; only the wanted one may stay.
void keep_only(Assimp::Importer& importer, const std::string& extension) {
  for (std::size_t i = importer.GetImporterCount(); i-- > 0;) {
    Assimp::BaseImporter* candidate = importer.GetImporter(i);
    const std::string name = candidate->GetInfo()->mName;
    const bool wanted =
        extension == "obj" ? name == "Wavefront Object Importer" : name == "glTF2 Importer";
    if (wanted) continue;
    importer.UnregisterLoader(candidate);
    delete candidate;
  }
}

void collect(const aiScene& scene, const aiNode& node, std::vector<MeshTriangles>& meshes) {
  const std::string_view name(node.mName.C_Str(), node.mName.length);
  std::size_t number = 0;
  const auto [end, status] = std::from_chars(name.data(), name.data() + name.size(), number);
  const bool is_number = status == std::errc() && end == name.data() + name.size();
  if (is_number && number < meshes.size() && node.mNumMeshes == 1) {
    const aiMesh& mesh = *scene.mMeshes[node.mMeshes[0]];
    MeshTriangles& read = meshes[number];
    read.point_count = mesh.mNumVertices;
    for (unsigned f = 0; f < mesh.mNumFaces; ++f) {
      const aiFace& face = mesh.mFaces[f];
      if (face.mNumIndices == 3)
        read.triangles.push_back({face.mIndices[0], face.mIndices[1], face.mIndices[2]});
    }
  }
  for (unsigned c = 0; c < node.mNumChildren; ++c) collect(scene, *node.mChildren[c], meshes);
}

}  // namespace

Result<std::vector<MeshTriangles>> read_meshes(std::string_view bytes, MeshFile format,
                                               std::size_t mesh_count, const std::string& file) {
  const std::string extension = format == MeshFile::obj ? "obj" : "glb";
  try {
    Assimp::Importer importer;
    keep_only(importer, extension);
    importer.SetIOHandler(new NoFiles);  // the importer deletes it
    const unsigned steps = format == MeshFile::obj ? unsigned{aiProcess_Triangulate} : 0U;
    const aiScene* scene =
        importer.ReadFileFromMemory(bytes.data(), bytes.size(), steps, extension.c_str());
    if (scene == nullptr || scene->mRootNode == nullptr)
      return Error{
          "model.syntax",
          "Assimp cannot read the meshes (" + std::string(importer.GetErrorString()) + ").", file,
          "Load the model in another program and export it again."};
    std::vector<MeshTriangles> meshes(mesh_count);
    collect(*scene, *scene->mRootNode, meshes);
    return meshes;
  } catch (const std::bad_alloc&) {
    return Error{"model.too-large", "Reading the model needs more memory than allowed.", file,
                 "Give a simpler model or raise the memory limit."};
  } catch (const std::exception& failure) {
    return Error{"model.syntax",
                 "Assimp gave up on the meshes (" + std::string(failure.what()) + ").", file,
                 "Load the model in another program and export it again."};
  }
}

}  // namespace roomloom
