// A certificate that this machine makes for itself, so that the line to a phone is private and the phone allows its
// microphone. Nobody else vouches for it: the phone asks once whether to trust it, and the fingerprint tells whether it
// is this one.
#pragma once

#include <filesystem>
#include <string>

#include "http/addresses.h"

namespace crankwise {

struct Certificate {
  std::string certificate_pem, key_pem;
  std::string fingerprint;  // SHA-256, "AB:CD:..."
};

/// That of the folder if it still holds for a month and names these addresses; otherwise a new one (ECDSA P-256, valid
/// for 397 days), kept there where only its owner can read the key. Throws BadInput.
Certificate own_certificate(const std::filesystem::path& folder, const Addresses&);

}  // namespace crankwise
