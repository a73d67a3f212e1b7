#include "http/certificate.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <gnutls/crypto.h>
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>

#include <array>
#include <ctime>
#include <memory>
#include <optional>

#include "edge/digest.h"
#include "edge/file.h"
#include "edge/problem.h"

namespace crankwise {
namespace {

namespace fs = std::filesystem;
constexpr std::time_t kDay_s = 24 * 3600;
constexpr std::time_t kValid_s = 397 * kDay_s;  // browsers take no longer ones
constexpr std::time_t kLeast_s = 30 * kDay_s;

struct FreeCertificate {
  void operator()(gnutls_x509_crt_t c) const { gnutls_x509_crt_deinit(c); }
};
struct FreeKey {
  void operator()(gnutls_x509_privkey_t k) const { gnutls_x509_privkey_deinit(k); }
};
using Crt = std::unique_ptr<std::remove_pointer_t<gnutls_x509_crt_t>, FreeCertificate>;
using Key = std::unique_ptr<std::remove_pointer_t<gnutls_x509_privkey_t>, FreeKey>;

/// Names the step that GnuTLS would not do.
void must(int code, const char* what) {
  if (code < 0)
    throw BadInput({"", 0, "", fmt::format("a certificate cannot be made: {}: {}", what, gnutls_strerror(code)),
                    "--no-tls, or a machine with a sound GnuTLS"});
}

Crt new_crt() {
  gnutls_x509_crt_t c = nullptr;
  must(gnutls_x509_crt_init(&c), "memory");
  return Crt(c);
}

template <class Export>
std::string pem(Export write) {
  gnutls_datum_t out{};
  must(write(&out), "export");
  std::string text(reinterpret_cast<const char*>(out.data), out.size);
  gnutls_free(out.data);
  return text;
}

std::string fingerprint_of(const Crt& c) {
  const std::string der =
      pem([&](gnutls_datum_t* out) { return gnutls_x509_crt_export2(c.get(), GNUTLS_X509_FMT_DER, out); });
  const std::string hex = sha256_hex(der);
  std::string out;
  for (std::size_t i = 0; i < hex.size(); ++i) {
    if (i > 0 && i % 2 == 0) out += ':';
    out += static_cast<char>(std::toupper(static_cast<unsigned char>(hex[i])));
  }
  return out;
}

Certificate made_anew(const Addresses& own) {
  gnutls_x509_privkey_t made = nullptr;
  must(gnutls_x509_privkey_init(&made), "memory");
  const Key key(made);
  must(gnutls_x509_privkey_generate(key.get(), GNUTLS_PK_ECDSA, GNUTLS_CURVE_TO_BITS(GNUTLS_ECC_CURVE_SECP256R1), 0),
       "key");
  const Crt crt = new_crt();
  const std::time_t now = std::time(nullptr);
  std::array<unsigned char, 16> serial{};
  must(gnutls_rnd(GNUTLS_RND_NONCE, serial.data(), serial.size()), "random bytes");
  serial[0] = static_cast<unsigned char>((serial[0] & 0x7fU) | 0x01U);  // above 0, and not shorter
  must(gnutls_x509_crt_set_version(crt.get(), 3), "version");
  must(gnutls_x509_crt_set_serial(crt.get(), serial.data(), serial.size()), "serial number");
  must(gnutls_x509_crt_set_dn(crt.get(), "CN=crankwise bench", nullptr), "name");
  must(gnutls_x509_crt_set_activation_time(crt.get(), now - kDay_s), "time");
  must(gnutls_x509_crt_set_expiration_time(crt.get(), now - kDay_s + kValid_s), "time");
  must(gnutls_x509_crt_set_key(crt.get(), key.get()), "key");
  must(gnutls_x509_crt_set_basic_constraints(crt.get(), 0, -1), "constraints");
  must(gnutls_x509_crt_set_key_usage(crt.get(), GNUTLS_KEY_DIGITAL_SIGNATURE), "usage");
  must(gnutls_x509_crt_set_key_purpose_oid(crt.get(), GNUTLS_KP_TLS_WWW_SERVER, 0), "purpose");
  for (const std::string& name : own.names)
    must(gnutls_x509_crt_set_subject_alt_name(crt.get(), GNUTLS_SAN_DNSNAME, name.data(),
                                              static_cast<unsigned>(name.size()), GNUTLS_FSAN_APPEND),
         "host name");
  for (const std::string& ip : own.ips) {
    in_addr bytes{};
    if (::inet_pton(AF_INET, ip.c_str(), &bytes) != 1) continue;
    must(
        gnutls_x509_crt_set_subject_alt_name(crt.get(), GNUTLS_SAN_IPADDRESS, &bytes, sizeof bytes, GNUTLS_FSAN_APPEND),
        "address");
  }
  must(gnutls_x509_crt_sign2(crt.get(), crt.get(), key.get(), GNUTLS_DIG_SHA256, 0), "signature");
  return {pem([&](gnutls_datum_t* out) { return gnutls_x509_crt_export2(crt.get(), GNUTLS_X509_FMT_PEM, out); }),
          pem([&](gnutls_datum_t* out) { return gnutls_x509_privkey_export2(key.get(), GNUTLS_X509_FMT_PEM, out); }),
          fingerprint_of(crt)};
}

gnutls_datum_t datum(const std::string& text) {
  return {reinterpret_cast<unsigned char*>(const_cast<char*>(text.data())), static_cast<unsigned>(text.size())};
}

/// Is the key the certificate's? Not, if the program was ended between writing the two.
bool fit(const Crt& crt, const std::string& key_pem) {
  gnutls_x509_privkey_t made = nullptr;
  must(gnutls_x509_privkey_init(&made), "memory");
  const Key key(made);
  const gnutls_datum_t text = datum(key_pem);
  if (gnutls_x509_privkey_import(key.get(), &text, GNUTLS_X509_FMT_PEM) < 0) return false;
  std::array<unsigned char, 64> ours{}, its{};
  std::size_t a = ours.size(), b = its.size();
  return gnutls_x509_privkey_get_key_id(key.get(), GNUTLS_KEYID_USE_SHA256, ours.data(), &a) >= 0 &&
         gnutls_x509_crt_get_key_id(crt.get(), GNUTLS_KEYID_USE_SHA256, its.data(), &b) >= 0 && a == b && ours == its;
}

/// The kept one, if it will do.
std::optional<Certificate> kept(const std::string& certificate_pem, const std::string& key_pem, const Addresses& own) {
  const Crt crt = new_crt();
  const gnutls_datum_t text = datum(certificate_pem);
  if (gnutls_x509_crt_import(crt.get(), &text, GNUTLS_X509_FMT_PEM) < 0) return {};
  if (gnutls_x509_crt_get_expiration_time(crt.get()) < std::time(nullptr) + kLeast_s) return {};
  if (!fit(crt, key_pem)) return {};
  for (const auto* list : {&own.names, &own.ips}) {
    for (const std::string& name : *list) {
      if (gnutls_x509_crt_check_hostname(crt.get(), name.c_str()) == 0) return {};
    }
  }
  return Certificate{certificate_pem, key_pem, fingerprint_of(crt)};
}

}  // namespace

Certificate own_certificate(const fs::path& folder, const Addresses& own) {
  constexpr std::size_t kMost = 100'000;
  const fs::path file = folder / "certificate.pem", key_file = folder / "key.pem";
  std::error_code failed;
  fs::create_directories(folder, failed);
  if (fs::exists(file, failed) && fs::exists(key_file, failed)) {
    if (auto still = kept(read_whole(file, kMost), read_whole(key_file, kMost), own)) return std::move(*still);
  }
  Certificate made = made_anew(own);
  write_whole(key_file, made.key_pem, true, Readers::owner);
  write_whole(file, made.certificate_pem, true);
  return made;
}

}  // namespace crankwise
