#include "job/check_job.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "base/nearest.h"
#include "base/units.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom {
namespace {

class Checker {
 public:
  Checker(const Job& job, DocumentText& document) : job_(job), document_(document) {
    for (const CableType& cable : job.catalogue.cables) cables_.push_back(cable.id);
  }

  void run() {
    collect_names();
    check_labels();
    for (const EndSpec& end : job_.ends) check_end(end);
    std::map<std::string, std::string> runs;
    for (const RunSpec& run : job_.runs) {
      claim_run_id(run, runs);
      run_ids_.push_back(run.id);
    }
    for (const RunSpec& run : job_.runs) check_run(run);
    check_company();
    for (const SpareSpec& spare : job_.spares)
      for (const std::string& id : spare.along)
        if (std::find(run_ids_.begin(), run_ids_.end(), id) == run_ids_.end())
          add(spare.pointer + "/along", "job.reference", "There is no run \"" + id + "\".",
              suggestion(id, run_ids_));
  }

 private:
  void add(const std::string& pointer, const char* code, std::string what, std::string remedy) {
    document_.add(pointer, code, std::move(what), std::move(remedy));
  }

  bool well_formed(const std::string& id, const std::string& pointer) {
    if (id.empty()) return false;  // the schema has said so
    const bool control = std::any_of(id.begin(), id.end(), [](char c) {
      return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
    });
    if (control || id.front() == ' ' || id.back() == ' ' || id.size() > 200)
      add(pointer + "/id", "job.id",
          "An id may not start or end with a space, hold control characters or be over 200 bytes.",
          "");
    return true;
  }

  void claim(const std::string& id, const std::string& pointer) {
    if (!well_formed(id, pointer)) return;
    const auto [first, fresh] = owner_.emplace(id, pointer);
    if (!fresh)
      add(pointer + "/id", "job.id",
          "The id \"" + id + "\" is used twice; first at " + first->second + ".",
          "Gear, components and ends share one set of ids.");
    names_.push_back(id);
  }

  void collect_names() {
    for (const GearSpec& gear : job_.gear) {
      claim(gear.id, gear.pointer);
      for (const Component& component : gear.holds) {
        if (component.pointer != gear.pointer) claim(component.id, component.pointer);
        std::set<std::string> ports;
        for (const std::string& port : component.ports) {
          names_.push_back(component.id + "." + port);
          if (!ports.insert(port).second)
            add(component.pointer + "/ports", "job.port",
                "\"" + component.id + "\" has the port \"" + port + "\" twice.", "");
        }
      }
    }
    for (const EndSpec& end : job_.ends) claim(end.id, end.pointer);
    known_.insert(names_.begin(), names_.end());
  }

  void check_labels() {
    if (!job_.layout) return;
    for (const LoudspeakerSystem& system : loudspeaker_systems())
      for (const LabelRange& range : system.labels)
        if (known_.count(range.label) == 0 && labels_.insert(range.label).second)
          names_.push_back(range.label);
  }

  void check_end(const EndSpec& end) {
    if (const auto* label = std::get_if<AtLabel>(&end.place)) check_label(label->label, end);
    if (std::holds_alternative<FromListener>(end.place) && !job_.layout)
      add(end.pointer, "job.place", "A direction from the listener needs a layout with a listener.",
          "Add \"layout\": { \"listener\": { \"xyz\": [...] } }.");
    if (const auto* at = std::get_if<AtGear>(&end.place)) check_gear_place(*at, end);
    if (std::holds_alternative<std::monostate>(end.place) && labels_.count(end.id) == 0 &&
        find_label("", end.id) == nullptr)
      add(end.pointer, "job.place", "The end \"" + end.id + "\" has no place.",
          "Give \"xyz\", \"marker\", \"at\" a part, \"azimuth\", \"label\" or \"gear\".");
    if (std::holds_alternative<std::monostate>(end.place) && find_label("", end.id) != nullptr &&
        !job_.layout)
      needs_layout(end.pointer, end.id);
  }

  void needs_layout(const std::string& pointer, const std::string& label) {
    add(pointer, "job.place", "The label \"" + label + "\" has no place without a layout.",
        "Add \"layout\" with a listener, or give the end a place of its own.");
  }

