#pragma once
namespace crankwise::thermo {
struct LinearGas {
  double constant_j_kg_k = 0;
  double cv0_j_kg_k = 0;
  double cv1_j_kg_k2 = 0;
};
struct WorkingGas {
  LinearGas air, fuel, burned;
};
}  // namespace crankwise::thermo
