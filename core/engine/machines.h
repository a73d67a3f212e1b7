// run() as it is compiled for each kind of machine.
#pragma once

#include "core/engine/run.h"

namespace crankwise::engine {

std::vector<Outcome> run_any(std::span<const Member>, const RunOptions&);
std::vector<Outcome> run_avx2(std::span<const Member>, const RunOptions&);
std::vector<Outcome> run_avx512(std::span<const Member>, const RunOptions&);

}  // namespace crankwise::engine
