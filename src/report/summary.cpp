#include <algorithm>
#include <map>

#include "base/words.h"
#include "report/csv.h"
#include "report/report.h"
#include "trade/cautions.h"

namespace roomloom {
namespace {

std::size_t shown_width(const std::string& text) {
  std::size_t shown = 0;  // characters, not bytes, of UTF-8
  for (const char c : text) shown += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1 : 0;
  return shown;
}

std::string padded(std::string text, std::size_t width) {
  const std::size_t shown = shown_width(text);
  if (shown < width) text.append(width - shown, ' ');
  return text;
}

using Rows = std::vector<std::vector<std::string>>;

/// Columns as wide as their widest cell, two spaces apart; the last is not padded.
std::string table(const Rows& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()), 0);
    for (std::size_t i = 0; i < row.size(); ++i) {
      widths[i] = std::max(widths[i], shown_width(row[i]));
    }
  }
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i + 1 < row.size(); ++i) text += padded(row[i], widths[i] + 2);
    text += row.back() + "\n";
  }
  return text;
}

std::string runs_table(const Planned& p) {
  Rows rows{{"Run", "From", "To", "Cable", "Drawn", "Cut"}};
  std::string blocked;
  for (std::size_t i = 0; i < p.ends.runs.size(); ++i) {
    const Run& run = p.ends.runs[i];
    const CableShape& shape = p.shapes.cables[i];
    const auto end = [&](int e) { return p.ends.ends[static_cast<std::size_t>(e)].id; };
    const CableType& cable = p.job.catalogue.cables[static_cast<std::size_t>(run.cable)];
    if (!shape.routed) {
      blocked += "Run " + run.id + " (" + end(run.from) + " to " + end(run.to) +
                 ") has no way: blocked by " + p.plan.runs[i].blocked_by + ".\n";
      continue;
    }
    const double lead_m = p.takeoff.runs[i].lead_m;
    rows.push_back({run.id, end(run.from), end(run.to), cable.id,
                    format_length(shape.drawn_m, p.job.units, 2),
                    lead_m > 0 ? format_length(lead_m, p.job.units, 2) + " lead, not cut"
                               : format_length(shape.cut_m, p.job.units, 2)});
  }
  return table(rows) + blocked;
}

/// ", to buy: 1 x 50.0 m"; leads are bought one a run.
std::string to_buy(const Planned& p, const CableTotal& total) {
  std::map<double, int> lengths;
  bool shelf = false;
  for (const Spool& spool : p.takeoff.spools) {
    if (spool.cable != total.cable || spool.colour != total.colour) continue;
    if (spool.on_shelf)
      shelf = true;
    else
      ++lengths[spool.length_m];
  }
  if (lengths.empty()) return shelf ? ", all from the shelf" : "";
  std::string text = ", to buy: ";
  for (const auto& [length_m, count] : lengths)
    text += (text.back() == ' ' ? "" : " and ") + std::to_string(count) + " x " +
            format_length(length_m, p.job.units, 1);
  return text;
}

std::string totals(const Planned& p) {
  std::string text = "\nCable, cut lengths added up\n";
  for (const CableTotal& total : p.takeoff.totals) {
    const std::string colour = total.colour.empty() ? "" : ", " + total.colour;
    text += "  " + padded(total.cable + colour, 28) + format_length(total.cut_m, p.job.units, 2) +
            " in " + std::to_string(total.runs) + (total.runs == 1 ? " run" : " runs") +
            to_buy(p, total) + "\n";
  }
  const auto cut =
      std::count_if(p.takeoff.holes.begin(), p.takeoff.holes.end(),
                    [](const HoleRow& hole) { return !hole.existing && !hole.cut_already; });
  double to_fix = 0, there = 0;
  for (const RacewayPiece& piece : p.takeoff.raceway_pieces)
    (piece.fixed ? there : to_fix) += piece.length_m;
  text += "Holes to cut: " + std::to_string(cut) +
          "   Raceway to fix: " + format_length(to_fix, p.job.units, 1);
  if (there > 0) text += " (" + format_length(there, p.job.units, 1) + " there already)";
  return text + "\n";
}

