// The kernel of the flow compiled for one machine; steps.cc is compiled once for each.
#pragma once

namespace crankwise::bench {

struct FlowKernel {
  const char* machine;
  /// Steps of a duct of so many cells, `lanes` members at a time (1: double alone; 4, 8, 16: float). Closed ends are
  /// hardly more than two pressures; open ones are solved. Gives a number of the result.
  double (*steps)(int lanes, int cells, int count, bool open_ends);
  /// `count` times 16 independent multiply-adds, in the vectors of these lanes.
  double (*peak)(int lanes, int count);
};

FlowKernel flow_kernel_plain();
FlowKernel flow_kernel_avx2();
FlowKernel flow_kernel_avx512();

}  // namespace crankwise::bench
