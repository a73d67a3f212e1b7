#include "edge/reading_method.h"

#include <algorithm>
#include <array>

namespace crankwise {
namespace {

struct Row {
  ReadingMethod method;
  std::string_view name;
  std::optional<Quantity> measures;
};

using M = ReadingMethod;
using Q = Quantity;
constexpr std::array kRows{Row{M::as_read, "as-read", {}},
                           Row{M::compression, "compression", Q::pressure_gauge},
                           Row{M::leak_down, "leak-down", Q::percent},
                           Row{M::case_leak, "case-leak", Q::pressure_rate},
                           Row{M::winding, "winding", Q::resistance},
                           Row{M::resistance, "resistance", Q::resistance},
                           Row{M::thermistor, "thermistor", Q::resistance},
                           Row{M::tap_flow, "tap-flow", Q::volume_flow},
                           Row{M::pump_flow, "pump-flow", Q::volume_flow},
                           Row{M::sensor_volts, "sensor-volts", Q::voltage},
                           Row{M::intake_pressure, "intake-pressure", Q::voltage},
                           Row{M::battery, "battery", Q::voltage},
                           Row{M::jet, "jet", Q::number},
                           Row{M::timing, "timing", Q::length},
                           Row{M::valve_clearance, "valve-clearance", Q::length},
                           Row{M::spark_gap, "spark-gap", Q::length},
                           Row{M::mix, "mix", Q::mass_ratio},
                           Row{M::vent, "vent", Q::volume},
                           Row{M::recording, "recording", {}}};

const Row& row(ReadingMethod method) {
  return *std::find_if(kRows.begin(), kRows.end(), [&](const Row& r) { return r.method == method; });
}

}  // namespace

std::span<const ReadingMethod> reading_methods() {
  static const auto kMethods = [] {
    std::array<ReadingMethod, kRows.size()> all{};
    std::transform(kRows.begin(), kRows.end(), all.begin(), [](const Row& r) { return r.method; });
    return all;
  }();
  return kMethods;
}

std::string_view text(ReadingMethod method) { return row(method).name; }
std::optional<Quantity> measures(ReadingMethod method) { return row(method).measures; }

}  // namespace crankwise
