// A small body of knowledge, whole but quick to judge, for tests of shop and case files.
#pragma once

#include "edge/knowledge.h"

namespace crankwise::test {

const Knowledge& small_knowledge();

}  // namespace crankwise::test
