#include <algorithm>
#include <string>
#include <vector>

#include "base/files.h"
#include "interview/interview.h"
#include "interview/sheet_page.h"

namespace roomloom {
namespace {

/// All that could be asked: with a suspended ceiling, studs, a screen, a projector, a door, a
/// window, an outlet.
std::vector<Question> whole_sheet(const Answers& answers) {
  Answers all;
  for (const auto& [key, value] : answers.all()) all.set(key, value);
  for (const auto& [key, value] :
       {std::pair("suspended_ceiling", "yes"), std::pair("hollow_walls", "all"),
        std::pair("screen", "yes"), std::pair("projector", "yes"),
        std::pair("loudspeakers", "0+5+0")})
    if (!all.has(key)) all.set(key, value);
  for (const char* key : {"doors", "windows", "network_points"})
    if (!all.has(key)) all.set(key, "1");
  return questions(all);
}

/// Questions that belong to one figure, with their numbers on the sheet.
struct Section {
  SheetFigure figure;
  std::vector<std::pair<int, Question>> questions;
};

std::vector<Section> sections_of(const std::vector<Question>& questions) {
  std::vector<Section> all;
  int number = 0;
  for (const Question& question : questions) {
    SheetFigure figure = figure_of(question.key);
    if (all.empty() || all.back().figure.title != figure.title)
      all.push_back({std::move(figure), {}});
    all.back().questions.emplace_back(++number, question);
  }
  return all;
}

constexpr double kLeft = 15, kBottom = 285, kTitleHeight = 6, kBetween = 3;
constexpr double kTextLeft = 84, kTextWidth = 68, kWriteLeft = 155, kWriteRight = 197;

std::string asked_of(const Question& question) {
  std::string words = question.text + (question.hint.empty() ? "" : " " + question.hint);
  if (question.kind == AnswerKind::choice) {
    words += " (";
    for (const std::string& choice : question.choices)
      words += (words.back() == '(' ? "" : ", ") + choice;
    words += ")";
  }
  return words;
}

double height_of(SheetPage& page, const Section& section) {
  double rows = 0;
  for (const auto& [number, question] : section.questions)
    rows += std::max(page.height_of(kTextWidth, asked_of(question)), 5.0) + 1.5;
  return kTitleHeight + std::max(rows, section.figure.draw ? kFigureHeight : 0.0) + kBetween;
}

void draw_section(SheetPage& page, double top, const Section& section, const Answers& answers) {
  page.line(kLeft, top, kWriteRight, top);
  page.text(kLeft, top + 0.8, 100, section.figure.title, 10);
  if (section.figure.draw)
    section.figure.draw(page, kLeft, top + kTitleHeight, [&](const std::string& key) {
      for (const auto& [number, question] : section.questions)
        if (question.key == key) return std::to_string(number);
      return std::string();
    });
  double y = top + kTitleHeight;
  for (const auto& [number, question] : section.questions) {
    page.number(kTextLeft - 4, y + 2, std::to_string(number));
    const double height = page.text(kTextLeft, y, kTextWidth, asked_of(question));
    page.text(kWriteLeft + 1, y - 0.5, kWriteRight - kWriteLeft, answers.text(question.key), 8);
    page.line(kWriteLeft, y + 4, kWriteRight, y + 4);
    y += std::max(height, 5.0) + 1.5;
  }
}

/// A cell of a table, in quotes where it needs them.
std::string cell(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string all = "\"";
  for (const char c : text) all += c == '"' ? std::string("\"\"") : std::string(1, c);
  return all + "\"";
}

}  // namespace

std::string measuring_sheet_text(const Answers& answers) {
  std::string text =
      "# Measuring sheet. Write after the colon what you find, or don't know; then:\n"
      "#   roomloom start --answers THIS_FILE\n";
  for (const Question& question : whole_sheet(answers)) {
    text += "\n# " + question.text + "\n";
    if (!question.hint.empty()) text += "#   " + question.hint + "\n";
    if (!question.choices.empty()) {
      text += "#   One of:";
      for (const std::string& choice : question.choices) text += " " + choice + ",";
      text.back() = '.';
      text += "\n";
    }
    text += question.key + ": " + answers.text(question.key) + "\n";
  }
  return text;
}

std::string measuring_sheet_csv(const Answers& answers) {
  std::string text = "key,value,question\n";
  for (const Question& question : whole_sheet(answers))
    text += question.key + "," + cell(answers.text(question.key)) + "," + cell(asked_of(question)) +
            "\n";
  return text;
}

Status write_measuring_sheet(const Answers& answers, const std::filesystem::path& pdf) {
  std::string bytes;
  {
    SheetPage page(bytes);
    page.text(kLeft, 12, 180, "Measuring sheet", 16);
    page.text(kLeft, 20, 182,
              "Lengths as the tape gives them: 2.31 m, 231 cm, 7' 6 3/8\". Leave open what you "
              "cannot reach. The front wall is the one you look at; left and right are as you face "
              "a wall from inside. Numbers in the drawings are those of the questions.");
    double y = 31;
    for (const Section& section : sections_of(whole_sheet(answers))) {
      const double height = height_of(page, section);
      if (y + height > kBottom && y > kLeft) {
        page.next();
        y = kLeft;
      }
      draw_section(page, y, section, answers);
      y += height;
    }
    if (!page.finish())
      return Error{"file.unwritable", "The sheet cannot be drawn.", pdf.string(), "Leave it out."};
  }
  return write_file(pdf, bytes);
}

}  // namespace roomloom
