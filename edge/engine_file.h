// An engine as text (docs/engine-format.md), ready for the simulation.
//
//   const EngineFile e = read_engine("knowledge/engines/motocross-125-two-stroke.toml", "mine.toml");
//   run(std::array{Member{.design = e.design, .rpm = 9000}}, {});
//
// The overlay is a second file with only what differs, its fields named as in the first: `exhaust.2.length = "310 mm"`.
// Throws one BadInput with all problems of both: a field that is missing, unknown, in the wrong unit or out of range,
// and what cannot be in metal.
#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "core/engine/design.h"

namespace crankwise {

struct EngineFile {
  std::string name;
  std::vector<std::string> classes;  // ids of the knowledge
  std::string source;
  engine::Design design;
};

struct EngineText {
  std::string file, text;
};
/// `over`: no text, no overlay.
EngineFile parse_engine(const EngineText& text, const EngineText& over = {});

EngineFile read_engine(const std::filesystem::path&, const std::filesystem::path& overlay = {});

/// The design alone.
engine::Design load_engine(const std::filesystem::path&, const std::filesystem::path& overlay = {});

}  // namespace crankwise
