// The certificate that the server makes for itself, read back by GnuTLS.
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>
#include <gtest/gtest.h>

#include <ctime>
#include <memory>

#include "http/certificate.h"
#include "tests/temporary_folder.h"

namespace crankwise {
namespace {

using namespace test;

class CertificateTest : public TemporaryFolder {};

const Addresses kOwn{{"192.168.7.20", "127.0.0.1"}, {"bench", "bench.local", "localhost"}};

TEST_F(CertificateTest, IsKeptAndNamesTheMachine) {
  const Certificate made = own_certificate(dir_ / "server", kOwn);
  EXPECT_EQ(made.fingerprint.size(), 32u * 3 - 1);
  EXPECT_EQ(fs::status(dir_ / "server/key.pem").permissions(), fs::perms::owner_read | fs::perms::owner_write);
  const Certificate again = own_certificate(dir_ / "server", kOwn);
  EXPECT_EQ(again.fingerprint, made.fingerprint);
  EXPECT_EQ(again.key_pem, made.key_pem);
  EXPECT_EQ(own_certificate(dir_ / "server", {{"127.0.0.1"}, {"localhost"}}).fingerprint, made.fingerprint)
      << "fewer names than it has";

  const Certificate moved = own_certificate(dir_ / "server", {{"10.0.0.3", "127.0.0.1"}, {"bench", "localhost"}});
  EXPECT_NE(moved.fingerprint, made.fingerprint) << "the machine has another address now";
  write_file(dir_ / "server/certificate.pem", "no certificate");
  EXPECT_NE(own_certificate(dir_ / "server", kOwn).fingerprint, moved.fingerprint);
}

TEST_F(CertificateTest, HoldsAsBrowsersWantIt) {
  // CA/Browser Forum Baseline Requirements, 6.3.2: at most 398 days; RFC 5280 for the rest.
  const Certificate made = own_certificate(dir_ / "server", kOwn);
  gnutls_x509_crt_t crt = nullptr;
  ASSERT_EQ(gnutls_x509_crt_init(&crt), 0);
  const std::unique_ptr<std::remove_pointer_t<gnutls_x509_crt_t>, decltype(&gnutls_x509_crt_deinit)> free(
      crt, &gnutls_x509_crt_deinit);
  std::string pem = made.certificate_pem;
  const gnutls_datum_t text{reinterpret_cast<unsigned char*>(pem.data()), static_cast<unsigned>(pem.size())};
  ASSERT_EQ(gnutls_x509_crt_import(crt, &text, GNUTLS_X509_FMT_PEM), 0);
  EXPECT_EQ(gnutls_x509_crt_get_version(crt), 3);
  const std::time_t from = gnutls_x509_crt_get_activation_time(crt), to = gnutls_x509_crt_get_expiration_time(crt);
  EXPECT_LE(from, std::time(nullptr));
  EXPECT_LE(to - from, 398 * 24 * 3600);
  EXPECT_GT(to, std::time(nullptr) + 390 * 24 * 3600);
  unsigned bits = 0;
  EXPECT_EQ(gnutls_x509_crt_get_pk_algorithm(crt, &bits), GNUTLS_PK_ECDSA);
  EXPECT_EQ(bits, 256u);
  for (const char* name : {"bench", "bench.local", "localhost", "192.168.7.20", "127.0.0.1"})
    EXPECT_NE(gnutls_x509_crt_check_hostname(crt, name), 0u) << name;
  EXPECT_EQ(gnutls_x509_crt_check_hostname(crt, "192.168.7.21"), 0u);
  EXPECT_EQ(gnutls_x509_crt_check_issuer(crt, crt), 1u);
  unsigned is_ca = 1;
  EXPECT_EQ(gnutls_x509_crt_get_basic_constraints(crt, nullptr, &is_ca, nullptr), 0);
  EXPECT_EQ(is_ca, 0u);
}

}  // namespace
}  // namespace crankwise
