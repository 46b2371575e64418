#include "drawings/work_sheets.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "base/files.h"
#include "drawings/checks.h"

/// The sheets that are printed: labels, the crew's ladder sheet and the customer's quote.
namespace roomloom::testing {
namespace {

/// What a reader finds in a PDF; skips where none is installed.
std::string text_in(const Result<std::string>& pdf) {
  EXPECT_TRUE(pdf) << to_text(pdf.error());
  if (!pdf) return "";
  const auto file = std::filesystem::temp_directory_path() /
                    ("roomloom-work-sheets-" + std::to_string(::getpid()) + ".pdf");
  EXPECT_TRUE(write_file(file, *pdf));
  std::string text = text_of_pdf(file.string());
  std::filesystem::remove(file);
  return text;
}

std::size_t pages_in(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\f'));
}

Table labels(int runs) {
  Table table{"labels",
              "Labels",
              "",
              {{"label", "Label"},
               {"run", "Run"},
               {"end", "This end"},
               {"far_end", "Far end"},
               {"cable", "Cable"},
               {"service", "Service"},
               {"done", "Done", ColumnKind::tick}},
              {}};
  for (int i = 1; i <= runs; ++i)
    for (const char* side : {"A", "B"}) {
      const std::string run = "S" + std::to_string(i);
      table.rows.push_back({"AH-A01-" + run + "-" + side, run, "rack." + run, "left " + run,
                            std::string("speaker 2x2.5"), std::string("loudspeaker"),
                            std::string()});
    }
  return table;
}

TEST(LabelsPdf, HoldsEveryLabelOnceAndNoMoreASheetThanItHas) {
  const Table table = labels(40);
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const std::string text = text_in(labels_pdf(table, paper, "test"));
    if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
    for (const auto& row : table.rows) {
      const std::string& label = std::get<std::string>(row[0]);
      const std::size_t at = text.find(label);
      ASSERT_NE(at, std::string::npos) << label;
      EXPECT_EQ(text.find(label, at + 1), std::string::npos) << label << " twice";
    }
    const LabelSheet sheet = label_sheet(paper);
    const auto each = static_cast<std::size_t>(sheet.columns * sheet.rows);
    EXPECT_EQ(pages_in(text), (table.rows.size() + each - 1) / each);
  }
}

std::string without_spaces(std::string text) {
  std::erase_if(text, [](unsigned char c) { return std::isspace(c) != 0; });
  return text;
}

// Names differ at their ends as often as not: cut there, two labels would say the same.
TEST(LabelsPdf, TellsALongNameWholeInSmallerLettersOrMoreLines) {
  Table table = labels(2);
  for (auto& row : table.rows) {
    row[2] = "media cupboard switch upper.port " + std::get<std::string>(row[1]);
    row[3] = "Ceiling loudspeaker above the second row of seats, window side, " +
             std::get<std::string>(row[1]);
  }
  table.rows[3][0] = "HALL-A01-Projector-network-uplink-through-the-north-wall-B";
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const std::string read = text_in(labels_pdf(table, paper, "test"));
    if (read.empty()) GTEST_SKIP() << "pdftotext is not installed";
    // Each label by itself: the reader takes the lines of a whole row of labels at once.
    const std::string text = without_spaces(read);
    EXPECT_EQ(text.find("..."), std::string::npos) << read;
    EXPECT_EQ(text.find("\u2026"), std::string::npos) << read;
    for (const char* words : {"cupboard", "loudspeaker", "window", "S1", "S2"})
      EXPECT_NE(text.find(words), std::string::npos) << words << " in\n" << read;
  }
  table.rows.resize(1);
  const std::string one = text_in(labels_pdf(table, Paper::a4, "test"));
  EXPECT_NE(without_spaces(one).find("toCeilingloudspeakerabovethesecondrowofseats,windowside,S1"),
            std::string::npos)
      << one;
}

TEST(LabelsPdf, SaysWhereTheNamesAreWholeThatNoLabelHasRoomFor) {
  Table table = labels(1);
  table.rows.resize(1);
  table.rows[0][2] = std::string(700, 'W');
  const std::string text = text_in(labels_pdf(table, Paper::a4, "test"));
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  EXPECT_NE(text.find("names in full: labels.csv"), std::string::npos) << text;
  EXPECT_NE(text.find("AH-A01-S1-A"), std::string::npos);
}

TEST(LabelSheet, LiesWithinItsPaper) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const LabelSheet sheet = label_sheet(paper);
    EXPECT_LE(sheet.first_mm.x + (sheet.columns - 1) * sheet.pitch_mm.x + sheet.label_mm.x,
              sheet.size_mm.x + 1e-9);
    EXPECT_LE(sheet.first_mm.y + (sheet.rows - 1) * sheet.pitch_mm.y + sheet.label_mm.y,
              sheet.size_mm.y + 1e-9);
    EXPECT_GE(sheet.pitch_mm.x, sheet.label_mm.x - 1e-9) << "labels do not lie on each other";
    EXPECT_GE(sheet.pitch_mm.y, sheet.label_mm.y - 1e-9);
  }
}

