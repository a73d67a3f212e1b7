// Engines run until their cycles repeat, and what they give then.
//
//   Member m{.design = design, .around = {}, .rpm = 9000};
//   Outcome o = run({&m, 1}, {}).front();
//   if (o.state == Outcome::State::repeats) o.power_w;
//
// Any number of members of one cycle (two-stroke or four-stroke) and one fuel; they run side by side in the widest
// vector lanes that the machine has. A lane's figures do not depend on how many lanes there are, nor on what runs
// beside it, but for the last bits. Without I/O, threads or globals: batches may run in threads of the caller.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/engine/design.h"

namespace crankwise::engine {

/// One engine at one speed.
struct Member {
  Design design;
  Surroundings around;
  double rpm = 6000;
};

/// Cells of each duct.
struct Cells {
  int runner = 12, port = 10, transfer = 8, exhaust = 100;
  int all(Cycle) const;
  Cells half() const;
};

/// Cycles that are taken together: an engine off its pipe surges, or fires strongly every second or third time.
inline constexpr int kMeanOver = 6;

struct RunOptions {
  Cells cells;
  int coarse_cycles = 12;  // with half the cells first, which takes a quarter of the time
  int most_cycles = 100;   // after these
  // A member is done when its work and air of a cycle settle, as shares:
  double steady = 0.0006;  // each of the last four differs by no more from their mean
  double within = 0.004;   // or the mean of the last kMeanOver from that of as many before
  double dragged = 0.025;  // or its work alone, if it does not fire at all
  double surging = 0.04;   // or it hunts, and this is the standard error of its mean, of what a sound engine works
};

/// Where a lane lost its gas: density or energy came to 0 or below, and nothing after it means anything.
struct LostGas {
  enum class Place { nowhere, air_box, inlet, runner, port, crankcase, transfer, cylinder, exhaust };
  Place place = Place::nowhere;
  double at_m = 0;       // in a duct: from the end that the gas enters by
  double crank_rad = 0;  // from top dead centre of the working stroke
  int cycle = 0;
};
/// "in the exhaust, 430 mm from where the gas enters, 95 degrees after top dead centre of cycle 3"
std::string in_words(const LostGas&);

/// The mean of the last `mean_over` cycles: few of a steady engine, many of one that surges.
struct Outcome {
  enum class State { repeats, does_not_repeat, lost_gas };
  State state = State::does_not_repeat;
  LostGas lost;
  int cycles = 0, mean_over = 0;
  double rpm = 0;
  double imep_pa = 0, pumping_pa = 0, fmep_pa = 0, bmep_pa = 0;  // over the swept volume; pumping: by the crankcase
  double torque_nm = 0, power_w = 0;
  double delivery_ratio = 0;                     // air drawn over what the swept volume holds of the surrounding air
  double lambda = 0, residual = 0, misfire = 0;  // at the spark: air over what its fuel needs, burned share, share lost
  double fuel_kg_s = 0, bsfc_kg_j = 0, lost_fuel = 0;  // lost_fuel: share that leaves unburned
  double exhaust_k = 0, peak_pa = 0, wall_w = 0;
  double knock_margin = 1;  // an indicator only: more or less, 0 and below it may knock
  double uneven = 0;        // standard deviation of their work, as a share: it surges, or fires by turns
};

/// One for each member, in their order.
std::vector<Outcome> run(std::span<const Member>, const RunOptions&);

/// How many members run side by side on this machine.
int members_at_once();

}  // namespace crankwise::engine