std::string optimum(const Planned& p) {
  const double gap = p.plan.bound > 0 ? (p.plan.objective - p.plan.bound) / p.plan.bound : 0;
  std::string text = "Cost of the plan: " + format_number(p.plan.objective, 2) + " " +
                     p.job.currency +
                     ", work and looks weighed in (built-in prices are invented); ";
  if (p.plan.proven) return text + "proven the least on this track graph.\n";
  return text + "at most " + format_number(100 * gap, 2) + " % above the least possible there.\n";
}

std::string rules(const Planned& p) {
  std::string text;
  for (const std::string& note : p.plan.notes) text += "  " + note + "\n";
  return text.empty() ? "" : "\nRules, and what lies there already\n" + text;
}

std::string doubts(const Planned& p) {
  std::string text;
  int roles = 0;
  const auto tell = [&](const std::vector<Guess>& guesses) {
    for (const Guess& g : guesses) {
      if (g.what.rfind("Role of ", 0) == 0) {
        ++roles;  // many lines that `survey` is there to print
        continue;
      }
      text += "  " + g.what + ": " + g.value + " (" + g.why + ")\n";
      if (!g.overrule.empty()) text += "    overrule: " + g.overrule + "\n";
    }
  };
  tell(p.room.guesses);
  tell(p.ends.guesses);
  for (const LoudspeakerPlace& place : p.ends.loudspeakers) {
    if (!place.moved_within_range || place.end < 0) continue;
    const End& end = p.ends.ends[static_cast<std::size_t>(place.end)];
    text += "  Loudspeaker " + place.label + ": " + end.how + "\n";
  }
  if (roles > 0) {
    text += (roles == 1 ? std::string("  The role of one group")
                        : "  The roles of " + std::to_string(roles) + " groups") +
            " of parts: taken from the model's words or shape; roomloom survey lists them\n";
  }
  // What the bound leaves out is about the figure above; the rest is about the user's own runs.
  const auto noted = [&](const std::string& told) {  // among the rules
    return std::find(p.plan.notes.begin(), p.plan.notes.end(), told) != p.plan.notes.end();
  };
  for (const std::string& told : p.plan.relaxations)
    if (!told.starts_with("the bound ") && !noted(told)) text += "  " + told + "\n";
  for (const std::string& warning : p.room.warnings) text += "  " + warning + "\n";
  for (const Note& note : p.scene.notes) text += "  " + note.text + "\n";
  return text.empty() ? "" : "\nTaken for granted\n" + text;
}

std::string found(const Findings& findings) {
  const std::string quiet = std::to_string(findings.quiet) + " checks had nothing to say.\n";
  if (findings.items.empty()) return std::string("\n") + trade::no_conflict_text() + " " + quiet;
  const bool only_notes = std::all_of(findings.items.begin(), findings.items.end(),
                                      [](const Finding& f) { return f.level == Level::note; });
  std::string text = "\nFindings\n";
  if (only_notes) text += std::string("  ") + trade::no_conflict_text() + " Notes:\n";
  for (const Finding& f : findings.items) {
    text += "  " + padded(std::string(to_string(f.level)), 7) + f.text + " [" + f.id + "]\n";
  }
  return text + "  " + quiet;
}

std::string gauges(const Planned& p) {
  if (p.takeoff.gauges.empty()) return "";
  std::string text = "\nGauges chosen\n";
  for (const GaugeChosen& one : p.takeoff.gauges)
    text += "  " + one.run + ": " + one.cable + ". " + one.why + "\n";
  return text;
}

/// Which of the job's variants this is the plan of.
std::string planned_as(const Planned& p) {
  std::string names;
  for (const std::string& name : p.job.origin.chosen) names += (names.empty() ? "" : " + ") + name;
  if (names.empty()) return "";
  return "Planned as: " + names + (p.job.origin.chosen.size() > 1 ? ", wired together." : ".") +
         "\n\n";
}

