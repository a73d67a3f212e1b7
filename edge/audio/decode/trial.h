// What a shut-in process cannot do, tried out: for the tests, by `crankwise-decode --try WHAT`.
#pragma once

#include <string_view>

namespace crankwise::audio {

/// 0 if the attempt succeeded, else the error number; -1 for a name that is not known. `what`: open, create, stat,
/// socket, fork, exec, kill (its group, with signal 0), run-memory (memory that can be run), read-other (from another
/// descriptor), write-other, memory (4 GB), spin (for ever).
int attempt(std::string_view what);

}  // namespace crankwise::audio
