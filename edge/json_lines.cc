#include "edge/json_lines.h"

#include <cctype>
#include <nlohmann/json.hpp>

namespace crankwise {

JsonLines json_lines(const std::string& text) {
  struct Level {
    bool object;
    std::string path;  // of the object or list itself
    int item = 1;      // of a list
    std::string key;   // of an object: the one whose value is being read
  };
  JsonLines out;
  std::vector<Level> levels;
  int line = 1;
  const auto here = [&]() -> std::string {
    if (levels.empty()) return "";
    const Level& l = levels.back();
    if (!l.object) return l.path + "[" + std::to_string(l.item) + "]";
    return l.path.empty() ? l.key : l.path + "." + l.key;
  };
  constexpr size_t kDeepest = 32;  // no field of ours is deeper, and paths would grow without end
  for (size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') ++line;
    if (c == '{' || c == '[') {
      const std::string path = levels.size() < kDeepest ? here() : "";
      levels.push_back({c == '{', path, 1, ""});
    } else if (c == '}' || c == ']') {
      if (!levels.empty()) levels.pop_back();
    } else if (c == ',' && !levels.empty()) {
      ++levels.back().item;
    } else if (c == '"') {
      size_t end = i + 1;
      while (end < text.size() && text[end] != '"') end += text[end] == '\\' ? 2 : 1;
      size_t next = end + 1;
      while (next < text.size() && std::isspace(static_cast<unsigned char>(text[next]))) ++next;
      if (next < text.size() && text[next] == ':' && !levels.empty() && levels.back().object &&
          levels.size() <= kDeepest) {
        levels.back().key = nlohmann::json::parse(text.substr(i, end + 1 - i)).get<std::string>();
        const std::string path = here();
        if (!out.line.try_emplace(path, line).second) out.twice.emplace_back(path, line);
      }
      i = end;
    }
  }
  return out;
}

}  // namespace crankwise
