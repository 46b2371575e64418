#include "occt/part21_check.h"

#include <gtest/gtest.h>

#include <string>

namespace roomloom {
namespace {

/// A whole file round the given instances.
std::string file_with(const std::string& data) {
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','',''"
         ");\n"
         "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" +
         data + "ENDSEC;\nEND-ISO-10303-21;\n";
}

std::string fault_of(const std::string& text) {
  const auto facts = check_part21(text, "room.step");
  return facts ? "" : facts.error().code + ": " + facts.error().what;
}

TEST(Part21Check, CountsWhatTheFileDeclares) {
  const auto facts = check_part21(
      file_with("#7 = CARTESIAN_POINT('a ''quoted'' name', (0., 1.5E+2, -3)) ; /* a comment */\n"
                "#12=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\n"
                "#3=LINE('',#7,$);#4=LINE('',#7,LENGTH_MEASURE(2.E+100));\n"),
      "room.step");
  ASSERT_TRUE(facts) << to_text(facts.error());
  EXPECT_EQ(facts->schema, "AUTOMOTIVE_DESIGN");
  EXPECT_EQ(facts->last_id, 12U);
  EXPECT_EQ(facts->count({"LINE", "CARTESIAN_POINT"}), 3U);
  EXPECT_EQ(facts->count({"SI_UNIT"}), 1U);
  EXPECT_EQ(facts->count({"PLANE"}), 0U);
}

TEST(Part21Check, NamesTheLineOfAReferenceThatLeadsNowhere) {
  EXPECT_NE(
      fault_of(file_with("#1=PLANE('',$);\n#2=LINE('',#9,#1);\n")).find("line 9: #2 refers to #9"),
      std::string::npos);
}

TEST(Part21Check, RefusesCirclesHoweverLong) {
  EXPECT_NE(fault_of(file_with("#1=A(#1);\n")).find("leads back to itself"), std::string::npos);
  std::string chain;
  for (int i = 1; i < 200'000; ++i)
    chain += "#" + std::to_string(i) + "=A(#" + std::to_string(i + 1) + ");\n";
  EXPECT_EQ(fault_of(file_with(chain + "#200000=A();\n")), "");
  EXPECT_NE(fault_of(file_with(chain + "#200000=A(#1);\n")).find("leads back to itself"),
            std::string::npos);
}

TEST(Part21Check, RefusesDeepNestingWithoutRecursion) {
  const std::string deep(500'000, '(');
  EXPECT_NE(fault_of(file_with("#1=A(" + deep + ");\n")).find("nested too deeply"),
            std::string::npos);
}

TEST(Part21Check, RefusesNumbersThatCannotBeUsed) {
  for (const char* number : {"1.E999", "-1.E308", "99999999999", "1..2", "1.5.", "--1", "+"})
    EXPECT_NE(fault_of(file_with(std::string("#1=A(") + number + ");\n")).find("model.syntax"),
              std::string::npos)
        << number;
  for (const char* number : {"1.E-999", "2.E+100", "+5", "-0.", "1.E2", "2147483647"})
    EXPECT_EQ(fault_of(file_with(std::string("#1=A(") + number + ");\n")), "") << number;
}

TEST(Part21Check, RefusesWhatIsNotWellFormed) {
  for (const char* data : {"#1=A(,);\n", "#1=A(1 2);\n", "#1=A('open);\n", "#1=A(.OPEN);\n",
                           "#1 A();\n", "#1=();#2=A(#);\n", "#1=A();#1=B();\n", "#x=A();\n",
                           "#1=A()\n", "#1=A(NAME);\n", "#1=A();/* open\n"})
    EXPECT_NE(fault_of(file_with(data)).find("model.syntax"), std::string::npos) << data;
  EXPECT_NE(fault_of("").find("model.syntax"), std::string::npos);
  EXPECT_NE(fault_of("solid cube\n").find("ISO-10303-21"), std::string::npos);
}

TEST(Part21Check, RefusesEveryTruncation) {
  const std::string whole =
      file_with("#1=CARTESIAN_POINT('',(0.,0.,0.));\n#2=VERTEX_POINT('',#1);\n");
  ASSERT_EQ(fault_of(whole), "");
  for (std::size_t length = 0; length + 2 < whole.size(); ++length)
    EXPECT_NE(fault_of(whole.substr(0, length)), "") << length;
}

}  // namespace
}  // namespace roomloom
