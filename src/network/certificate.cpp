#include "network/certificate.h"

#include <charconv>
#include <cmath>
#include <cstdint>
#include <vector>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

constexpr double kNoLimit = 1e300;  ///< of the last size

class Writer {
 public:
  Writer& word(const char* text) {
    out_ += text;
    return *this;
  }
  Writer& number(double value) { return put(value); }
  Writer& number(int value) { return put(value); }
  Writer& number(std::uint64_t value) { return put(value); }
  void end() { out_ += '\n'; }
  std::string take() { return std::move(out_); }

 private:
  template <typename T>
  Writer& put(T value) {
    char text[40];
    const auto end = std::to_chars(text, text + sizeof text, value);
    out_ += ' ';
    out_.append(text, end.ptr);
    return *this;
  }
  std::string out_;
};

/// What edges draw on, as the checker knows it: charges of one edge and steps of size are charges
/// like all others.
struct Charges {
  std::vector<Charge> list;      ///< the model's shared ones first
  std::vector<int> own_of_edge;  ///< -1: none
};

Charges charges_of(const Model& model) {
  Charges charges;
  for (std::size_t g = 0; g < model.price.size(); ++g)
    charges.list.push_back({model.price[g], model.charge_sizes[g]});
  for (std::size_t e = 0; e < model.own.size(); ++e) {
    charges.own_of_edge.push_back(-1);
    if (model.own[e] <= 0 && !model.has_steps(e)) continue;
    charges.own_of_edge.back() = static_cast<int>(charges.list.size());
    charges.list.push_back({model.own[e]});
    if (!model.has_steps(e)) continue;
    for (const SizeStep& step : model.steps[e])
      charges.list.back().sizes.push_back({step.capacity, step.price});
  }
  return charges;
}

/// Loads count for sizes only, whose capacities are as the model has them: rounded down to what
/// loads can sum to.
void write_problem(const Model& model, const Charges& charges, Writer& writer) {
  const Problem& problem = *model.problem;
  writer.word("problem").number(problem.node_count).number(problem.class_count);
  writer.number(problem.outward ? 1 : 0).end();
  for (const Charge& charge : charges.list) {
    writer.word("charge").number(static_cast<int>(charge.sizes.size()));
    for (const ChargeSize& size : charge.sizes)
      writer.number(std::isinf(size.capacity) ? kNoLimit : size.capacity)
          .number(size.price)
          .number(std::uint64_t{size.levels});
    writer.number(charge.price).end();
  }
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const Edge& edge = problem.edges[e];
    writer.word("edge").number(edge.a).number(edge.b).number(edge.one_way ? 1 : 0);
    writer.number(edge.cost).number(edge.forbidden_classes);
    writer.number(static_cast<int>(edge.class_cost.size()));
    for (double cost : edge.class_cost) writer.number(cost);
    const std::size_t begin = at(model.shared_begin[e]), end = at(model.shared_begin[e + 1]);
    const int own = charges.own_of_edge[e];
    const int count = static_cast<int>(end - begin) + (own < 0 ? 0 : 1);
    writer.number(count);
    for (std::size_t i = begin; i < end; ++i) writer.number(model.shared[i]);
    if (own >= 0) writer.number(own);
    writer.number(count);
    for (std::size_t i = begin; i < end; ++i) writer.number(model.passes[i]);
    if (own >= 0) writer.number(static_cast<int>(2 * e));
    writer.number(edge.level).end();
  }
  for (const Commodity& c : problem.commodities) {
    writer.word("commodity").number(c.source).number(c.target).number(c.class_index);
    writer.number(c.rate)
        .number(model.is_stepped() ? c.load : 0.0)
        .number(static_cast<int>(c.forbidden_edges.size()));
    for (int edge : c.forbidden_edges) writer.number(edge);
    writer.number(static_cast<int>(2 * c.surcharges.size()));
    for (const Surcharge& surcharge : c.surcharges)
      writer.number(surcharge.edge).number(surcharge.cost);
    writer.end();
  }
}

}  // namespace

std::string write_certificate(const Model& model, const std::vector<Payment>& payments,
                              double bound, double besides) {
  Writer writer;
  writer.word("roomloom-bound 3").end();
  const Charges charges = charges_of(model);
  write_problem(model, charges, writer);
  std::size_t next = 0;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& demand = model.demands[k];
    writer.word("run").number(demand.commodity).number(demand.flipped ? 1 : 0);
    writer.number(demand.family).end();
    for (; next < payments.size() && at(payments[next].demand) == k; ++next) {
      const Payment& payment = payments[next];
      const int charge =
          payment.shared < 0 ? charges.own_of_edge[at(edge_of(payment.arc))] : payment.shared;
      writer.word("pay").number(payment.arc).number(charge).number(payment.amount).end();
    }
  }
  writer.word("besides").number(besides).end();
  writer.word("bound").number(bound + besides).end();
  return writer.take();
}

}  // namespace roomloom::network
