// Where the fields of a JSON text stand, and which keys are there twice; what the JSON library does not tell.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace crankwise {

struct JsonLines {
  std::map<std::string, int> line;                 // "steps[2].findings.muffled" -> line, from 1
  std::vector<std::pair<std::string, int>> twice;  // path of a key that its object has already, and its line
};

/// `text` must be valid JSON.
JsonLines json_lines(const std::string& text);

}  // namespace crankwise
