// Whole files, read and written.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace crankwise {

/// Throws BadInput if it cannot be read or is larger than `most` bytes.
std::string read_whole(const std::filesystem::path&, std::size_t most);

/// On the disk when it returns, under its name only when whole. Throws BadInput if it cannot be written, and if there
/// is something of that name unless `replace`.
enum class Readers { everybody, owner };
void write_whole(const std::filesystem::path&, std::string_view bytes, bool replace, Readers = Readers::everybody);

}  // namespace crankwise