  void check_label(const std::string& label, const EndSpec& end) {
    if (!job_.layout) return needs_layout(end.pointer + "/label", label);
    if (find_label(job_.layout->system, label) != nullptr) return;
    add(end.pointer + "/label", "job.reference", "No system of BS.2051 has a \"" + label + "\".",
        suggestion(label, {labels_.begin(), labels_.end()}));
  }

  void check_gear_place(const AtGear& at, const EndSpec& end) {
    std::vector<std::string> gear;
    for (const GearSpec& box : job_.gear) {
      gear.push_back(box.id);
      for (const Component& component : box.holds) gear.push_back(component.id);
    }
    const std::string name = at.port.empty() ? at.gear : at.gear + "." + at.port;
    if (std::find(gear.begin(), gear.end(), at.gear) == gear.end())
      add(end.pointer + "/gear", "job.reference", "There is no gear \"" + at.gear + "\".",
          suggestion(at.gear, gear));
    else if (known_.count(name) == 0)
      add(end.pointer + "/port", "job.reference",
          "\"" + at.gear + "\" has no port \"" + at.port + "\".", suggestion(name, names_));
  }

  void claim_run_id(const RunSpec& run, std::map<std::string, std::string>& runs) {
    if (!well_formed(run.id, run.pointer)) return;
    const auto [first, fresh] = runs.emplace(run.id, run.pointer);
    if (!fresh)
      add(run.pointer + "/id", "job.id",
          "The run id \"" + run.id + "\" is used twice; first at " + first->second + ".", "");
  }

  void check_run(const RunSpec& run) {
    check_name(run, "/from", run.from, false);
    const bool own_place = !std::holds_alternative<std::monostate>(run.end.place);
    check_name(run, "/to", run.to, own_place);
    if (!run.from.empty() && run.from == run.to)
      add(run.pointer + "/to", "job.run",
          "The run \"" + run.id + "\" goes from \"" + run.from + "\" to itself.", "");
    check_cable(run);
    check_run_words(run);
    if (run.measured_m && !run.installed)
      add(run.pointer + "/measured", "job.run",
          "A measured length belongs to a run that is installed.",
          "Add \"installed\": true or drop it.");
  }

  void check_name(const RunSpec& run, const char* key, const std::string& name, bool own_place) {
    if (name.empty()) return;
    const std::string pointer = run.pointer + key;
    if (own_place) {
      if (known_.count(name) != 0)
        add(run.pointer + "/end", "job.place",
            "\"" + name + "\" has a place already; this run gives it another.",
            "Give the run an end of a new name.");
      return;
    }
    if (known_.count(name) == 0 && labels_.count(name) == 0) {
      if (!job_.layout && find_label("", name) != nullptr) return needs_layout(pointer, name);
      add(pointer, "job.reference", "There is no end, gear, component or port \"" + name + "\".",
          suggestion(name, names_));
      return;
    }
    if (!is_port(name)) return;
    const auto [first, fresh] = port_user_.emplace(name, run.id);
    if (!fresh)
      add(pointer, "job.port",
          "The port \"" + name + "\" is taken by run \"" + first->second + "\" already.",
          "Name another port, or only the component: a free port is then taken.");
  }

  bool is_port(const std::string& name) const {
    return known_.count(name) != 0 && owner_.count(name) == 0;
  }

  void check_cable(const RunSpec& run) {
    if (!run.open_cable.empty()) return check_open_gauge(run);
    const CableType* known = job_.catalogue.cable(run.cable);
    if (known != nullptr && known->service == Service::mains)
      add(run.pointer + "/cable", "job.mains",
          "\"" + run.cable +
              "\" is mains cable, and Roomloom plans low voltage only: mains is something "
              "to keep away from.",
          "Leave the run to a licensed electrician. Where its way is known, model it as a part and "
          "say "
          "\"is\": \"power\": runs keep off it.");
    if (run.cable.empty() || known != nullptr) return;
    std::vector<std::string> of_service;
    for (const CableType& cable : job_.catalogue.cables)
      if (run.cable == to_string(cable.service) ||
          (run.cable == "speaker" && cable.service == Service::loudspeaker))
        of_service.push_back(cable.id);
    if (of_service.empty())
      add(run.pointer + "/cable", "job.cable", "There is no cable \"" + run.cable + "\".",
          suggestion(run.cable, cables_));
    else
      add(run.pointer + "/cable", "job.choose-cable",
          "\"" + run.cable + "\" leaves the type open; it is not chosen for you.",
          "Choose a type: " + reaches(run, of_service) +
              " Or say under \"favourites\", here or in a house file, which one it is.");
  }

