#include "write/assimp_reading.h"

#include <assimp/scene.h>

#include <assimp/Importer.hpp>

namespace roomloom::assimp_reading {
namespace {

Vec3 point(const aiVector3D& v) {
  return {static_cast<double>(v.x), static_cast<double>(v.y), static_cast<double>(v.z)};
}

void add_mesh(ReadNode& node, const aiMesh& mesh, const aiMatrix4x4& place) {
  for (unsigned i = 0; i < mesh.mNumVertices; ++i) node.box.add(point(place * mesh.mVertices[i]));
  for (unsigned f = 0; f < mesh.mNumFaces; ++f) {
    const aiFace& face = mesh.mFaces[f];
    const Vec3 a = point(mesh.mVertices[face.mIndices[0]]);
    if (face.mNumIndices == 2)
      node.line_length += distance(a, point(mesh.mVertices[face.mIndices[1]]));
    if (face.mNumIndices != 3) continue;
    ++node.triangles;
    if (!mesh.HasNormals()) continue;
    const Vec3 b = point(mesh.mVertices[face.mIndices[1]]);
    const Vec3 c = point(mesh.mVertices[face.mIndices[2]]);
    const Vec3 normal = point(mesh.mNormals[face.mIndices[0]]);
    if (dot(cross(b - a, c - a), normal) <= 0) node.outward = false;
  }
}

void add_extras(ReadNode& node, const aiMetadata* extras) {
  if (extras == nullptr) return;
  for (unsigned i = 0; i < extras->mNumProperties; ++i) {
    const aiMetadataEntry& entry = extras->mValues[i];
    const std::string key = extras->mKeys[i].C_Str();
    if (entry.mType == AI_AISTRING)
      node.texts[key] = static_cast<const aiString*>(entry.mData)->C_Str();
    if (entry.mType == AI_DOUBLE) node.numbers[key] = *static_cast<const double*>(entry.mData);
    if (entry.mType == AI_FLOAT)
      node.numbers[key] = static_cast<double>(*static_cast<const float*>(entry.mData));
  }
}

void visit(const aiScene& scene, const aiNode& from, const std::string& parent,
           const aiMatrix4x4& above, std::vector<ReadNode>& all) {
  const aiMatrix4x4 place = above * from.mTransformation;
  ReadNode node;
  node.name = from.mName.C_Str();
  node.parent = parent;
  for (unsigned i = 0; i < from.mNumMeshes; ++i)
    add_mesh(node, *scene.mMeshes[from.mMeshes[i]], place);
  add_extras(node, from.mMetaData);
  all.push_back(node);
  for (unsigned i = 0; i < from.mNumChildren; ++i)
    visit(scene, *from.mChildren[i], node.name, place, all);
}

}  // namespace

std::vector<ReadNode> read_nodes(const std::string& file, std::string& error) {
  Assimp::Importer importer;
  const aiScene* scene = importer.ReadFile(file, 0);
  if (scene == nullptr) {
    error = importer.GetErrorString();
    return {};
  }
  std::vector<ReadNode> all;
  visit(*scene, *scene->mRootNode, "", aiMatrix4x4(), all);
  return all;
}

const ReadNode* find(const std::vector<ReadNode>& nodes, const std::string& name) {
  for (const ReadNode& node : nodes)
    if (node.name == name) return &node;
  return nullptr;
}

}  // namespace roomloom::assimp_reading
