// Which phones may see the shop: those that were told the code once.
//
//   Pairing pairing(folder, random, seconds);
//   pairing.pair("7KQM-2X9D");              // a token for the phone's cookie; nothing if the code is wrong
//   pairing.knows(token);
//
// The code is new each time the server starts; phones stay paired for half a year, by a list of digests of their tokens
// in a file that only its owner can read. Eight letters of 31 are 8.5e11 codes; after a handful of wrong ones nobody is
// heard for a minute, so a guess a dozen seconds long would take on average two hundred thousand years.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>

namespace crankwise {

class Pairing {
 public:
  using Random = std::function<std::string()>;    // 64 hex digits that nobody can guess
  using Seconds = std::function<std::int64_t()>;  // since 1970
  static constexpr int kWrongTries = 5;
  static constexpr std::int64_t kRest_s = 60, kPaired_s = std::int64_t{182} * 24 * 3600;

  /// Reads the list in `folder`, which is made if it is missing. Throws BadInput if it cannot be read.
  Pairing(const std::filesystem::path& folder, Random, Seconds);

  const std::string& code() const { return code_; }  // as it is shown: "7KQM-2X9D"
  /// Dashes, spaces and small letters do not matter. Nothing too if there were too many wrong tries just before.
  std::optional<std::string> pair(const std::string& code);
  bool resting() const;
  bool knows(const std::string& token) const;
  void forget(const std::string& token);

 private:
  void save() const;
  bool resting_now() const;

  std::filesystem::path file_;
  Random random_;
  Seconds seconds_;
  std::string code_;
  mutable std::mutex mutex_;
  std::map<std::string, std::int64_t> phones_;  // digest of the token -> until when
  int wrong_ = 0;
  std::int64_t rest_until_ = 0;
};

}  // namespace crankwise
