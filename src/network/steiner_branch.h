#pragma once

#include <limits>
#include <vector>

#include "network/dual_search.h"
#include "network/steiner_record.h"

namespace roomloom::network {

/// Branch and cut on the directed cut relaxation, from an ascent's root and cuts. Trees and bounds
/// go to the record.
class SteinerBranch {
 public:
  SteinerBranch(const SteinerCore& core, const SteinerBudget& budget, SteinerRecord& record,
                Random& random)
      : core_(core), budget_(budget), record_(record), random_(random) {}

  /// @return edges that no tree below the limit uses, flags, when they are so many that it is worth
  /// starting afresh without them; empty: nothing more to be done
  std::vector<char> run(const SteinerDual& dual);

 private:
  enum class Cut { bounded, closed, stuck, worn };
  struct Hold {
    bool is_arc = false;
    int index = 0;
    int state = 0;
  };
  struct Node {
    double bound = 0;
    int number = 0;
    std::vector<Hold> holds;
  };
  struct Queue;

  Cut cut(class SteinerLp& lp, int rounds, bool root, double& value);
  void tree_from(SteinerLp& lp);
  void guide(SteinerLp& lp, const SteinerTree& tree) const;
  static void apply(SteinerLp& lp, const std::vector<Hold>& holds, bool release);
  bool choose(const SteinerLp& lp, int root, Hold& choice) const;
  void split(SteinerLp& lp, int root, const Node& parent, int& numbers, Queue& queue);
  void grow(SteinerLp& lp, int root, double value);

  const SteinerCore& core_;
  const SteinerBudget& budget_;
  SteinerRecord& record_;
  Random& random_;
  double guide_cost_ = std::numeric_limits<double>::infinity();  ///< of the tree that guides cuts
};

}  // namespace roomloom::network
