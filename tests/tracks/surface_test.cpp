// The tracks of a bare box against CGAL's exact surface shortest path on the box that the tracks'
// stand-off leaves: no way on tracks may be shorter.
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/Surface_mesh_shortest_path.h>
#include <gtest/gtest.h>

#include "tracks/graph_check.h"
#include "tracks/tracks.h"

namespace roomloom {
namespace {

using namespace roomloom::testing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using Traits = CGAL::Surface_mesh_shortest_path_traits<Kernel, Mesh>;
using ShortestPath = CGAL::Surface_mesh_shortest_path<Traits>;

Mesh box_mesh(const Vec3& low, const Vec3& high) {
  Mesh mesh;
  std::vector<Mesh::Vertex_index> corners;
  for (int i = 0; i < 8; ++i)
    corners.push_back(mesh.add_vertex({(i & 1) != 0 ? high.x : low.x, (i & 2) != 0 ? high.y : low.y,
                                       (i & 4) != 0 ? high.z : low.z}));
  const int sides[6][4] = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4},
                           {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
  for (const auto& s : sides) {
    mesh.add_face(corners[std::size_t(s[0])], corners[std::size_t(s[1])],
                  corners[std::size_t(s[2])]);
    mesh.add_face(corners[std::size_t(s[0])], corners[std::size_t(s[2])],
                  corners[std::size_t(s[3])]);
  }
  return mesh;
}

double surface_distance(const Mesh& mesh, const Vec3& a, const Vec3& b) {
  ShortestPath paths(mesh);
  const auto locate = [&](const Vec3& p) {
    return paths.locate<CGAL::AABB_traits<Kernel, CGAL::AABB_face_graph_triangle_primitive<Mesh>>>(
        Kernel::Point_3(p.x, p.y, p.z));
  };
  const auto from = locate(a), to = locate(b);
  paths.add_source_point(from.first, from.second);
  return paths.shortest_distance_to_source_points(to.first, to.second).first;
}

TEST(TracksOutside, NoWayInABareBoxIsShorterThanTheExactSurfacePath) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  const struct {
    const char* wall;
    Vec3 at, inward;
  } places[] = {{"Wall 1", {1.0, 0, 0.6}, {0, 1, 0}},
                {"Wall 2", {4.2, 2.2, 1.9}, {-1, 0, 0}},
                {"Wall 3", {0.9, 5.4, 1.2}, {0, -1, 0}},
                {"Wall 4", {0, 3.4, 2.1}, {1, 0, 0}},
                {"Ceiling", {2.0, 2.9, 2.5}, {0, 0, -1}}};
  for (std::size_t i = 0; i < 5; ++i)
    for (std::size_t j = i + 1; j < 5; ++j) {
      Case c = make_case(prism);
      const int a = add_end(c, prism, "a", places[i].wall, places[i].at);
      const int b = add_end(c, prism, "b", places[j].wall, places[j].at);
      add_run(c, "r", a, b);
      const double h = track_stand_off_m(c.job.catalogue);
      const Mesh mesh = box_mesh({h, h, h}, {4.2 - h, 5.4 - h, 2.5 - h});
      const double exact = surface_distance(mesh, places[i].at + h * places[i].inward,
                                            places[j].at + h * places[j].inward);
      const double found = shortest_m(build_tracks(c.scene, c.room, c.ends, c.job), a, b) - 2 * h;
      EXPECT_GE(found, exact - 1e-9) << places[i].wall << " to " << places[j].wall;
      EXPECT_LE(found, exact * std::sqrt(2.0) * 1.25) << "level and upright ways only";
    }
}

}  // namespace
}  // namespace roomloom
