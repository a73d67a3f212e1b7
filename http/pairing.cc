#include "http/pairing.h"

#include <nettle/memops.h>

#include <nlohmann/json.hpp>

#include "edge/digest.h"
#include "edge/file.h"
#include "edge/problem.h"

namespace crankwise {
namespace {

constexpr std::string_view kLetters = "23456789ABCDEFGHJKMNPQRSTUVWXYZ";  // none that is read for another
constexpr std::size_t kLength = 8;

/// Letters from random bytes; those beyond the last whole round of letters are left out, so that all are as likely.
std::string code_from(const Pairing::Random& random) {
  std::string code;
  while (code.size() < kLength) {
    const std::string hex = random();
    for (std::size_t i = 0; i + 1 < hex.size() && code.size() < kLength; i += 2) {
      const auto byte = static_cast<std::size_t>(std::stoi(hex.substr(i, 2), nullptr, 16));
      if (byte < 256 / kLetters.size() * kLetters.size()) code += kLetters[byte % kLetters.size()];
    }
  }
  return code.insert(kLength / 2, "-");
}

std::string plain(const std::string& code) {
  std::string out;
  for (const char c : code) {
    if (c != '-' && c != ' ') out += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  }
  return out;
}

}  // namespace

Pairing::Pairing(const std::filesystem::path& folder, Random random, Seconds seconds)
    : file_(folder / "phones.json"),
      random_(std::move(random)),
      seconds_(std::move(seconds)),
      code_(code_from(random_)) {
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (!std::filesystem::exists(file_, failed)) return;
  constexpr std::size_t kMost = 1'000'000;
  try {
    phones_ = nlohmann::json::parse(read_whole(file_, kMost)).get<std::map<std::string, std::int64_t>>();
  } catch (const nlohmann::json::exception&) {
    throw BadInput(
        {file_.string(), 0, "", "is not a list of paired phones", "no such file: phones are then paired anew"});
  }
  std::erase_if(phones_, [now = seconds_()](const auto& phone) { return phone.second <= now; });
}

bool Pairing::resting_now() const { return seconds_() < rest_until_; }

bool Pairing::resting() const {
  const std::lock_guard lock(mutex_);
  return resting_now();
}

std::optional<std::string> Pairing::pair(const std::string& code) {
  const std::lock_guard lock(mutex_);
  if (resting_now()) return {};
  const std::string told = plain(code), right = plain(code_);
  if (told.size() != right.size() || nettle_memeql_sec(told.data(), right.data(), right.size()) == 0) {
    if (++wrong_ >= kWrongTries) {
      wrong_ = 0;
      rest_until_ = seconds_() + kRest_s;
    }
    return {};
  }
  wrong_ = 0;
  const std::string token = random_();
  phones_[sha256_hex(token)] = seconds_() + kPaired_s;
  save();
  return token;
}

bool Pairing::knows(const std::string& token) const {
  if (token.empty()) return false;
  const std::string digest = sha256_hex(token);
  const std::lock_guard lock(mutex_);
  const auto phone = phones_.find(digest);
  return phone != phones_.end() && phone->second > seconds_();
}

void Pairing::forget(const std::string& token) {
  const std::lock_guard lock(mutex_);
  if (phones_.erase(sha256_hex(token)) > 0) save();
}

void Pairing::save() const { write_whole(file_, nlohmann::json(phones_).dump(1), true, Readers::owner); }

}  // namespace crankwise
