#include "edge/engine_overlay.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

namespace crankwise {
namespace {

/// Moved, not copied, so that each field keeps its file and line.
void lay_fields(toml::table& base, toml::table& over, const std::string& path, std::vector<Problem>& problems) {
  for (auto&& [key, node] : over) {
    const std::string here = path + std::string(key.str());
    toml::node* under = base.get(key.str());
    toml::table* fields = node.as_table();
    if (fields != nullptr && under != nullptr && under->is_table()) {
      lay_fields(*under->as_table(), *fields, here + ".", problems);
      continue;
    }
    toml::array* list = under == nullptr ? nullptr : under->as_array();
    if (fields == nullptr || list == nullptr) {
      base.insert_or_assign(key.str(), std::move(node));
      continue;
    }
    for (auto&& [number, part] : *fields) {
      const std::string told(number.str());
      const bool digits = !told.empty() && told.size() < 4 &&
                          std::all_of(told.begin(), told.end(), [](char c) { return c >= '0' && c <= '9'; });
      const size_t at = digits ? std::stoul(told) : 0;
      if (at == 0 || at > list->size() || !part.is_table() || !list->get(at - 1)->is_table()) {
        problems.push_back({*part.source().path, static_cast<int>(part.source().begin.line), here + "." + told,
                            "is not a stretch of this engine", fmt::format("{0}.1 to {0}.{1}", here, list->size())});
        continue;
      }
      lay_fields(*list->get(at - 1)->as_table(), *part.as_table(), here + "." + told + ".", problems);
    }
  }
}

/// Of clearance and ratio the overlay's goes, whichever the base has.
void drop_other_compression(toml::table& base, const toml::table& over) {
  toml::table* head = base["head"].as_table();
  const toml::table* mine = over["head"].as_table();
  if (head == nullptr || mine == nullptr) return;
  if (mine->contains("clearance") || mine->contains("ratio"))
    for (const char* field : {"clearance", "ratio"}) head->erase(field);
  if (mine->contains("clearance")) head->erase("ratio_of");
}

}  // namespace

void lay_over(toml::table& base, toml::table& over, std::vector<Problem>& problems) {
  drop_other_compression(base, over);
  lay_fields(base, over, "", problems);
}

}  // namespace crankwise
