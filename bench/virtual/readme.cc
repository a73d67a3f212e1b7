#include "bench/virtual/readme.h"

#include <stdexcept>

namespace crankwise::bench {

std::string with_part(const std::string& text, const std::string& part) {
  const size_t begin = text.find(kBegin);
  const size_t end = begin == std::string::npos ? begin : text.find(kEnd, begin + kBegin.size());
  if (end == std::string::npos) throw std::runtime_error("no marks to write between: " + std::string(kBegin));
  return text.substr(0, begin + kBegin.size()) + part + text.substr(end);
}

}  // namespace crankwise::bench
