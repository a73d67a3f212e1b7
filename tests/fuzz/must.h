// What all fuzz programs need: a claim that ends the run when it does not hold, and the knowledge to try things on.
#pragma once

#include <cstdio>
#include <cstdlib>

#include "edge/knowledge.h"

namespace crankwise::fuzz {

inline void must(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %s\n", what);
  std::abort();
}

/// The project's own, or that in the folder CRANKWISE_KNOWLEDGE.
inline const Knowledge& knowledge() {
  static const Knowledge kKnowledge = [] {
    const char* folder = std::getenv("CRANKWISE_KNOWLEDGE");
    return load_knowledge(folder != nullptr ? folder : CRANKWISE_SOURCE_DIR "/knowledge");
  }();
  return kKnowledge;
}

}  // namespace crankwise::fuzz
