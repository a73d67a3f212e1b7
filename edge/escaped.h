// Words within HTML or XML, as text or within quotes of either kind.
#pragma once

#include <string>

namespace crankwise {

std::string escaped(const std::string& raw);

}  // namespace crankwise
