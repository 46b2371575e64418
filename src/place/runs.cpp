#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "place/context.h"
#include "place/ports.h"

namespace roomloom::place {
namespace {

/// Resolves the names of runs to ends, making them as they are needed.
class RunPlacer {
 public:
  explicit RunPlacer(Context& context) : context_(context), ends_(context.ends), ports_(context) {}

  void run() {
    for (const RunSpec& run : context_.job.runs) ++users_[run.to], ++users_[run.from];
    for (const EndSpec& end : context_.job.ends) named_end(end.id);
    for (std::size_t i = 0; i < context_.job.runs.size(); ++i)
      resolve(context_.job.runs[i], static_cast<int>(i));
    check_same_place();
  }

 private:
  bool is_end(const std::string& name) const { return spec_of(name) != nullptr; }
  const EndSpec* spec_of(const std::string& name) const {
    for (const EndSpec& end : context_.job.ends)
      if (end.id == name) return &end;
    return nullptr;
  }

  int add_end(End end) {
    add_way_off_sheet(context_, end.id, end.place);
    for (std::size_t i = 0; i < end.may_move_to.size(); ++i)
      add_way_off_sheet(context_, end.id + " (place " + std::to_string(i + 2) + ")",
                        end.may_move_to[i]);
    ends_.ends.push_back(std::move(end));
    return static_cast<int>(ends_.ends.size()) - 1;
  }

  std::optional<int> port_end(const RunSpec& run, bool start, const PortName& at,
                              const std::string& pointer) {
    const PlacedComponent& component = *at.component;
    const Port* port = ports_.port_for(run, start, at, pointer);
    if (port == nullptr) return std::nullopt;
    End end = from_found(port_place(context_, component, *port), component.id + "." + port->name);
    const GearBox& box = ends_.gear[static_cast<std::size_t>(component.gear)];
    end.gear = box.id;
    end.pull_out_m = pull_out(box.id);
    end.slack_m = run.slack_m.value_or(context_.job.prefer.service_loop_start_m);
    return add_end(std::move(end));
  }

  double pull_out(const std::string& gear) const {
    for (const GearSpec& spec : context_.job.gear)
      if (spec.id == gear) return spec.pull_out_m;
    return 0;
  }

  static End from_found(const Found& found, std::string id) {
    End end;
    end.id = std::move(id);
    end.place = found.place;
    end.mount = found.mount;
    end.how = found.how;
    return end;
  }

  /// Gear without a place was told of; what follows from it is not told again.
  bool is_unplaced(const std::string& name) const {
    if (context_.unplaced.count(name) != 0) return true;
    for (auto dot = name.find('.'); dot != std::string::npos; dot = name.find('.', dot + 1))
      if (context_.unplaced.count(name.substr(0, dot)) != 0) return true;
    return false;
  }

  /// An end that sits at gear, with an id of its own.
  std::optional<int> gear_end(const EndSpec& spec, const AtGear& at) {
    PlacedComponent* component = find_component(context_, at.gear);
    if (component == nullptr && is_unplaced(at.gear)) return std::nullopt;
    if (component == nullptr) {
      context_.problem(spec.pointer + "/gear", "place.gear",
                       "The gear \"" + at.gear + "\" has no place, or holds several components.",
                       "Name the component.");
      return std::nullopt;
    }
    const Port* port =
        ports_.take(*component, at.port, spec.pointer + (at.port.empty() ? "/gear" : "/port"));
    if (port == nullptr) return std::nullopt;
    End end = from_found(port_place(context_, *component, *port), spec.id);
    end.gear = ends_.gear[static_cast<std::size_t>(component->gear)].id;
    end.pull_out_m = pull_out(end.gear);
    end.slack_m = context_.job.prefer.service_loop_start_m;
    apply(spec, end);
    return add_end(std::move(end));
  }

  static void set_moves(const MayMove& move, std::vector<EndPlace> places, End& end) {
    end.may_move_to = std::move(places);
    end.moves_within = move.alternatives.empty();
  }

