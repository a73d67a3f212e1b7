// What must hold between the parts of a shop file: nothing twice, nothing that points nowhere, hours that can be.
#pragma once

#include <functional>
#include <string>

#include "app/shop_file.h"

namespace crankwise {

using NoteProblem = std::function<void(const std::string& path, const std::string& wrong, const std::string& right)>;

void check_shop_file(const ShopFile&, const NoteProblem&);

/// Do these count in this order?
bool counts_before(const FileEvent&, const FileEvent&);

/// The same for one event in whatever file or shop.
std::string identity_of(const std::string& shop, std::int64_t seq, const std::string& at, const std::string& kind);

}  // namespace crankwise
