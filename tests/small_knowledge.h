// A small body of knowledge, whole but quick to judge, for tests of shop and case files.
#pragma once

#include "edge/knowledge.h"

namespace crankwise::test {

const Knowledge& small_knowledge();
/// The same with a second file, more.toml.
Knowledge small_knowledge_and(const std::string& more);

}  // namespace crankwise::test
