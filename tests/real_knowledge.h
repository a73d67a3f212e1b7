// The knowledge of the tree under test, read once.
#pragma once

#include "edge/knowledge.h"

namespace crankwise {

inline const Knowledge& real_knowledge() {
  static const Knowledge k = load_knowledge(CRANKWISE_SOURCE_DIR "/knowledge");
  return k;
}

}  // namespace crankwise
