#include "edge/store.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

TEST_F(StoreTest, GivesBackWhatWasAppended) {
  const std::vector<NewEvent> in = {{"bike-1", "bike", R"({"cycle":"two-stroke"})"},
                                    {"job-1", "words", R"({"text":"läuft nicht hoch, 4° früh; \"bogs\"\n☂"})"},
                                    {"job-1", "empty", "{}"},
                                    {"job-1", "long", "\"" + std::string(100000, 'x') + "\""}};
  Store store = Store::open(path_, Mode::create);
  const std::vector<Event> out = store.append(in, kAt);
  ASSERT_EQ(out.size(), in.size());
  for (int round = 0; round < 2; ++round) {
    const std::vector<Event> read = round == 0 ? store.since(0) : Store::open(path_, Mode::existing).since(0);
    ASSERT_EQ(read.size(), in.size());
    for (size_t i = 0; i < in.size(); ++i) {
      EXPECT_EQ(read[i].subject, in[i].subject);
      EXPECT_EQ(read[i].kind, in[i].kind);
      EXPECT_EQ(read[i].data, in[i].data);
      EXPECT_EQ(read[i].at, kAt);
      EXPECT_EQ(read[i].seq, static_cast<std::int64_t>(i + 1));
      EXPECT_EQ(out[i].seq, read[i].seq);
      EXPECT_EQ(out[i].data, read[i].data);
      EXPECT_EQ(out[i].at, kAt);
    }
  }
}

TEST_F(StoreTest, NumbersInOrderAndReadsFromAnywhere) {
  Store store = Store::in_memory();
  EXPECT_EQ(store.last(), 0);
  EXPECT_TRUE(store.since(0).empty());
  for (int i = 1; i <= 20; ++i) EXPECT_EQ(store.append({event(i)}, kAt).at(0).seq, i);
  EXPECT_TRUE(store.append({}, kAt).empty());
  EXPECT_EQ(store.last(), 20);
  for (int from = -1; from <= 21; ++from) {
    const std::vector<Event> events = store.since(from);
    ASSERT_EQ(events.size(), static_cast<size_t>(20 - std::clamp(from, 0, 20)));
    for (size_t i = 0; i < events.size(); ++i) EXPECT_EQ(events[i].seq, std::max(from, 0) + static_cast<int>(i) + 1);
  }
}

TEST_F(StoreTest, LeavesOutWhatIsNotWantedAndHasItWhenAsked) {
  const std::string much = R"({"act":1,"list":{"a":0.5,"b":"}"},"more":2})", other = R"({"list":[1]})";
  Store store = Store::in_memory();
  store.append({{"job-1", "much", much}, {"job-1", "other", other}, {"job-1", "much", "{}"}, {"job-1", "much", "7"}},
               kAt);
  const auto read = [&](std::int64_t seq, const Unwanted& unwanted) {
    std::vector<std::string> data;
    store.each_since(seq, unwanted, [&](const Event& e) { data.push_back(e.data); });
    return data;
  };
  EXPECT_EQ(read(0, {"much", "list"}), (std::vector<std::string>{R"({"act":1,"more":2})", other, "{}", "7"}));
  EXPECT_EQ(read(1, {}), (std::vector<std::string>{other, "{}", "7"}));
  EXPECT_EQ(store.data_of({2, 1, 2}), (std::vector<std::string>{other, much, other}));
  EXPECT_THROW(store.data_of({1, 5}), BadInput);
}

TEST_F(StoreTest, ReopensAndMakesFolders) {
  path_ = dir_ / "a b" / "ü#?%41" / "bikes.crankwise";
  fill(5);
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) EXPECT_EQ(Store::open(path_, mode).last(), 5);
  EXPECT_EQ(Store::open(path_, Mode::existing).append({event(6)}, kAt).at(0).seq, 6);
  expect_filled(6);
}

TEST_F(StoreTest, NamesThatSqliteTreatsSpeciallyAreFiles) {
  const fs::path before = fs::current_path();
  fs::current_path(dir_);
  for (const char* name : {":memory:", "file:x?mode=memory"}) {
    Store::open(name, Mode::create).append({event(1)}, kAt);
    EXPECT_EQ(Store::open(name, Mode::existing).last(), 1);
    EXPECT_TRUE(fs::exists(dir_ / name));
  }
  fs::current_path(before);
}