Takeoff two_days() {
  Takeoff takeoff;
  for (const int day : {1, 2}) {
    WorkStep step;
    step.day = day;
    step.place = "L1";
    step.task = "cut a hole";
    step.text = "Mark and cut H" + std::to_string(day) + " in tile C4.";
    step.minutes = 12;
    step.least = 6;
    step.most = 25;
    takeoff.steps.push_back(step);
  }
  LadderPlace place;
  place.name = "L1";
  place.where = "1.20 m from Wall left";
  takeoff.ladder_places = {place};
  RunRow run;
  run.id = "S1";
  run.routed = true;
  takeoff.runs = {run};
  takeoff.tables = {
      {"quote",
       "Quote",
       "Mains are for licensed people.",
       {{"what", "What"}, {"price", "Price"}, {"least", "At best"}, {"most", "At worst"}},
       {{std::string("Cable"), 100.5, 100.5, 100.5},
        {std::string("Work"), 80.0, 60.0, 120.0},
        {std::string("All"), 180.5, 160.5, 220.5}}}};
  return takeoff;
}

TEST(LadderPdf, TellsEveryStepUnderItsPlaceAndBeginsEachDayOnAPageOfItsOwn) {
  const std::string text = text_in(ladder_pdf(two_days(), "Hall", Paper::a4, "test"));
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  EXPECT_EQ(pages_in(text), 2U);
  const std::size_t first = text.find("Mark and cut H1"), second = text.find("Mark and cut H2");
  ASSERT_NE(first, std::string::npos);
  ASSERT_NE(second, std::string::npos);
  EXPECT_LT(first, text.find('\f'));
  EXPECT_GT(second, text.find('\f'));
  EXPECT_NE(text.find("1.20 m from Wall left"), std::string::npos);
}

TEST(LadderPdf, SaysOnEachPageWhereItGoesOnAndOfHowManyItIs) {
  Takeoff takeoff = two_days();
  const WorkStep step = takeoff.steps.front();
  takeoff.steps.insert(takeoff.steps.begin(), 60, step);
  const std::string text = text_in(ladder_pdf(takeoff, "Hall", Paper::a4, "test"));
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  const std::size_t pages = pages_in(text);
  ASSERT_GE(pages, 3U);
  for (std::size_t page = 1, from = 0; page <= pages; ++page) {
    const std::size_t to = text.find('\f', from);
    const std::string one = text.substr(from, to - from);
    EXPECT_NE(one.find("page " + std::to_string(page) + " of " + std::to_string(pages)),
              std::string::npos);
    if (page > 1 && page < pages) {
      EXPECT_NE(one.find("Day 1, going on at L1: 1.20 m"), std::string::npos) << one;
    }
    if (page == pages) {
      EXPECT_EQ(one.find("going on"), std::string::npos) << "a day of its own";
    }
    from = to + 1;
  }
}

TEST(QuotePdf, TellsTheCustomerPricesAndNoneOfTheCrewsSteps) {
  const std::string text =
      text_in(quote_pdf(two_days(), "Hall", "EUR", DisplayUnits::metric, Paper::letter, "test"));
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  for (const char* wanted : {"Hall: quote", "EUR", "100.50", "80.00", "180.50", "220.50", "Work",
                             "1 loudspeaker", "licensed people", "Agreed"})
    EXPECT_NE(text.find(wanted), std::string::npos) << wanted;
  for (const char* unwanted : {"Mark and cut", "L1", "min", "tile C4"})
    EXPECT_EQ(text.find(unwanted), std::string::npos) << unwanted;
}

TEST(QuotePdf, SaysInPlainWordsWhatLiesReadyAndWhereNothingIsToBeDone) {
  Takeoff takeoff = two_days();
  takeoff.runs.front().provision = true;
  const auto quote = [&] {
    return text_in(quote_pdf(takeoff, "Hall", "EUR", DisplayUnits::metric, Paper::letter, "test"));
  };
  std::string text = quote();
  if (text.empty()) GTEST_SKIP() << "pdftotext is not installed";
  EXPECT_NE(text.find("1 of them lies ready for later and is not connected"), std::string::npos);
  RampRow ramp;
  ramp.wall = "Wall front";
  ramp.end = "lectern";
  ramp.length_m = 1.4;
  takeoff.ramps = {ramp};
  text = quote();
  EXPECT_NE(text.find("Ramp over cable on the floor: 1.4 m, from Wall front to lectern."),
            std::string::npos);
  takeoff.steps.clear();
  text = quote();
  EXPECT_NE(text.find("Nothing: all of it lies already."), std::string::npos);
  EXPECT_EQ(text.find("Every cable is labelled"), std::string::npos);
}

}  // namespace
}  // namespace roomloom::testing
