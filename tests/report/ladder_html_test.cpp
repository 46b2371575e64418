#include "report/ladder_html.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t times = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++times;
  return times;
}

WorkStep step(int day, const std::string& place, const std::string& text) {
  WorkStep one;
  one.day = day;
  one.place = place;
  one.text = text;
  one.minutes = 30;
  one.least = 12;
  one.most = 60;
  return one;
}

TEST(LadderHtml, HasABoxToTickForEachStepUnderItsDayAndPlace) {
  Takeoff takeoff;
  takeoff.steps = {step(1, "L1", "Lift C4."), step(1, "L1", "Cut H1."), step(1, "L2", "Lift C5."),
                   step(2, "L1", "Lift D4.")};
  LadderPlace place;
  place.name = "L1";
  place.where = "1.20 m from Wall left";
  place.tile = "C4";
  takeoff.ladder_places = {place};
  const std::string page = ladder_html(takeoff, "Hall");
  EXPECT_EQ(count(page, "<input type=\"checkbox\""), 4U);
  EXPECT_EQ(count(page, "id=\"step-"), 4U);
  EXPECT_EQ(count(page, "<h2>"), 2U);
  EXPECT_EQ(count(page, "<h3>"), 3U) << "a place again on another day is told again";
  EXPECT_NE(page.find("Day 1: 1.5 h (0.6 to 3"), std::string::npos) << "30 minutes thrice";
  EXPECT_NE(page.find("L1: 1.20 m from Wall left, under tile C4"), std::string::npos);
  EXPECT_LT(page.find("Lift C4."), page.find("Cut H1."));
  EXPECT_EQ(count(page, "<ul"), count(page, "</ul>"));
  EXPECT_NE(page.find("width=device-width"), std::string::npos) << "it is for a phone";
  EXPECT_NE(page.find("@media print"), std::string::npos) << "and for paper";
  EXPECT_EQ(page.find("http"), std::string::npos) << "it needs nothing else";
}

TEST(LadderHtml, EscapesNamesThatLookLikeMarkup) {
  Takeoff takeoff;
  takeoff.steps = {step(1, "at the ends", "Fit <b>S1</b> & \"S2\".")};
  const std::string page = ladder_html(takeoff, "<script>alert(1)</script>");
  EXPECT_EQ(page.find("<script>alert"), std::string::npos);
  EXPECT_NE(page.find("&lt;script&gt;alert(1)"), std::string::npos);
  EXPECT_NE(page.find("Fit &lt;b&gt;S1&lt;/b&gt; &amp; &quot;S2&quot;."), std::string::npos);
}

}  // namespace
}  // namespace roomloom
