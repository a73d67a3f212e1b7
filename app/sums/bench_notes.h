#pragma once

#include "app/sums/sum.h"
#include "core/calc/bench_flag.h"

namespace crankwise {

void add_notes(SumAnswer&, const BenchFlags&);

}  // namespace crankwise
