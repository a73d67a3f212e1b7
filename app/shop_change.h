// What the members of Shop that write share.
#pragma once

#include <string>
#include <utility>

#include "app/shop.h"

namespace crankwise {

[[noreturn]] inline void refuse(std::string wrong, std::string right) {
  throw BadInput({"", 0, "", std::move(wrong), std::move(right)});
}

template <class Do>
auto Shop::newest(Do change) {
  for (int again = 0;; ++again) {
    refresh();
    try {
      return change();
    } catch (const Stale&) {
      if (again == 20) throw;
    }
  }
}

}  // namespace crankwise
