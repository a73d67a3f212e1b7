// The shop that many phones work on at once: one at a time.
#pragma once

#include <mutex>

#include "app/shop.h"

namespace crankwise {

class Workshop {
 public:
  explicit Workshop(Shop& shop) : shop_(shop) {}

  /// Calls do(shop) with the shop as it is now, alone.
  template <class Do>
  auto with(Do work) {
    const std::lock_guard lock(mutex_);
    shop_.look_again();
    return work(shop_);
  }
  const Knowledge& knowledge() const { return shop_.knowledge(); }  // never changes

 private:
  std::mutex mutex_;
  Shop& shop_;
};

}  // namespace crankwise
