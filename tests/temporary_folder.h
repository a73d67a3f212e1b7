// A folder of its own for each case, gone after it.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

namespace crankwise::test {

namespace fs = std::filesystem;

inline std::string read_file(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void write_file(const fs::path& path, std::string_view bytes) { std::ofstream(path, std::ios::binary) << bytes; }

class TemporaryFolder : public testing::Test {
 protected:
  TemporaryFolder() {
    std::string name = (fs::temp_directory_path() / "crankwise-test-XXXXXX").string();
    dir_ = ::mkdtemp(name.data());
  }
  ~TemporaryFolder() override { fs::remove_all(dir_); }

  fs::path dir_;
};

}  // namespace crankwise::test