  void check_open_gauge(const RunSpec& run) {
    std::vector<std::string> rows;
    bool serves = false;
    for (const CableType& cable : job_.catalogue.cables) {
      if (cable.service != Service::loudspeaker || cable.conductors != run.conductors) continue;
      if (cable.resistance_ohm_per_m <= 0) continue;
      serves |= run.series.empty() || cable.series == run.series;
      rows.push_back(cable.series);
    }
    if (!serves)
      add(run.pointer + (run.series.empty() ? "/conductors" : "/series"), "job.choose-cable",
          "No loudspeaker cable of that row and number of conductors can be chosen.",
          suggestion(run.series, rows));
  }

  /// The types with the length each can serve, so that the choice is easy.
  std::string reaches(const RunSpec& run, const std::vector<std::string>& ids) const {
    const double ohms = run.impedance_ohm > 0 ? run.impedance_ohm : 8;
    const double share = std::isfinite(run.loss_limit) ? run.loss_limit : RunSpec().loss_limit;
    std::string text;
    bool with_reach = false;
    for (const std::string& id : ids) {
      const CableType& cable = *job_.catalogue.cable(id);
      text += (text.empty() ? "\"" : ", \"") + id + "\"";
      if (cable.service != Service::loudspeaker || cable.resistance_ohm_per_m <= 0) continue;
      const double reach = share * ohms / (2 * cable.resistance_ohm_per_m);
      text += " to " + format_length(reach, job_.units, 1);
      with_reach = true;
    }
    if (with_reach)
      text += " at " + format_number(100 * share, 1) + " % of " + format_number(ohms, 1) +
              " ohm in the cable";
    return text + ".";
  }

  /// Runs that shall go together, be it by way of others, and shall not: none of them could go.
  void check_company() {
    std::map<std::string, std::string> leader;
    const auto leader_of = [&](std::string id) {
      while (leader.count(id) != 0 && leader[id] != id) id = leader[id];
      return id;
    };
    for (const RunSpec& run : job_.runs)
      for (const std::string& id : run.same_way_as) leader[leader_of(run.id)] = leader_of(id);
    for (const RunSpec& run : job_.runs) {
      for (const std::string& id : run.not_with) {
        const bool told = id == run.id || std::find(run.same_way_as.begin(), run.same_way_as.end(),
                                                    id) != run.same_way_as.end();
        if (told || leader_of(id) != leader_of(run.id)) continue;
        add(run.pointer + "/not_with", "job.run",
            "The run \"" + run.id + "\" shall not go with \"" + id +
                "\", but \"same_way_as\" of other runs ties the two together.",
            "Drop one of the two.");
      }
    }
  }

  void check_run_words(const RunSpec& run) {
    const auto known = [&](const std::vector<std::string>& ids, const char* key) {
      for (std::size_t i = 0; i < ids.size(); ++i) {
        if (ids[i] == run.id)
          add(run.pointer + key, "job.run", "The run \"" + run.id + "\" names itself.", "");
        else if (std::find(run_ids_.begin(), run_ids_.end(), ids[i]) == run_ids_.end())
          add(run.pointer + key, "job.reference", "There is no run \"" + ids[i] + "\".",
              suggestion(ids[i], run_ids_));
      }
    };
    known(run.same_way_as, "/same_way_as");
    known(run.not_with, "/not_with");
    for (const std::string& id : run.same_way_as)
      if (std::find(run.not_with.begin(), run.not_with.end(), id) != run.not_with.end())
        add(run.pointer + "/not_with", "job.run",
            "The run \"" + run.id + "\" shall go with \"" + id + "\" and not with it.", "");
    for (const std::string& name : run.via)
      if (std::find(run.avoid.begin(), run.avoid.end(), name) != run.avoid.end())
        add(run.pointer + "/avoid", "job.run",
            "The run \"" + run.id + "\" shall pass \"" + name + "\" and avoid it.", "");
  }

  const Job& job_;
  DocumentText& document_;
  std::vector<std::string> cables_, names_, run_ids_;
  std::map<std::string, std::string> owner_;  ///< id -> pointer of gear, component or end
  std::set<std::string> known_, labels_;
  std::map<std::string, std::string> port_user_;
};

}  // namespace

void check_job(const Job& job, DocumentText& document) { Checker(job, document).run(); }

}  // namespace roomloom
