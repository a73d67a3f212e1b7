// What the programs of the bench write: whole files, and a part of a text between two marks.
#pragma once

#include <string>

namespace crankwise::bench {

/// `text` with what stands between the lines <!-- NAME: begin --> and <!-- NAME: end --> replaced. Throws
/// std::runtime_error if it has not both, in order.
std::string with_part(const std::string& text, const std::string& name, const std::string& part);

/// Both throw std::runtime_error.
std::string read_file(const std::string& path);
void write_file(const std::string& path, const std::string& text);

}  // namespace crankwise::bench
