#include "job/schema.h"

#include <gtest/gtest.h>

#include <set>

#include "job/embedded.h"
#include "job/job.h"

namespace roomloom {
namespace {

std::vector<Error> problems_of(const std::string& value, const std::string& schema) {
  const auto root = parse_json(schema, "schema");
  const auto document = parse_json(value, "t.json");
  EXPECT_TRUE(root) << to_text(root.error());
  EXPECT_TRUE(document) << to_text(document.error());
  std::vector<Error> problems;
  validate(*document, *root, "", "t.json", problems);
  return problems;
}

TEST(Schema, NamesLineColumnPointerAndWhatIsExpected) {
  const auto problems =
      problems_of("{\n  \"a\": [1, \"x\"]\n}",
                  R"({"properties": {"a": {"items": {"type": ["number", "boolean"]}}}})");
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(problems[0].code, "schema.type");
  EXPECT_EQ(problems[0].where, "t.json:2:12 /a/1");
  EXPECT_EQ(problems[0].what, "Expected a number or true or false, found \"x\".");
}

TEST(Schema, OffersTheNearestWordAndKey) {
  const auto problems = problems_of(
      R"({"buidl": 1, "build": "masonary"})",
      R"({"additionalProperties": false, "properties": {"build": {"enum": ["stud", "masonry"]}}})");
  ASSERT_EQ(problems.size(), 2U);
  EXPECT_EQ(problems[0].code, "schema.unknown-key");
  EXPECT_EQ(problems[0].remedy, "Did you mean \"build\"?");
  EXPECT_EQ(problems[1].code, "schema.word");
  EXPECT_EQ(problems[1].remedy, "Did you mean \"masonry\"?");
}

TEST(Schema, ReportsTheBranchThatFitsTheKind) {
  const std::string schema =
      R"({"anyOf": [{"enum": ["one", "two"]}, {"type": "object", "required": ["k"]}]})";
  EXPECT_TRUE(problems_of(R"("one")", schema).empty());
  EXPECT_EQ(problems_of(R"("three")", schema).at(0).code, "schema.word");
  EXPECT_EQ(problems_of(R"({})", schema).at(0).code, "schema.missing-key");
  EXPECT_EQ(problems_of(R"(7)", schema).at(0).what,
            "Expected a word or an object {...}, found a number.");
}

TEST(Schema, ChecksNumbersAndSizes) {
  EXPECT_EQ(problems_of("-1", R"({"minimum": 0})").at(0).code, "schema.range");
  EXPECT_EQ(problems_of("0", R"({"exclusiveMinimum": 0})").at(0).code, "schema.range");
  EXPECT_TRUE(problems_of("0", R"({"minimum": 0, "maximum": 0})").empty());
  EXPECT_EQ(problems_of("[1]", R"({"minItems": 2, "maxItems": 2})").at(0).what,
            "Expected 2 items, found 1.");
  EXPECT_EQ(problems_of(R"("")", R"({"minLength": 1})").at(0).code, "schema.size");
  EXPECT_EQ(problems_of("1.5", R"({"type": "integer"})").at(0).code, "schema.type");
  EXPECT_TRUE(problems_of("2", R"({"type": "integer"})").empty());
}

// The validator knows a part of JSON Schema: the program's own schema may use no more than that.
void collect_keywords(const JsonValue& schema, std::set<std::string>& found) {
  for (const JsonMember& member : schema.members) {
    found.insert(member.key);
    const bool named = member.key == "properties" || member.key == "$defs";
    if (named)
      for (const JsonMember& child : member.value.members) collect_keywords(child.value, found);
    else
      collect_keywords(member.value, found);
  }
  for (const JsonValue& item : schema.items) collect_keywords(item, found);
}

TEST(Schema, OurOwnUsesOnlyWhatTheValidatorUnderstands) {
  const auto root = parse_json(job_schema(), "schema");
  ASSERT_TRUE(root);
  std::set<std::string> found;
  collect_keywords(*root, found);
  const std::set<std::string> known = {"$schema",
                                       "$id",
                                       "$ref",
                                       "$defs",
                                       "title",
                                       "description",
                                       "type",
                                       "enum",
                                       "const",
                                       "required",
                                       "properties",
                                       "additionalProperties",
                                       "items",
                                       "minItems",
                                       "maxItems",
                                       "minLength",
                                       "minimum",
                                       "maximum",
                                       "exclusiveMinimum",
                                       "anyOf"};
  for (const std::string& keyword : found) EXPECT_EQ(known.count(keyword), 1U) << keyword;
}

void check_references(const JsonValue& root, const JsonValue& here) {
  if (const JsonValue* reference = here.find("$ref"); reference != nullptr) {
    EXPECT_NE(at_pointer(root, reference->text.substr(1)), nullptr) << reference->text;
  }
  for (const JsonMember& member : here.members) check_references(root, member.value);
  for (const JsonValue& item : here.items) check_references(root, item);
}

TEST(Schema, OurOwnRefersToNothingMissing) {
  const auto root = parse_json(job_schema(), "schema");
  ASSERT_TRUE(root);
  check_references(*root, *root);
}

TEST(Schema, TheCatalogueFitsIt) {
  const auto schema = parse_json(job_schema(), "schema");
  const auto catalogue = parse_json(embedded_catalogue(), "catalogue.json");
  ASSERT_TRUE(catalogue) << to_text(catalogue.error());
  std::vector<Error> problems;
  validate(*catalogue, *schema, "/$defs/catalogue", "catalogue.json", problems);
  for (const Error& problem : problems) ADD_FAILURE() << to_text(problem);
}

}  // namespace
}  // namespace roomloom