/// A cell as a person reads it: lengths with their unit, no more places than tell something.
std::string shown(const Cell& cell, ColumnKind kind, const TableStyle& style) {
  const auto* value = std::get_if<double>(&cell);
  if (value == nullptr) return told_cell(cell, kind, style);
  if (kind == ColumnKind::length) return format_length(*value, style.units, 1);
  if (kind == ColumnKind::number) return format_number(*value, 1);
  if (kind == ColumnKind::minutes) return format_number(*value, 0);
  return told_cell(cell, kind, style);
}

std::string variants(const Planned& p) {
  const TableStyle style{p.job.units, p.job.currency};
  for (const Table& list : p.takeoff.tables) {
    if (list.id != "variants") continue;
    Rows rows(1);
    for (const Column& column : list.columns)
      rows[0].push_back(column.kind == ColumnKind::length ? column.title
                                                          : column_title(column, style));
    for (const std::vector<Cell>& row : list.rows) {
      rows.emplace_back();
      for (std::size_t i = 0; i < row.size(); ++i)
        rows.back().push_back(shown(row[i], list.columns[i].kind, style));
    }
    return "\n" + list.title + "\n" + table(rows);
  }
  return "";
}

std::string seen(const Planned& p) {
  if (p.takeoff.seen.empty()) return "";
  std::string text = "\nWhat will be seen\n";
  for (const SeenFrom& one : p.takeoff.seen) text += "  " + one.words + "\n";
  return text;
}

std::string ramps(const Planned& p) {
  std::string text;
  for (const RampRow& one : p.takeoff.ramps)
    text += capitalised(one.name) + ": " + format_length(one.length_m, p.job.units, 2) +
            " over the floor from " + one.wall + " to " + one.end +
            (one.on_walkway ? ", across a walkway. " : ". ") +
            "Fix it down and mark it: it is a place to trip.\n";
  return text;
}

/// A text, broken into lines that a terminal shows whole.
std::string wrapped(const std::string& text) {
  constexpr std::size_t kWidth = 96;
  std::string lines, line = "  ";
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    if (line.size() + word.size() + 1 > kWidth) {
      lines += line + "\n";
      line = "   ";
    }
    line += (line.find_first_not_of(' ') == std::string::npos ? "" : " ") + word;
    at = end + 1;
  }
  return lines + line + "\n";
}

std::string measured(const Planned& p) {
  for (const Table& list : p.takeoff.tables)
    if (list.id == "as_built" && !list.note.empty())
      return "\nMeasured against predicted\n" + wrapped(list.note);
  return "";
}

std::string cautions_text() {
  std::string text = "\nBefore you cut or drill\n";
  for (const trade::Caution& one : trade::cautions()) text += wrapped(one.text);
  return text;
}

}  // namespace

Table checks_table(const Findings& findings) {
  Table table{"checks",
              "Checks",
              "What the checks of the written files and of the trade's rules found.",
              {{"level", "Level"},
               {"check", "Check"},
               {"subject", "Subject"},
               {"finding", "Finding"},
               {"figure", "Figure"},
               {"limit", "Limit"},
               {"remedy", "Remedy"},
               {"source", "Source"},
               {"x_m", "X", ColumnKind::length},
               {"y_m", "Y", ColumnKind::length},
               {"z_m", "Z", ColumnKind::length}},
              {}};
  for (const Finding& f : findings.items) {
    std::vector<Cell> row{std::string(to_string(f.level)),
                          f.id,
                          f.subject,
                          f.text,
                          f.figure,
                          f.limit,
                          f.remedy,
                          f.source};
    row.resize(table.columns.size());
    for (std::size_t axis = 0; f.where && axis < 3; ++axis)
      row[8 + axis].emplace<double>((*f.where)[static_cast<int>(axis)]);
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::string summary_text(const Planned& planned, const Findings& findings) {
  return planned_as(planned) + runs_table(planned) + totals(planned) + ramps(planned) +
         gauges(planned) + optimum(planned) + variants(planned) + seen(planned) +
         measured(planned) + rules(planned) + doubts(planned) + found(findings) + cautions_text();
}

}  // namespace roomloom
