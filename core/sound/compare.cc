#include "core/sound/compare.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

namespace crankwise::sound {
namespace {

using Of = Change::Of;

/// Of repeated values: median and its uncertainty, by their spread where there are three and more.
std::optional<Value> middle(const std::vector<Value>& values) {
  if (values.empty()) return std::nullopt;
  std::vector<double> all, sigmas;
  for (const Value& v : values) {
    all.push_back(v.value);
    sigmas.push_back(v.sigma);
  }
  const double spread = all.size() >= 3 ? std::max(robust_sigma(all), median(sigmas)) : median(sigmas);
  // Blips are not given alike by hand: two or one say little of the next, so a tenth is taken for their spread.
  const double by_hand = all.size() >= 3 ? 0 : 0.1 * median(all);
  return Value{median(all), 1.25 * std::hypot(spread, by_hand) / std::sqrt(static_cast<double>(all.size()))};
}

/// Either a value or why there is none.
struct Told {
  std::optional<Value> value;
  Why why_not{};
};

Told told(const Heard& h, Of of) {
  const auto of_blips = [&](auto take) -> Told {
    if (!h.blips) return {{}, h.blips.why_not()};
    std::vector<Value> values;
    Why why = Why::no_blip;
    for (const Blip& b : *h.blips) {
      const Answer<Value> value = take(b);
      if (value)
        values.push_back(*value);
      else
        why = value.why_not();
    }
    return {middle(values), why};
  };
  switch (of) {
    case Of::ceiling_rpm:
      if (!h.ceiling) return {{}, h.ceiling.why_not()};
      return {h.ceiling->rpm};
    case Of::idle_rpm:
      if (!h.idle) return {{}, h.idle.why_not()};
      return {h.idle->rpm};
    case Of::idle_wander:
      if (!h.idle) return {{}, h.idle.why_not()};
      if (!h.idle->wander) return {{}, h.idle->wander.why_not()};
      return {*h.idle->wander};
    case Of::rise_s:
      return of_blips([](const Blip& b) -> Answer<Value> { return b.rise_s; });
    case Of::hang_s:
      return of_blips([](const Blip& b) -> Answer<Value> {
        if (!b.settling) return b.settling.why_not();
        return b.settling->hang_s;
      });
    default:
      return {{}, Why::not_in_both};
  }
}

constexpr Of kSingle[] = {Of::ceiling_rpm, Of::idle_rpm, Of::idle_wander, Of::rise_s, Of::hang_s};

/// A count's share with half of its interval, which is two sigma at 95 %.
Value of_share(const Share& s) { return {s.share, (s.high - s.low) / 2 / 1.959964}; }

template <typename Bands, typename Use>
void each_common(const Bands& before, const Bands& after, Use use) {
  for (const auto& b : before)
    for (const auto& a : after)
      if (std::floor(b.from_rpm / kBandRpm) == std::floor(a.from_rpm / kBandRpm)) use(b, a);
}

std::string grouped(double value) {
  std::string digits = std::to_string(std::llabs(std::llround(value)));
  for (auto i = static_cast<std::ptrdiff_t>(digits.size()) - 3; i > 0; i -= 3)
    digits.insert(static_cast<size_t>(i), ",");
  return (std::llround(value) < 0 ? "-" : "") + digits;
}

/// With so many decimals that sigma has one or two digits.
std::string written(double value, double sigma) {
  int decimals = 0;
  double step = 1;
  while (sigma > 0 && sigma / step < 2 && decimals < 4) step /= 10, ++decimals;
  if (decimals == 0) {
    while (sigma / step >= 20) step *= 10;
    return grouped(std::round(value / step) * step) + " +- " + grouped(std::round(sigma / step) * step);
  }
  const auto fixed = [&](double v) {
    const long long all = std::llround(std::abs(v) / step), whole = std::llround(1 / step);
    std::string part = std::to_string(all % whole);
    part.insert(0, static_cast<size_t>(decimals) - part.size(), '0');
    return (v < 0 && all > 0 ? "-" : "") + std::to_string(all / whole) + "." + part;
  };
  return fixed(value) + " +- " + fixed(sigma);
}

struct Words {
  const char* what;
  const char* unit;
  double factor;
};

Words words(Of of) {
  switch (of) {
    case Of::ceiling_rpm:
      return {"the rev ceiling", " rpm", 1};
    case Of::idle_rpm:
      return {"the idle", " rpm", 1};
    case Of::idle_wander:
      return {"the wander of the idle", " %", 100};
    case Of::rise_s:
      return {"the rise of a blip", " s", 1};
    case Of::hang_s:
      return {"the way back to idle", " s", 1};
    case Of::weak_share:
      return {"the share of weak firings", " %", 100};
    case Of::half_order_db:
      return {"the difference between firings by turns", " dB", 1};
    case Of::road_w:
      return {"the power on the road", " kW", 1e-3};
  }
  return {"", "", 1};
}

}  // namespace

double Change::sigma() const { return std::hypot(before.sigma, after.sigma); }
bool Change::real() const { return std::abs(difference()) > 2.58 * sigma(); }

std::vector<Change> compare(const Heard& before, const Heard& after) {
  std::vector<Change> found;
  for (const Of of : kSingle) {
    const Told was = told(before, of), is = told(after, of);
    if (was.value && is.value) found.push_back({of, 0, 0, *was.value, *is.value});
  }
  each_common(before.weak, after.weak, [&](const WeakBand& b, const WeakBand& a) {
    if (b.weak && a.weak)
      found.push_back(
          {Of::weak_share, std::max(b.from_rpm, a.from_rpm), b.to_rpm, of_share(b.weak->seen), of_share(a.weak->seen)});
  });
  each_common(before.alternations, after.alternations, [&](const AlternationBand& b, const AlternationBand& a) {
    if (b.is && a.is)
      found.push_back({Of::half_order_db,
                       std::max(b.from_rpm, a.from_rpm),
                       b.to_rpm,
                       {b.is->over_db(), b.is->sigma_db},
                       {a.is->over_db(), a.is->sigma_db}});
  });
  return found;
}

Change compare(const Pull& before, const Pull& after, double strip_share) {
  assert(strip_share >= 0);
  const auto alone = [&](const Pull& pull) {
    const double fit =
        std::sqrt(std::max(0.0, std::pow(pull.peak_w.sigma, 2) - std::pow(pull.common_share * pull.peak_w.value, 2)));
    return Value{pull.peak_w.value, std::hypot(fit, strip_share * pull.peak_w.value)};
  };
  return {Of::road_w, 0, 0, alone(before), alone(after)};
}

std::vector<OneSided> one_sided(const Heard& before, const Heard& after) {
  std::vector<OneSided> found;
  for (const Of of : kSingle) {
    const Told was = told(before, of), is = told(after, of);
    if (was.value && !is.value) found.push_back({of, true, is.why_not});
    if (!was.value && is.value) found.push_back({of, false, was.why_not});
  }
  return found;
}

std::string in_words(const Change& c) {
  const Words w = words(c.of);
  std::string text = w.what;
  if (c.to_rpm > 0) text += " from " + grouped(c.from_rpm) + " to " + grouped(c.to_rpm) + " rpm";
  const std::string before = written(w.factor * c.before.value, w.factor * c.before.sigma);
  const std::string after = written(w.factor * c.after.value, w.factor * c.after.sigma) + w.unit;
  if (!c.real()) return text + " did not change beyond what chance does: " + before + " before, " + after + " after";
  return text + (c.difference() > 0 ? " rose from " : " fell from ") + before + " to " + after;
}

}  // namespace crankwise::sound