TEST_F(StoreTest, AppendsAllOrNothing) {
  fill(2);
  Store store = Store::open(path_, Mode::existing);
  const std::string deep = std::string(3000, '[') + std::string(3000, ']');  // beyond what SQLite reads
  const struct {
    NewEvent event;
    std::string at, says;
  } cases[] = {
      {{"job-1", "finding", "{\"i\":"}, kAt, "the data is JSON"},
      {{"job-1", "finding", ""}, kAt, "the data is JSON"},
      {{"job-1", "finding", "{} {}"}, kAt, "the data is JSON"},
      {{"job-1", "finding", "\"\xff\""}, kAt, "the data is JSON"},
      {{"job-1", "finding", std::string("{}\0", 3)}, kAt, "the data is JSON"},
      {{"job-1", "finding", R"("\ud800")"}, kAt, "the data is JSON"},
      {{"job-1", "finding", deep}, kAt, "the data is JSON"},
      {{"", "finding", "{}"}, kAt, "the subject is not empty"},
      {{"job\xc0", "finding", "{}"}, kAt, "the subject is UTF-8 text"},
      {{std::string("a\0b", 3), "finding", "{}"}, kAt, "the subject is UTF-8 text"},
      {{"job-1", "", "{}"}, kAt, "the kind is not empty"},
      {{"job-1", "\x80", "{}"}, kAt, "the kind is UTF-8 text"},
  };
  for (const auto& c : cases) {
    const std::string said = refusal([&] { store.append({event(3), c.event}, c.at); });
    EXPECT_SAYS(said, c.says);
    EXPECT_SAYS(said, "event 2 of 2");
    EXPECT_SAYS(said, "nothing of this entry was kept");
    EXPECT_EQ(store.last(), 2);
  }
  for (const char* at :
       {"", "now", "2026-05-04T17:30:00Z", "2026-05-04 17:30:00.000Z", "2026-05-04T17:30:00.000+02:00"}) {
    EXPECT_SAYS(refusal([&] { store.append({event(3)}, at); }), "the time is UTC like");
  }
  EXPECT_SAYS(refusal([&] { store.append({event(3)}, {}); }), "the time is UTC like");
  const std::string both = refusal([&] { store.append({{"a", "b", "{"}, event(3), {"a", "b", "}"}}, kAt); });
  EXPECT_SAYS(both, "event 1 of 3");
  EXPECT_SAYS(both, "event 3 of 3");
  EXPECT_EQ(store.append({event(3)}, kAt).at(0).seq, 3);
  expect_filled(3);
}

TEST_F(StoreTest, NobodyChangesWhatIsWritten) {
  fill(3);
  {
    Foreign other(path_);
    const std::string row = "'2026-05-04T17:30:00.000Z','s','k'";
    EXPECT_SAYS(run(other.db, "UPDATE events SET data = '{}' WHERE seq = 2"), "never changed");
    EXPECT_SAYS(run(other.db, "UPDATE OR REPLACE events SET seq = 1 WHERE seq = 2"), "never changed");
    EXPECT_SAYS(run(other.db, "DELETE FROM events WHERE seq = 3"), "never deleted");
    EXPECT_SAYS(run(other.db, "DELETE FROM events"), "never deleted");
    EXPECT_SAYS(run(other.db, "INSERT OR REPLACE INTO events VALUES (3," + row + ",'{}')"), "never replaced");
    EXPECT_SAYS(run(other.db, "REPLACE INTO events VALUES (1," + row + ",'{}')"), "never replaced");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (3," + row + ",'{}') ON CONFLICT DO UPDATE SET data = '1'"),
                "never");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (9," + row + ",'{}')"), "without holes");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (0," + row + ",'{}')"), "the number is 1 or more");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",'{')"), "the data is JSON");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",NULL)"), "NOT NULL");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4,'x','s','k','{}')"), "the time is UTC");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",x'7b7d')"), "cannot store BLOB");
  }
  expect_filled(3);
}

}  // namespace
}  // namespace crankwise
