#include "bench/virtual/list.h"

namespace crankwise::bench {

// Common practice: fuel, plug, which way, exhaust, exhaust valve, reeds, carburettor or injection, coils, compression,
// timing, crankcase, strip. What an order of work does not name stands with its system.
const std::vector<std::string>& cheap_first_list() {
  static const std::vector<std::string> list = {
      // Fuel fresh, tap open, vent free, choke off, filter clean
      "tap-look", "look-in-tank", "cap-vent-look", "choke-look", "start-drill-look", "hot-start-look", "fuel-hose-look",
      "fuel-hose-heat-look", "vacuum-tap-look", "fuel-sample-jar", "fuel-grade-ask", "mix-ask", "mix-drop-test",
      "oil-pump-look", "look-air-filter", "inline-filter-look", "inline-filter-look-injection", "tap-flow-measure",
      "listen-to-pump", "look-at-fuel-coupling", "fuel-renew", "fuel-renew-injection",
      // Plug, cap, stop button
      "look-at-plug", "measure-plug-gap", "fit-new-plug", "look-at-cap-and-lead", "fit-new-cap",
      "run-without-stop-switch", "test-stop-switch", "look-at-stop-wire", "test-safety-switches",
      "run-without-map-switch",
      // Which way
      "choke-test", "tap-shut-test", "read-fault-codes", "look-at-settings",
      // Pipe and silencer
      "look-exhaust-outside", "look-spark-arrester", "look-through-silencer", "open-silencer", "measure-stinger",
      "look-exhaust-port",
      // Exhaust valve
      "move-exhaust-valve", "watch-exhaust-valve", "check-servo-cycle", "look-exhaust-valve-port", "look-governor",
      "clean-exhaust-valve-in-place",
      // Reeds, boots
      "tug-at-intake", "look-reeds", "bend-manifold", "spray-outside-joints", "spray-ignition-cover",
      // Carburettor
      "carburettor-top-look", "throttle-full-look", "bowl-vents-look", "bowl-drain-test", "level-creep-test",
      "idle-screw-test", "air-screw-test", "fuel-screw-test", "main-jet-look", "pump-squirt-look", "needle-look",
      "diaphragm-look", "slide-play-look", "bowl-jets-look", "float-check", "air-jets-look", "orings-look",
      "tap-screen-look", "carburettor-strip-clean", "needle-jet-replace",
      // Injection
      "check-battery", "check-fuses-and-relay", "measure-pump-volts", "look-at-throttle-body", "fuel-pressure-at-prime",
      "measure-pump-delivery", "feel-injector", "measure-injector", "measure-throttle-sensor",
      "measure-intake-pressure-sensor", "measure-temperature-sensors", "check-tip-over-sensor",
      "look-at-injection-connectors", "look-at-pump-filter", "look-at-injector-spray", "clean-injector", "fit-new-pump",
      // Coils, pick-up, source; what has no test is swapped
      "spark-test", "measure-coil", "measure-stator", "measure-pick-up", "measure-crank-sensor", "check-earths",
      "look-at-ignition-connectors", "peak-volts-at-coil", "peak-volts-at-stator", "look-at-points",
      "measure-pick-up-gap", "look-at-crank-sensor", "measure-charging", "measure-charging-coil", "test-capacitor",
      "swap-coil", "swap-ignition-box", "swap-regulator", "measure-coil-warm", "measure-stator-warm",
      "check-ignition-parts",
      // Not the engine
      "roll-bike", "check-clutch-lever", "look-at-chain-and-sprockets", "spin-wheels", "clutch-bite-check",
      "look-at-coolant", "watch-coolant-running", "pressure-test-cooling", "watch-rider-start", "second-rider",
      "check-engine-oil", "look-at-oil", "clear-case-breather",
      // Compression, leak-down, valves
      "turn-engine-by-hand", "compression-test", "look-through-plug-hole", "check-head-nuts", "check-decompressor",
      "leak-down-test", "look-at-head-joint", "check-tensioner", "check-valve-clearance", "look-under-cam-cover",
      "look-at-piston-through-exhaust-port", "look-at-piston-through-inlet", "check-cylinder-nuts",
      // Timing and key
      "check-flywheel-nut", "look-at-key", "look-behind-flywheel", "check-timing-dial", "swap-flywheel",
      "swap-control-unit",
      // Crankcase pressure
      "look-for-oil-behind-flywheel", "look-case-joint", "crankcase-pressure-test", "look-ignition-seal",
      "replace-clutch-seal",
      // Strip
      "feel-crank", "look-at-open-head", "petrol-test-valves", "decarbonise", "look-at-valves-out",
      "look-at-open-top-end", "measure-top-end", "new-piston-kit", "look-at-clutch-plates", "look-balancer",
      "turn-gearbox", "check-rod-cylinder-off", "measure-crank-runout", "rebuild-bottom-end"};
  return list;
}

}  // namespace crankwise::bench
