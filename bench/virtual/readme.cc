#include "bench/virtual/readme.h"

#include <fmt/format.h>

#include <fstream>
#include <sstream>
#include <stdexcept>

namespace crankwise::bench {

std::string with_part(const std::string& text, const std::string& name, const std::string& part) {
  const std::string begins = fmt::format("<!-- {}: begin -->\n", name), ends = fmt::format("<!-- {}: end -->\n", name);
  const size_t begin = text.find(begins);
  const size_t end = begin == std::string::npos ? begin : text.find(ends, begin + begins.size());
  if (end == std::string::npos) throw std::runtime_error("no marks to write between: " + begins);
  return text.substr(0, begin + begins.size()) + part + text.substr(end);
}

std::string read_file(const std::string& path) {
  std::ifstream in(path);
  if (!in) throw std::runtime_error("cannot read " + path);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

void write_file(const std::string& path, const std::string& text) {
  std::ofstream out(path);
  out << text;
  if (!out.flush()) throw std::runtime_error("cannot write " + path);
}

}  // namespace crankwise::bench
