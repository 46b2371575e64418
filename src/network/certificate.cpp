#include "network/certificate.h"

#include <charconv>
#include <cstdint>
#include <vector>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

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

void write_problem(const Problem& problem, Writer& writer) {
  writer.word("problem").number(problem.node_count).number(problem.class_count).end();
  for (const Charge& charge : problem.charges) writer.word("charge").number(charge.price).end();
  for (const Edge& edge : problem.edges) {
    writer.word("edge").number(edge.a).number(edge.b).number(edge.one_way ? 1 : 0);
    writer.number(edge.cost).number(edge.forbidden_classes);
    writer.number(static_cast<int>(edge.class_cost.size()));
    for (double cost : edge.class_cost) writer.number(cost);
    writer.number(static_cast<int>(edge.charges.size()));
    for (int charge : edge.charges) writer.number(charge);
    writer.end();
  }
  for (const Commodity& c : problem.commodities) {
    writer.word("commodity").number(c.source).number(c.target).number(c.class_index);
    writer.number(c.rate).number(static_cast<int>(c.forbidden_edges.size()));
    for (int edge : c.forbidden_edges) writer.number(edge);
    writer.end();
  }
}

}  // namespace

std::string write_certificate(const Model& model, const Dual& dual, double bound) {
  Writer writer;
  writer.word("roomloom-bound 1").end();
  write_problem(*model.problem, writer);
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& demand = model.demands[k];
    const Potential& potential = dual.potentials[k];
    writer.word("dual").number(demand.commodity).number(demand.flipped ? 1 : 0);
    writer.number(demand.family).number(potential.value).end();
    for (std::size_t i = 0; i < potential.nodes.size(); ++i)
      writer.word("node").number(potential.nodes[i]).number(potential.levels[i]).end();
    for (std::size_t i = 0; i < potential.arcs.size(); ++i)
      if (potential.drawn_own[i] > 0)
        writer.word("own").number(potential.arcs[i]).number(potential.drawn_own[i]).end();
    for (const Span& span : potential.spans)
      writer.word("span")
          .number(model.charge_of[at(span.charge)])
          .number(span.low)
          .number(span.high)
          .end();
  }
  writer.word("bound").number(bound).end();
  return writer.take();
}

}  // namespace roomloom::network
