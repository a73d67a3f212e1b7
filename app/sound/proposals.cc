#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/inputs/inputs.h"
#include "app/sound/listening.h"
#include "core/sound/spread.h"

namespace crankwise {
namespace {

using sound::Answer;
using sound::Value;
using sound::Why;

class Telling {
 public:
  Telling(const Listened& l, const Knowledge& k, const Bike& bike) : l_(l), k_(k), traits_(bike.traits) {
    out_.step = step_of(l.of);
  }

  Proposals all() {
    const Step* step = k_.steps.find(out_.step);
    for (const std::string& reading : step == nullptr ? std::vector<std::string>{} : step->reads) {
      const Reading* r = k_.readings.find(reading);
      if (r == nullptr || !r->applies.holds(traits_)) continue;
      const Answer<Value> value = l_.heard.pass_by                                ? Answer<Value>(Why::passing)
                                  : l_.heard.second && l_.heard.second->suspected ? Answer<Value>(Why::two_engines)
                                                                                  : of(reading);
      if (value)
        add(*r, *value);
      else
        out_.not_told.push_back(fmt::format("{}: {}", r->name, sound::in_words(value.why_not())));
    }
    return std::move(out_);
  }

 private:
  /// In the reading's unit.
  Answer<Value> of(const std::string& reading) const {
    const sound::Heard& h = l_.heard;
    if (reading == "idle-speed") return h.idle ? Answer<Value>(h.idle->rpm) : h.idle.why_not();
    if (reading == "idle-wander") {
      if (!h.idle) return h.idle.why_not();
      // What hunts is not steady either, however regularly.
      const double hunting = h.idle->hunting ? h.idle->hunting->depth / std::sqrt(2.0) : 0;
      if (!h.idle->wander) return h.idle->wander.why_not();
      const Value w = *h.idle->wander;
      return w.value >= hunting ? percent(w) : percent({hunting, h.idle->hunting->depth_sigma});
    }
    if (reading == "idle-hang") return hang();
    if (reading == "rise-time") return rise();
    if (reading == "road-power") {
      if (!l_.pull) return Why::no_pull;
      if (!*l_.pull) return l_.pull->why_not();
      return Value{(*l_.pull)->peak_w.value / 1e3, (*l_.pull)->peak_w.sigma / 1e3};
    }
    if (reading == "uneven-firing") return uneven();
    if (!h.ceiling) return h.ceiling.why_not();
    const sound::Ceiling& c = *h.ceiling;
    if (reading == "neutral-ceiling") return c.rpm;
    if (reading == "weak-firings") return c.weak ? Answer<Value>(share(c.weak->seen)) : c.weak.why_not();
    if (!c.shape) return c.shape.why_not();
    if (reading == "cut-ceiling") return *c.shape == sound::Top::hard_cut ? Answer<Value>(c.rpm) : Why::another_shape;
    if (reading == "soft-ceiling")
      return *c.shape == sound::Top::flattening ? Answer<Value>(c.rpm) : Why::another_shape;
    if (reading == "sink-at-top") return percent(c.sink);
    if (reading == "swing-at-top") return c.surge ? percent({c.surge->depth, c.surge->depth_sigma}) : percent(c.ripple);
    return Why::not_in_both;
  }

  static Value percent(const Value& share) { return {100 * share.value, 100 * share.sigma}; }
  static Value share(const sound::Share& s) { return {100 * s.share, 100 * (s.high - s.low) / (2 * 1.96)}; }

  static Value middle_of(const std::vector<Value>& values) {
    std::vector<double> v, s;
    for (const Value& x : values) v.push_back(x.value), s.push_back(x.sigma);
    const double scatter = values.size() > 1 ? sound::robust_sigma(v) : 0;
    return {sound::median(v), std::hypot(sound::median(s), scatter) / std::sqrt(static_cast<double>(values.size()))};
  }

  Answer<Value> hang() const {
    if (!l_.heard.blips) return l_.heard.blips.why_not();
    std::vector<Value> hangs;
    Why why = Why::no_blip;
    for (const sound::Blip& b : *l_.heard.blips) {
      if (b.settling)
        hangs.push_back(b.settling->hang_s);
      else
        why = b.settling.why_not();
    }
    return hangs.empty() ? Answer<Value>(why) : Answer<Value>(middle_of(hangs));
  }

  /// Of those blips that went high: the others were not opened fully.
  Answer<Value> rise() const {
    if (!l_.heard.blips || l_.heard.blips->empty()) return l_.heard.blips ? Why::no_blip : l_.heard.blips.why_not();
    double highest = 0;
    for (const sound::Blip& b : *l_.heard.blips) highest = std::max(highest, b.peak_rpm.value);
    std::vector<Value> rises;
    for (const sound::Blip& b : *l_.heard.blips) {
      if (b.peak_rpm.value > 0.85 * highest) rises.push_back(b.rise_s);
    }
    return middle_of(rises);
  }

  /// Where it is worst.
  Answer<Value> uneven() const {
    Answer<Value> worst = Why::too_short;
    for (const sound::AlternationBand& band : l_.heard.alternations) {
      if (!band.is) continue;
      const double weaker = 100 * (1 - band.is->weaker);
      if (worst && weaker <= worst->value) continue;
      // A decibel of half order is about an eighth of the unevenness.
      worst = Value{weaker, std::max(2.0, weaker * band.is->sigma_db / 8)};
    }
    return worst;
  }

  void add(const Reading& r, const Value& v) {
    const double value = std::stod(fmt::format("{:.4g}", std::clamp(v.value, r.least, r.most)));
    const double least = value > 0 ? value : 1;
    const double doubt = std::clamp(100 * v.sigma / least, 0.1, 300.0);
    Took took{r.id, value, r.unit, false, {}, {{"give-or-take", fmt::format("{:.1f} %", doubt)}}};
    out_.readings.push_back(
        {std::move(took), fmt::format("{}: {}, give or take {:.1f} %", r.name, rounded(value, r.unit), doubt)});
  }

  static std::string rounded(double value, const std::string& unit) {
    if (unit == "rpm") return fmt::format("{:.0f} rpm", value);
    return with_unit(std::stod(fmt::format("{:.3g}", value)), unit);
  }

  const Listened& l_;
  const Knowledge& k_;
  Traits traits_;
  Proposals out_;
};

}  // namespace

Proposals proposals(const Listened& l, const Knowledge& k, const Bike& bike) { return Telling(l, k, bike).all(); }

}  // namespace crankwise
