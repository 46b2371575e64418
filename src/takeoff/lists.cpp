#include <string_view>

#include "takeoff/takeoff.h"

namespace roomloom {
namespace {

constexpr double kFoot = 0.3048;

// A cell that a spreadsheet would take for a formula is made harmless; one with a comma, a quote
// or a line end is quoted (RFC 4180, section 2).
std::string text_cell(const std::string& text) {
  std::string safe = text;
  if (!safe.empty() && std::string_view("=+-@\t\r").find(safe.front()) != std::string_view::npos)
    safe.insert(0, 1, '\'');
  if (safe.find_first_of(",\"\r\n") == std::string::npos) return safe;
  std::string quoted = "\"";
  for (const char c : safe) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

class CsvText {
 public:
  explicit CsvText(DisplayUnits units) : feet_(units == DisplayUnits::feet_and_inches) {}

  void text(const std::string& value) { add(text_cell(value)); }
  void number(int value) { add(std::to_string(value)); }
  void length_heading(const std::string& name) { text(name + (feet_ ? " (ft)" : " (m)")); }
  void length(double metres) { add(format_number(feet_ ? metres / kFoot : metres, 5)); }
  void size_heading(const std::string& name) { text(name + (feet_ ? " (in)" : " (mm)")); }
  void size(double metres) {
    add(feet_ ? format_number(metres * 12 / kFoot, 3) : format_number(metres * 1000, 1));
  }
  void end_row() {
    body_ += "\r\n";
    first_ = true;
  }
  std::string take() { return std::move(body_); }

 private:
  void add(const std::string& cell) {
    if (!first_) body_ += ',';
    body_ += cell;
    first_ = false;
  }
  bool feet_;
  bool first_ = true;
  std::string body_;
};

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : "; ") + word;
  return text;
}

std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

void lengths_heading(CsvText& table) {
  for (const char* name : {"Run", "From", "To", "Cable", "Colour", "Service", "State"})
    table.text(name);
  table.length_heading("Way along the tracks");
  table.length_heading("Drawn");
  for (const char* name : kAddendNames) table.length_heading(capitalised(name));
  table.length_heading("Cut");
  for (const char* name : {"Bends", "Tight bends", "Shares its way with"}) table.text(name);
  table.end_row();
}

std::string state_of(const RunRow& row) {
  if (!row.routed) return "no way: " + (row.blocked_by.empty() ? "unknown" : row.blocked_by);
  if (row.installed) return "installed";
  return row.provision ? "provision" : "to pull";
}

void lengths_row(CsvText& table, const RunRow& row) {
  for (const std::string& text : {row.id, row.from, row.to, row.cable, row.colour,
                                  std::string(to_string(row.service)), state_of(row)})
    table.text(text);
  table.length(row.track_m);
  table.length(row.drawn_m);
  for (std::size_t i = 0; i < kAddendNames.size(); ++i)
    table.length(i < row.addends.size() ? row.addends[i].metres : 0);
  table.length(row.cut_m);
  table.number(row.bends);
  table.number(row.tight_bends);
  table.text(joined(row.shared_with));
  table.end_row();
}

}  // namespace

std::string lengths_csv(const Takeoff& takeoff, DisplayUnits units) {
  CsvText table(units);
  lengths_heading(table);
  for (const RunRow& row : takeoff.runs) lengths_row(table, row);
  return table.take();
}

std::string holes_csv(const Takeoff& takeoff, DisplayUnits units) {
  CsvText table(units);
  for (const char* name : {"Hole", "In", "Kind", "Tile"}) table.text(name);
  table.length_heading("From the tile's left side");
  table.length_heading("From the tile's near side");
  table.size_heading("Diameter");
  table.size_heading("Bundle");
  table.size_heading("Thickness");
  table.text("State");
  for (const char* name : {"X", "Y", "Z"}) table.length_heading(name);
  table.text("Runs");
  table.end_row();
  for (const HoleRow& row : takeoff.holes) {
    for (const std::string& text : {row.name, row.crossing, row.kind, row.tile}) table.text(text);
    if (row.tile.empty()) {
      table.text("");
      table.text("");
    } else {
      table.length(row.from_edge_u_m);
      table.length(row.from_edge_v_m);
    }
    table.size(row.diameter_m);
    table.size(row.bundle_m);
    table.size(row.thickness_m);
    table.text(row.existing              ? "exists"
               : row.larger_than_allowed ? "larger than allowed here"
                                         : "to cut");
    for (int axis = 0; axis < 3; ++axis) table.length(row.centre[axis]);
    table.text(joined(row.runs));
    table.end_row();
  }
  return table.take();
}

std::string raceway_csv(const Takeoff& takeoff, DisplayUnits units) {
  CsvText table(units);
  table.text("Raceway");
  table.size_heading("Width");
  table.size_heading("Depth");
  table.length_heading("Length");
  table.text("Straight pieces");
  table.length_heading("Stock length");
  table.text("Stocks (upper bound)");
  table.end_row();
  for (const RacewayRow& row : takeoff.raceways) {
    table.text(row.raceway);
    table.size(row.width_m);
    table.size(row.depth_m);
    table.length(row.length_m);
    table.number(row.pieces);
    table.length(row.stock_length_m);
    table.number(row.stocks);
    table.end_row();
  }
  return table.take();
}

}  // namespace roomloom
