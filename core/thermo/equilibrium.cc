// Equilibrium and flame temperatures (core/thermo/products.h).
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "core/thermo/products.h"

namespace crankwise::thermo {
namespace {

constexpr std::size_t kReacting = 11, kElements = 4, kUnknowns = kElements + 1;

using Vector = std::array<double, kUnknowns>;
using Matrix = std::array<Vector, kUnknowns>;

std::array<double, kElements> counts(const Atoms& a) { return {a.c, a.h, a.o, a.n}; }

/// Gauss with row pivots; false if there is no answer.
bool solve(Matrix& m, Vector& right) {
  for (std::size_t k = 0; k < kUnknowns; ++k) {
    std::size_t best = k;
    for (std::size_t i = k + 1; i < kUnknowns; ++i) {
      if (std::abs(m[i][k]) > std::abs(m[best][k])) best = i;
    }
    if (!(std::abs(m[best][k]) > 0)) return false;
    std::swap(m[k], m[best]);
    std::swap(right[k], right[best]);
    for (std::size_t i = k + 1; i < kUnknowns; ++i) {
      const double factor = m[i][k] / m[k][k];
      for (std::size_t j = k; j < kUnknowns; ++j) m[i][j] -= factor * m[k][j];
      right[i] -= factor * right[k];
    }
  }
  for (std::size_t k = kUnknowns; k-- > 0;) {
    for (std::size_t j = k + 1; j < kUnknowns; ++j) right[k] -= m[k][j] * right[j];
    right[k] /= m[k][k];
  }
  return true;
}

/// Amounts as logarithms, for one unit of atoms in all.
class Iteration {
 public:
  Iteration(const Atoms& atoms, double temp_k, double p_pa) : wanted_(counts(atoms)), ar_(atoms.ar) {
    for (const double w : wanted_) scale_ += w;
    for (double& w : wanted_) w /= scale_;
    ar_ /= scale_;
    log_total_ = std::log(0.5 + ar_);
    for (std::size_t s = 0; s < kReacting; ++s) {
      const Species species = static_cast<Species>(s);
      makeup_[s] = counts(atoms_of(species));
      for (std::size_t e = 0; e < kElements; ++e) present_[s] = present_[s] && (makeup_[s][e] == 0 || wanted_[e] > 0);
      potential_[s] = (molar_enthalpy_j_mol(species, temp_k) / temp_k - molar_entropy_j_mol_k(species, temp_k)) /
                          kMolarGasConstant +
                      std::log(p_pa / kAtmospherePa);
      log_mol_[s] = std::log(0.5 / kReacting);
    }
  }

  /// One step; how large it was, or a negative number if there is none.
  double step() {
    Matrix m{};
    Vector right{};
    const double total = std::exp(log_total_);
    double sum = ar_;
    for (std::size_t e = 0; e < kElements; ++e) right[e] = wanted_[e];
    for (std::size_t s = 0; s < kReacting; ++s) {
      if (!present_[s]) continue;
      const double mol = std::exp(log_mol_[s]), mu = potential_[s] + log_mol_[s] - log_total_;
      sum += mol;
      for (std::size_t e = 0; e < kElements; ++e) {
        const double of = makeup_[s][e] * mol;
        for (std::size_t f = 0; f < kElements; ++f) m[e][f] += of * makeup_[s][f];
        m[e][kElements] += of;
        m[kElements][e] += of;
        right[e] += of * (mu - 1);
      }
      m[kElements][kElements] += mol;
      right[kElements] += mol * mu;
    }
    m[kElements][kElements] -= total;
    right[kElements] += total - sum;
    for (std::size_t e = 0; e < kElements; ++e) {
      if (wanted_[e] == 0) m[e][e] = 1;
    }
    if (!solve(m, right)) return -1;
    return move(right, total);
  }

  GasMix answer() const {
    GasMix mix;
    for (std::size_t s = 0; s < kReacting; ++s) {
      if (present_[s]) mix.mol[s] = scale_ * std::exp(log_mol_[s]);
    }
    mix[Species::ar] = scale_ * ar_;
    return mix;
  }

 private:
  double move(const Vector& found, double total) {
    constexpr double kTrace = -18.420681;  // log 1e-8: below this share a species is held to a share of 1e-4
    std::array<double, kReacting> change{};
    double most = 5 * std::abs(found[kElements]), damp = 1;
    for (std::size_t s = 0; s < kReacting; ++s) {
      if (!present_[s]) continue;
      change[s] = found[kElements] - (potential_[s] + log_mol_[s] - log_total_);
      for (std::size_t e = 0; e < kElements; ++e) change[s] += makeup_[s][e] * found[e];
      const double share = log_mol_[s] - log_total_;
      if (share > kTrace) {
        most = std::max(most, std::abs(change[s]));
      } else if (change[s] > 0) {
        damp = std::min(damp, std::abs((-share - 9.2103404) / (change[s] - found[kElements])));
      }
    }
    if (most > 2) damp = std::min(damp, 2 / most);
    double size = total * std::abs(found[kElements]);
    for (std::size_t s = 0; s < kReacting; ++s) {
      if (!present_[s]) continue;
      size += std::exp(log_mol_[s]) * std::abs(change[s]);
      log_mol_[s] += damp * change[s];
    }
    log_total_ += damp * found[kElements];
    return std::isfinite(size) ? size : -1;
  }

