#pragma once

#include <array>
#include <filesystem>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

/// Hands that tamper with written files, for tests of what the check sees. They keep a file's form
/// whole: what they leave behind any reader opens.
namespace roomloom::testing {

using Point = std::array<double, 3>;
using Change = std::function<Point(const Point&)>;

Change moved_by(double x, double y, double z);
/// Away from (factor > 1) or toward a middle.
Change scaled_about(const Point& middle, double factor);

/// A GLB file taken apart.
class GlbFile {
 public:
  explicit GlbFile(std::filesystem::path file);
  void save() const;

  /// The node of this name; fails the test if there is none.
  nlohmann::json& node(const std::string& name);
  std::size_t index(const std::string& name) const;
  /// Positions of a node's mesh, all primitives in turn.
  std::vector<Point> points(const std::string& name) const;
  void change_points(const std::string& name, const std::function<Point(std::size_t, Point)>& to);
  void change_points(const std::string& name, const Change& change);
  /// Takes the node out of its parent's children.
  void cut_out(const std::string& name);
  /// Puts it under another node instead.
  void hang_under(const std::string& name, const std::string& parent);

 private:
  std::size_t offset(std::size_t accessor) const;

  std::filesystem::path file_;
  nlohmann::json json_;
  std::string binary_;
};

/// A STEP file as statements by number.
class StepFile {
 public:
  explicit StepFile(std::filesystem::path file);
  void save() const;

  /// The number of the product of this name; fails the test if there is none.
  long product(const std::string& name) const;
  std::string& statement(long number) { return statements_.at(number); }
  /// Statements of a type that a product's shape consists of, ascending.
  std::vector<long> parts_of(const std::string& name, const std::string& type) const;
  void change_points(const std::string& name, const Change& change);
  void change_point(long number, const Change& change);
  /// Changes the last number of a statement: a circle's or a cylinder's radius.
  void scale_last(long number, double factor);
  /// Takes a product out of the assembly.
  void cut_out(const std::string& name);

 private:
  std::vector<long> references(const std::string& body) const;

  std::filesystem::path file_;
  std::string head_, tail_;
  std::map<long, std::string> statements_;
};

/// An OBJ file as lines.
class ObjFile {
 public:
  explicit ObjFile(std::filesystem::path file);
  void save() const;

  std::vector<Point> points(const std::string& object) const;
  void change_points(const std::string& object, const std::function<Point(std::size_t, Point)>& to);
  void change_points(const std::string& object, const Change& change);
  void rename(const std::string& object, const std::string& name);
  /// Removes the object's faces and lines, and its name; its vertices stay, for numbers' sake.
  void cut_out(const std::string& object);

 private:
  /// Lines from the object's name to the next one's.
  std::pair<std::size_t, std::size_t> range(const std::string& object) const;

  std::filesystem::path file_;
  std::vector<std::string> lines_;
};

/// A list as cells; none of the tests' cells needs quotes.
class ListFile {
 public:
  explicit ListFile(std::filesystem::path file);
  void save() const;
  std::vector<std::vector<std::string>> rows;

 private:
  std::filesystem::path file_;
};

/// Changes one letter or digit of a cell; an empty one gets an "x".
void change_cell(std::string& cell, std::size_t seed);

nlohmann::ordered_json read_json(const std::filesystem::path& file);
void write_json(const std::filesystem::path& file, const nlohmann::ordered_json& json);

}  // namespace roomloom::testing