  void apply(const EndSpec& spec, End& end) {
    end.state = spec.state;
    end.connector = spec.connector;
    if (spec.slack_m) end.slack_m = *spec.slack_m;
    if (spec.may_move)
      set_moves(*spec.may_move, may_move_to(context_, *spec.may_move, end.place, spec.pointer),
                end);
  }

  void remember_loudspeaker(const std::string& label, const Found& found, int end) {
    if (!context_.listener) return;
    const Bearing seen = bearing_of(*context_.listener, found.place.position);
    ends_.loudspeakers.push_back({label, seen.azimuth_rad, seen.elevation_rad, seen.distance_m,
                                  found.moved_within_range, end});
  }

  std::optional<int> make_end(const EndSpec& spec, const std::string& id,
                              const std::string& pointer) {
    if (const auto* at = std::get_if<AtGear>(&spec.place)) return gear_end(spec, *at);
    const auto found = find_place(context_, spec.place, id, spec.mount, pointer);
    if (!found) return std::nullopt;
    End end = from_found(*found, id);
    end.slack_m = context_.job.prefer.service_loop_end_m;
    if (!spec.pointer.empty()) apply(spec, end);
    const int index = add_end(std::move(end));
    const auto* label = std::get_if<AtLabel>(&spec.place);
    const std::string name = label != nullptr ? label->label : id;
    if (find_label("", name) != nullptr) remember_loudspeaker(name, *found, index);
    return index;
  }

  /// The end of a name, made once.
  std::optional<int> named_end(const std::string& name, const std::string& pointer = "") {
    const auto known = by_name_.find(name);
    if (known != by_name_.end()) return known->second;
    const EndSpec* spec = spec_of(name);
    const auto end =
        spec != nullptr ? make_end(*spec, name, spec->pointer) : make_end(EndSpec{}, name, pointer);
    by_name_[name] = end;
    return end;
  }

  std::optional<int> end_of(const RunSpec& run, bool start) {
    const std::string& name = start ? run.from : run.to;
    const std::string pointer = run.pointer + (start ? "/from" : "/to");
    if (const PortName at = ports_.understood(name); at.component != nullptr)
      return port_end(run, start, at, pointer);
    if (!is_end(name) && is_unplaced(name)) return std::nullopt;
    const bool own_place =
        !start && !std::holds_alternative<std::monostate>(run.end.place) && !is_end(name);
    if (own_place) return own_end(run);
    if (spec_of(name) == nullptr && find_label("", name) == nullptr) {
      for (const GearSpec& gear : context_.job.gear)
        if (gear.id == name) return gear_without_port(gear, pointer);
      context_.problem(pointer, "place.name", "Nothing here is called \"" + name + "\".",
                       "Name an end, gear or what it holds, or a loudspeaker label.");
      return std::nullopt;
    }
    return named_end(name, pointer);
  }

  /// An end that the run itself places.
  std::optional<int> own_end(const RunSpec& run) {
    const auto known = by_name_.find(run.to);
    if (known != by_name_.end()) {
      context_.problem(run.end.pointer, "place.same",
                       "Another run gives \"" + run.to + "\" a place already.",
                       "List it under \"ends\" and let both runs end there.");
      return std::nullopt;
    }
    EndSpec spec = run.end;
    spec.id = run.to;
    return by_name_[run.to] = make_end(spec, run.to, run.end.pointer);
  }

  std::optional<int> gear_without_port(const GearSpec& gear, const std::string& pointer) {
    std::vector<std::string> names;
    for (const Component& component : gear.holds) names.push_back(component.id);
    context_.problem(pointer, "place.port",
                     "\"" + gear.id + "\" holds several components; the run must name one.",
                     "Name " + quoted_list(names) + ".");
    return std::nullopt;
  }

