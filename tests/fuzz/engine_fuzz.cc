// Engine files: any text, with another laid over it after a line "=== over", is either an engine that can be simulated
// for some steps without losing a number, or BadInput.
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/engine/faults.h"
#include "core/engine/run.h"
#include "edge/engine_file.h"
#include "edge/problem.h"
#include "tests/fuzz/must.h"

using namespace crankwise;
using fuzz::must;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  constexpr std::string_view kMark = "\n=== over\n";
  const std::size_t mark = text.find(kMark);
  const std::string_view over = mark == std::string_view::npos ? "" : text.substr(mark + kMark.size());
  engine::Design d;
  try {
    d = parse_engine({"one.toml", std::string(text.substr(0, mark))}, {"over.toml", std::string(over)}).design;
  } catch (const BadInput& e) {
    must(!e.problems().empty(), "a refusal says why");
    for (const Problem& p : e.problems()) must(!p.wrong.empty() && !p.right.empty(), "every problem has a way out");
    return 0;
  }
  for (const engine::SimulatedFault& fault : engine::simulated_faults()) {
    if (!engine::applies(fault, d)) continue;
    for (const flow::Stretch& s : engine::with_fault(d, fault, 1).exhaust)
      must(s.length_m > 0 && s.from_m > 0 && s.to_m > 0, "a fault leaves a pipe");
  }
  engine::RunOptions few;
  few.cells = {4, 4, 4, 12};
  few.most_cycles = 1;
  const engine::Member m{.design = d, .around = {}, .rpm = 9000};
  const engine::Outcome o = engine::run({&m, 1}, few).front();
  must(o.state == engine::Outcome::State::lost_gas || std::isfinite(o.power_w), "a figure, or it is said why not");
  return 0;
}