  std::array<double, kElements> wanted_;
  double ar_, scale_ = 0, log_total_ = 0;
  std::array<std::array<double, kElements>, kReacting> makeup_{};
  std::array<bool, kReacting> present_{true, true, true, true, true, true, true, true, true, true, true};
  std::array<double, kReacting> potential_{}, log_mol_{};
};

/// Where the balance (growing with temperature) is 0, by halving and false position in turn.
template <class Balance>
std::optional<double> root(const Balance& balance) {
  double low = 1000, high = 4000;
  std::optional<double> at_low = balance(low), at_high = balance(high);
  if (!at_low || !at_high || *at_low > 0 || *at_high < 0) return std::nullopt;
  for (int i = 0; i < 100 && high - low > 1e-6; ++i) {
    const double between = low - *at_low * (high - low) / (*at_high - *at_low);
    const double temp_k = i % 2 == 0 ? between : (low + high) / 2;
    const std::optional<double> here = balance(temp_k);
    if (!here) return std::nullopt;
    if (*here == 0) return temp_k;
    (*here < 0 ? low : high) = temp_k;
    (*here < 0 ? at_low : at_high) = here;
  }
  return (low + high) / 2;
}

std::optional<GasMix> products(const FlameStart& start, Dissociation dissociation, double temp_k, double p_pa) {
  if (dissociation == Dissociation::none) return complete_products(start.atoms);
  return equilibrium(start.atoms, temp_k, p_pa);
}

FlameStart start_of(const Atoms& fuel, double fuel_enthalpy_j, double fuel_mol, double phi, const AirMakeup& air) {
  const double oxygen = (fuel.c + fuel.h / 4 - fuel.o / 2) / phi;
  return {charge_atoms(fuel, phi, air), fuel_enthalpy_j + oxygen * enthalpy_j(air_mix(air), kReferenceK),
          fuel_mol + oxygen * (1 + air.n2 + air.ar), kReferenceK, kAtmospherePa};
}

}  // namespace

std::optional<GasMix> equilibrium(const Atoms& atoms, double temp_k, double p_pa) {
  assert(temp_k > 0 && p_pa > 0 && atoms.h > 0 && atoms.o > 0);
  Iteration iteration(atoms, temp_k, p_pa);
  for (int i = 0; i < 200; ++i) {
    const double size = iteration.step();
    if (size < 0) return std::nullopt;
    if (size < 1e-12) return iteration.answer();
  }
  return std::nullopt;
}

FlameStart flame_start(Species fuel, double phi, const AirMakeup& air) {
  return start_of(atoms_of(fuel), molar_enthalpy_j_mol(fuel, kReferenceK), 1, phi, air);
}

FlameStart flame_start(const Fuel& fuel, double phi, const AirMakeup& air) {
  const double burned = fuel.mol_kg.c * molar_enthalpy_j_mol(Species::co2, kReferenceK) +
                        fuel.mol_kg.h / 2 * molar_enthalpy_j_mol(Species::h2o, kReferenceK);
  return start_of(fuel.mol_kg, burned + fuel.lower_heating_j_kg + fuel.evaporation_j_kg, fuel.vapour_mol_kg, phi, air);
}

std::optional<double> flame_at_constant_pressure_k(const FlameStart& start, Dissociation dissociation) {
  return root([&](double temp_k) -> std::optional<double> {
    const std::optional<GasMix> mix = products(start, dissociation, temp_k, start.p_pa);
    if (!mix) return std::nullopt;
    return enthalpy_j(*mix, temp_k) - start.enthalpy_j;
  });
}

std::optional<double> flame_at_constant_volume_k(const FlameStart& start, Dissociation dissociation) {
  const double p_per_mol_k = start.p_pa / (start.mol * start.temp_k);
  const double energy = start.enthalpy_j - kMolarGasConstant * start.mol * start.temp_k;
  return root([&](double temp_k) -> std::optional<double> {
    double mol = complete_products(start.atoms).total_mol();
    std::optional<GasMix> mix;
    for (int i = 0; i < 100; ++i) {  // the pressure follows from how many mol there are
      mix = products(start, dissociation, temp_k, p_per_mol_k * mol * temp_k);
      if (!mix) return std::nullopt;
      const double before = mol;
      mol = mix->total_mol();
      if (std::abs(mol - before) < 1e-12 * mol) break;
    }
    return enthalpy_j(*mix, temp_k) - kMolarGasConstant * mol * temp_k - energy;
  });
}

}  // namespace crankwise::thermo
