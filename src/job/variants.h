#pragma once

#include <string>
#include <vector>

#include "job/field.h"

namespace roomloom {

/// One way a job could be done otherwise, as its document says it.
struct VariantSpec {
  std::string name;
  const JsonValue* change = nullptr;  ///< null: as written
  std::vector<std::string> without;   ///< ids of gear, ends and runs
  std::string pointer;
};

/// The variants of a job and the names under "wire". A name twice, "wire" without a variant of that
/// name and an id under "without" that nothing has are problems.
struct VariantList {
  std::vector<VariantSpec> all;
  std::vector<std::string> wire;

  const VariantSpec* find(const std::string& name) const;
  std::vector<std::string> names() const;
};
VariantList read_variants(const Field& root);

/// The job's document as it reads with `variant`; without "variants" and "wire". Values keep the
/// place where they stand in the text.
JsonValue as_variant(const JsonValue& root, const VariantSpec& variant);

/// The document without "variants" and "wire".
JsonValue as_written(const JsonValue& root);

/// Both at once, to be wired together: gear, ends and runs that are the same in both are there
/// once; what has the same id but differs is there twice, the second's as "id (name)", and what
/// refers to it there follows. Runs that only the second has become provisions. Everything else is
/// the first's; where the second says otherwise, `notes` tells it.
/// @param name  of the second
JsonValue united(const JsonValue& first, const JsonValue& second, const std::string& name,
                 std::vector<std::string>& notes);

/// The document as written, as one variant, or as several united, in the order of `chosen`; names
/// that no variant has are passed over.
JsonValue as_chosen(const JsonValue& root, const VariantList& list,
                    const std::vector<std::string>& chosen, std::vector<std::string>& notes);

/// Where in `root` the value stands that begins at `place`; empty if none does.
std::string pointer_of(const JsonValue& root, const TextPlace& place);

}  // namespace roomloom
