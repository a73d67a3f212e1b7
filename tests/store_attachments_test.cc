// Pictures in the store file: kept whole, once, for good, and with the event that names them.
#include <gtest/gtest.h>

#include "edge/digest.h"
#include "tests/pictures.h"
#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

Attachment picture(const std::string& bytes) { return {sha256_hex(bytes), "image/png", bytes}; }

TEST(Digest, IsSha256) {
  // FIPS 180-4 examples: the empty text and "abc".
  EXPECT_EQ(sha256_hex(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(sha256_hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_F(StoreTest, KeepsAnAttachmentWithItsEvent) {
  const Attachment a = picture(kPng);
  {
    Store store = Store::open(path_, Mode::create);
    EXPECT_FALSE(store.attachment(a.sha256));
    store.append({event(1)}, kAt, {}, {a});
    store.append({event(2)}, kAt, {}, {a});  // the same picture again takes no more room
  }
  const Store store = Store::open(path_, Mode::read_only);
  const auto kept = store.attachment(a.sha256);
  ASSERT_TRUE(kept);
  EXPECT_EQ(kept->bytes, kPng);
  EXPECT_EQ(kept->media_type, "image/png");
  EXPECT_FALSE(store.attachment(sha256_hex("another")));
  expect_filled(2);
  store.backup_to(dir_ / "copy");
  EXPECT_EQ(Store::open(dir_ / "copy", Mode::read_only).attachment(a.sha256)->bytes, kPng);
}

TEST_F(StoreTest, BothOrNeither) {
  Store store = Store::open(path_, Mode::create);
  const Attachment a = picture(kPng);
  EXPECT_NE(refusal([&] { store.append({{"", "photo", "{}"}}, kAt, {}, {a}); }), "");
  EXPECT_FALSE(store.attachment(a.sha256)) << "its event was refused";
  EXPECT_THROW(store.append({event(1)}, kAt, 7, {a}), Stale);
  EXPECT_FALSE(store.attachment(a.sha256));
  for (const Attachment& bad : {Attachment{"abc", "image/png", "x"}, Attachment{sha256_hex("x"), "", "x"},
                                Attachment{sha256_hex(""), "image/png", ""}, picture(std::string(20'000'001, 'x'))}) {
    EXPECT_NE(refusal([&] { store.append({event(1)}, kAt, {}, {bad}); }), "");
    EXPECT_EQ(store.last(), 0) << "its attachment was refused";
  }
  store.append({event(1)}, kAt, {}, {picture(std::string(20'000'000, 'x'))});
  EXPECT_EQ(store.last(), 1);
}

TEST_F(StoreTest, NobodyChangesAnAttachment) {
  const Attachment a = picture(kPng);
  Store::open(path_, Mode::create).append({event(1)}, kAt, {}, {a});
  Foreign other(path_);
  EXPECT_SAYS(run(other.db, "UPDATE attachments SET bytes = x'00'"), "an attachment is never changed");
  EXPECT_SAYS(run(other.db, "DELETE FROM attachments"), "an attachment is never deleted");
  EXPECT_SAYS(run(other.db, "REPLACE INTO attachments SELECT sha256, media_type, x'00' FROM attachments"),
              "an attachment is never replaced");
  EXPECT_EQ(Store::open(path_, Mode::existing).attachment(a.sha256)->bytes, kPng);
  // Whoever takes the guard away is found out.
  run(other.db, "DROP TRIGGER attachments_are_never_changed; UPDATE attachments SET bytes = x'00'");
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing).attachment(a.sha256); }), "damaged");
}

TEST_F(StoreTest, BringsAFileOfTheFirstFormatUpToDate) {
  {
    const Foreign old(path_);
    ASSERT_EQ(run(old.db, read_file(CRANKWISE_SOURCE_DIR "/edge/schema/01-events.sql")), "");
    ASSERT_EQ(run(old.db, fmt::format("PRAGMA application_id = {}; PRAGMA user_version = 1", 0x43524b57)), "");
    for (int i = 1; i <= 3; ++i) {
      const NewEvent e = event(i);
      ASSERT_EQ(run(old.db, fmt::format("INSERT INTO events VALUES ({}, '{}', '{}', '{}', '{}')", i, kAt, e.subject,
                                        e.kind, e.data)),
                "");
    }
  }
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::read_only); }), "written by an older crankwise");
  const Attachment a = picture(kPng);
  Store::open(path_, Mode::existing).append({event(4)}, kAt, {}, {a});
  expect_filled(4);
  EXPECT_EQ(Store::open(path_, Mode::read_only).attachment(a.sha256)->bytes, kPng);
}

}  // namespace
}  // namespace crankwise
