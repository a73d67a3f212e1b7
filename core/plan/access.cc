#include "core/plan/access.h"

#include <bit>
#include <cassert>
#include <cstddef>

namespace crankwise {

Access::Access(std::vector<AccessPart> parts) : parts_(std::move(parts)) {
  const size_t n = parts_.size();
  assert(n <= 64);
  closure_.resize(n);
  above_.resize(n);
  for (size_t p = 0; p < n; ++p) closure_[p] = bit(static_cast<int>(p));
  for (size_t round = 0; round < n; ++round) {  // longest chain is shorter than n
    for (size_t p = 0; p < n; ++p) {
      for (int a : parts_[p].after) closure_[p] |= closure_[static_cast<size_t>(a)];
    }
  }
  for (size_t p = 0; p < n; ++p) {
    for (size_t q = 0; q < n; ++q) {
      if (closure_[q] & bit(static_cast<int>(p))) above_[p] |= bit(static_cast<int>(q));
    }
  }
}

PartMask Access::closure(const std::vector<int>& parts) const {
  PartMask mask = 0;
  for (int p : parts) mask |= closure(p);
  return mask;
}

PartMask Access::blocked_by(PartMask on) const {
  PartMask mask = 0;
  for (; on != 0; on &= on - 1) mask |= above_[static_cast<size_t>(std::countr_zero(on))];
  return mask;
}

Effort Access::move(PartMask from, PartMask to) const {
  Effort e;
  for (PartMask off = to & ~from; off != 0; off &= off - 1) {
    e.minutes += parts_[static_cast<size_t>(std::countr_zero(off))].off_min;
  }
  for (PartMask on = from & ~to; on != 0; on &= on - 1) {
    const AccessPart& p = parts_[static_cast<size_t>(std::countr_zero(on))];
    e.minutes += p.on_min;
    e.money += p.on_money;
  }
  return e;
}

}  // namespace crankwise
