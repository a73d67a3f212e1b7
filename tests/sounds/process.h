// A program run to its end, without a shell.
#pragma once

#include <string>
#include <vector>

namespace crankwise::sounds {

/// Where a program of this name is, in PATH or one of these places; "" if nowhere.
std::string find_program(const std::string& name, const std::vector<std::string>& places = {});

/// Its standard output. Its first word is the program's path; it runs in `folder` if one is given. Throws
/// std::runtime_error with its last words if it ends with anything but 0.
std::string output_of(const std::vector<std::string>& words, const std::string& folder = "");

}  // namespace crankwise::sounds
