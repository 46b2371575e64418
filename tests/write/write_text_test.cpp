#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "base/utf8.h"
#include "exchange/write_font.h"
#include "exchange/write_json_text.h"
#include "exchange/write_part21.h"

namespace roomloom {
namespace {

// RFC 3629, section 7: the examples of UTF-8, and its ban on surrogates and overlong forms.
TEST(CodePoints, FollowTheExamplesOfTheStandard) {
  EXPECT_EQ(code_points("A\xE2\x89\xA2\xCE\x91."),
            (std::vector<std::uint32_t>{0x41, 0x2262, 0x391, 0x2E}));
  EXPECT_EQ(code_points("\xF0\xA3\x8E\xB4"), (std::vector<std::uint32_t>{0x233B4}));
  EXPECT_EQ(code_points("\xC0\x80"), (std::vector<std::uint32_t>{0xFFFD, 0xFFFD}));
  EXPECT_EQ(code_points("\xED\xA0\x80").front(), 0xFFFDU);
}

TEST(JsonStrings, SurviveAParserThatIsNotOurs) {
  const std::string text = "tab\t \"quoted\" back\\slash \x01 \x7F zwölf 音 \xF0\xA3\x8E\xB4";
  EXPECT_EQ(nlohmann::json::parse(json_string(text)).get<std::string>(), text);
  EXPECT_EQ(json_unquoted(json_string(text)), text);
  EXPECT_TRUE(nlohmann::json::accept(json_string("broken \xFF\xC3")));
}

TEST(JsonStrings, ReadEscapesOfOtherWriters) {
  const std::string literal = R"("a\u00e9\ud83d\ude00\/\n")";
  EXPECT_EQ(json_unquoted(literal), nlohmann::json::parse(literal).get<std::string>());
}

TEST(JsonSpans, FindValuesWithoutTouchingTheirNeighbours) {
  const std::string text = " { \"a\" : [1, 2 ,{\"b\":\"]}\\\"\"}] ,\"c\":-1.50e+2 }\n";
  const auto root = json_spans(text, "t");
  ASSERT_TRUE(root) << root.error().what;
  const JsonSpan* list = root->find("a");
  ASSERT_NE(list, nullptr);
  EXPECT_EQ(list->elements.size(), 3U);
  TextEdits edits;
  edits.insert(list->end - 1, ",3");
  edits.replace(*root->find("c"), "7");
  EXPECT_EQ(edits.applied(text), " { \"a\" : [1, 2 ,{\"b\":\"]}\\\"\"},3] ,\"c\":7 }\n");
}

TEST(JsonSpans, RefuseWhatIsNoDocument) {
  for (const char* text : {"", "[]", "{\"a\":1", "{\"a\" 1}", "{} x", "{\"a\":[1,}"})
    EXPECT_FALSE(json_spans(text, "t")) << text;
  EXPECT_FALSE(json_spans("{\"a\":" + std::string(100000, '['), "t"));
}

// ISO 10303-21:2002, 6.4.3: \X2\ with four hexadecimal digits a character, \X4\ with eight.
TEST(Part21Strings, EncodeOtherThanAscii) {
  EXPECT_EQ(part21_string("it's a \\"), "'it''s a \\\\'");
  EXPECT_EQ(part21_string("é"), "'\\X2\\00E9\\X0\\'");
  EXPECT_EQ(part21_string("\xF0\xA3\x8E\xB4"), "'\\X4\\000233B4\\X0\\'");
}

// ISO 10303-21:2002, 6.4.2: a REAL has a decimal point, its exponent a capital E.
TEST(Part21Reals, AlwaysHaveAPoint) {
  EXPECT_EQ(part21_real(1), "1.");
  EXPECT_EQ(part21_real(-0.5), "-0.5");
  EXPECT_EQ(part21_real(1e-7), "1.E-07");
  EXPECT_EQ(part21_real(1.25e300), "1.25E+300");
  EXPECT_EQ(part21_real(-1e-16), "0.");
}

TEST(Part21Outline, LooksPastStringsAndComments) {
  const std::string text =
      "ISO-10303-21;HEADER;FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 }'));ENDSEC;\n"
      "DATA;/* #999=X; ENDSEC; */\n#7=PRODUCT('ENDSEC; #1000=','it''s; #2000',$,());\n"
      "#12 = X();\nENDSEC;\nEND-ISO-10303-21;\n";
  const auto outline = outline_part21(text, "t");
  ASSERT_TRUE(outline) << outline.error().what;
  EXPECT_EQ(outline->last_id, 12U);
  EXPECT_EQ(text.substr(outline->insertion), "ENDSEC;\nEND-ISO-10303-21;\n");
  EXPECT_EQ(outline->schemas, std::vector<std::string>{"AUTOMOTIVE_DESIGN"});
  EXPECT_FALSE(outline_part21("ISO-10303-21;DATA;#1=X();", "t"));
}

TEST(Part21Outline, KnowsWhatTheFileMeasuresIn) {
  const std::string text =
      "DATA;#1=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\n"
      "#2=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#1);\n"
      "#3=(CONVERSION_BASED_UNIT('INCH',#2)LENGTH_UNIT()NAMED_UNIT(#9));\n"
      "#4=(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNIT_ASSIGNED_CONTEXT((#3,#5)));ENDSEC;";
  const auto outline = outline_part21(text, "t");
  ASSERT_TRUE(outline);
  ASSERT_EQ(outline->length_units_m.size(), 1U);
  EXPECT_NEAR(outline->length_units_m[0], 0.0254, 1e-15);
}

TEST(Font, DrawsEveryPrintableAsciiLetterWithinItsCell) {
  for (char c = '!'; c <= '~'; ++c) {
    const auto strokes = text_strokes(std::string(1, c));
    ASSERT_FALSE(strokes.empty()) << c;
    for (const auto& stroke : strokes) {
      ASSERT_GE(stroke.size(), 2U) << c;
      for (std::size_t i = 0; i < stroke.size(); ++i) {
        EXPECT_GE(stroke[i].x, 0) << c;
        EXPECT_LE(stroke[i].x, 0.7) << c;
        EXPECT_GE(stroke[i].y, -0.34) << c;
        EXPECT_LE(stroke[i].y, 1.17) << c;
        if (i > 0) {
          EXPECT_NE(stroke[i], stroke[i - 1]) << c << ": a stroke of no length";
        }
      }
    }
  }
}

TEST(Font, NoTwoAsciiLettersLookAlike) {
  for (char a = '!'; a <= '~'; ++a)
    for (char b = static_cast<char>(a + 1); b <= '~'; ++b)
      EXPECT_NE(text_strokes(std::string(1, a)), text_strokes(std::string(1, b))) << a << b;
}

TEST(Font, PutsMarksOnAccentedLettersAndBoxesForTheRest) {
  const auto plain = text_strokes("u");
  const auto marked = text_strokes("ü");
  EXPECT_EQ(marked.size(), plain.size() + 2);
  EXPECT_EQ(text_strokes("音").size(), 1U);
  EXPECT_EQ(text_strokes("音"), text_strokes("\xFF"));
  EXPECT_TRUE(text_strokes(" ").empty());
}

TEST(Font, StartsALineBelowAfterALineFeed) {
  const auto lines = text_strokes("I\nI");
  ASSERT_EQ(lines.size(), 6U);
  EXPECT_DOUBLE_EQ(lines[3][0].x, lines[0][0].x);
  EXPECT_DOUBLE_EQ(lines[3][0].y, lines[0][0].y - 2);
}

}  // namespace
}  // namespace roomloom