  /// The far end as this run wants it: changed in place if no other run uses it, else a copy.
  int with_overrides(const RunSpec& run, int end) {
    const bool has_place = !std::holds_alternative<std::monostate>(run.end.place);
    const bool changes = !run.end.pointer.empty() || run.slack_m || run.provision;
    if (!changes) return end;
    int target = end;
    if (users_[run.to] > 1) {
      End copy = ends_.ends[static_cast<std::size_t>(end)];
      const std::string base = copy.id;
      copy.id += " (" + run.id + ")";
      target = add_end(std::move(copy));
      copy_of_[target] = base;
    }
    End& far = ends_.ends[static_cast<std::size_t>(target)];
    const EndSpec* base = spec_of(run.to);
    const bool stated = run.end.state_given || (base != nullptr && base->state_given);
    if (run.provision && !stated) far.state = EndState::coiled;
    if (run.end.state_given) far.state = run.end.state;
    if (!run.end.connector.empty()) far.connector = run.end.connector;
    if (run.slack_m && (base == nullptr || !base->slack_m)) far.slack_m = *run.slack_m;
    if (run.end.slack_m) far.slack_m = *run.end.slack_m;
    if (run.end.may_move && !has_place) {
      const EndPlace place = far.place;
      auto places = may_move_to(context_, *run.end.may_move, place, run.end.pointer);
      for (std::size_t i = 0; i < places.size(); ++i)
        add_way_off_sheet(context_, far.id + " (place " + std::to_string(i + 2) + ")", places[i]);
      set_moves(*run.end.may_move, std::move(places), ends_.ends[static_cast<std::size_t>(target)]);
    }
    return target;
  }

  void resolve(const RunSpec& run, int spec) {
    const auto from = end_of(run, true);
    const auto to = end_of(run, false);
    if (!from || !to) return;
    if (*from == *to) {
      context_.problem(run.pointer + "/to", "place.run",
                       "The run \"" + run.id + "\" starts and ends at \"" + run.to + "\".");
      return;
    }
    Run resolved;
    resolved.id = run.id;
    resolved.from = *from;
    const EndSpec* start = spec_of(run.from);
    if (run.slack_m && users_[run.from] == 1 && start != nullptr && !start->slack_m)
      ends_.ends[static_cast<std::size_t>(*from)].slack_m = *run.slack_m;
    resolved.to = with_overrides(run, *to);
    resolved.provision = run.provision;
    resolved.spec = spec;
    const auto& cables = context_.job.catalogue.cables;
    const auto cable = std::find_if(cables.begin(), cables.end(),
                                    [&](const CableType& c) { return c.id == run.cable; });
    if (cable == cables.end()) {
      context_.problem(run.pointer + "/cable", "place.name",
                       "There is no cable \"" + run.cable + "\".");
      return;
    }
    resolved.cable = static_cast<int>(cable - cables.begin());
    resolved.service = cable->service;
    ends_.runs.push_back(std::move(resolved));
  }

  void check_same_place() {
    for (std::size_t i = 0; i < ends_.ends.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const End& a = ends_.ends[j];
        const End& b = ends_.ends[i];
        if (base_id(static_cast<int>(i)) == base_id(static_cast<int>(j))) continue;
        if (distance(a.place.position, b.place.position) > 0.001) continue;
        context_.problem(pointer_of(b.id), "place.same",
                         "\"" + b.id + "\" is in the same place as \"" + a.id + "\".",
                         "Move one of them, or let both runs end at one.");
      }
    }
  }

  const std::string& base_id(int end) const {
    const auto copy = copy_of_.find(end);
    return copy == copy_of_.end() ? ends_.ends[static_cast<std::size_t>(end)].id : copy->second;
  }

  std::string pointer_of(const std::string& id) const {
    if (const EndSpec* spec = spec_of(id)) return spec->pointer;
    for (const RunSpec& run : context_.job.runs)
      if (run.to == id || run.from == id) return run.pointer;
    return "/runs";
  }

  Context& context_;
  Ends& ends_;
  PortBook ports_;
  std::map<std::string, int> users_;
  std::map<std::string, std::optional<int>> by_name_;
  std::map<int, std::string> copy_of_;  ///< an end of one run's own -> the id it was copied from
};

}  // namespace

void place_runs(Context& context) {
  RunPlacer(context).run();
  check_way_names(context);
  tell_ends_on_level_sheets(context);
  tell_ends_on_studs(context);
}

}  // namespace roomloom::place
