#include "network/certificate.h"

#include <charconv>
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

/// Loads count for sizes only, whose capacities are as the model has them: rounded down to what
/// loads can sum to.
void write_problem(const Model& model, Writer& writer) {
  const Problem& problem = *model.problem;
  const bool sized = model.is_stepped();
  writer.word("problem").number(problem.node_count).number(problem.class_count);
  writer.number(problem.outward ? 1 : 0).end();
  for (const Charge& charge : problem.charges) writer.word("charge").number(charge.price).end();
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const Edge& edge = problem.edges[e];
    const std::vector<SizeStep>& steps = sized ? model.steps[e] : edge.steps;
    writer.word("edge").number(edge.a).number(edge.b).number(edge.one_way ? 1 : 0);
    writer.number(edge.cost).number(edge.forbidden_classes);
    writer.number(static_cast<int>(edge.class_cost.size()));
    for (double cost : edge.class_cost) writer.number(cost);
    writer.number(static_cast<int>(edge.charges.size()));
    for (int charge : edge.charges) writer.number(charge);
    writer.number(static_cast<int>(2 * steps.size()));
    for (std::size_t i = 0; i < steps.size(); ++i)
      writer.number(i + 1 < steps.size() ? steps[i].capacity : kNoLimit).number(steps[i].price);
    writer.end();
  }
  for (const Commodity& c : problem.commodities) {
    writer.word("commodity").number(c.source).number(c.target).number(c.class_index);
    writer.number(c.rate)
        .number(sized ? c.load : 0.0)
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
  writer.word("roomloom-bound 2").end();
  write_problem(model, writer);
  std::size_t next = 0;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& demand = model.demands[k];
    writer.word("run").number(demand.commodity).number(demand.flipped ? 1 : 0);
    writer.number(demand.family).end();
    for (; next < payments.size() && at(payments[next].demand) == k; ++next) {
      const Payment& payment = payments[next];
      const int charge = payment.shared < 0 ? -1 : model.charge_of[at(payment.shared)];
      writer.word("pay").number(payment.arc).number(charge).number(payment.amount).end();
    }
  }
  writer.word("besides").number(besides).end();
  writer.word("bound").number(bound + besides).end();
  return writer.take();
}

}  // namespace roomloom::network
