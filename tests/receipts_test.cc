// Orders that come twice, because no answer reached their sender, are carried out once.
#include <gtest/gtest.h>

#include "app/refuse.h"
#include "tests/shop_case.h"
#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

const std::string kKey(32, 'a'), kOther = "0123456789abcdef0123456789abcdef";

TEST_F(StoreTest, KeepsAReceiptWithItsEvents) {
  {
    Store store = Store::open(path_, Mode::create);
    EXPECT_FALSE(store.receipt(kKey));
    store.append({event(1), event(2)}, kAt, {}, {}, kKey);
    store.append({event(3)}, kAt);
  }
  Store store = Store::open(path_, Mode::existing);
  ASSERT_TRUE(store.receipt(kKey));
  EXPECT_EQ(store.receipt(kKey)->seq, 2);
  EXPECT_EQ(store.receipt(kKey)->subject, event(2).subject);
  EXPECT_NE(refusal([&] { store.append({event(4)}, kAt, {}, {}, kKey); }).find("never replaced"), std::string::npos);
  EXPECT_NE(refusal([&] { store.append({event(4)}, kAt, {}, {}, "4"); }).find("32 lower-case hex digits"),
            std::string::npos);
  expect_filled(3);
}

TEST(Receipts, WriteOnce) {
  Shop s = new_shop();
  const auto red_bike = [&] { s.add_bike(red()); };
  EXPECT_EQ(s.once(kKey, red_bike).subject, "bike/red-85");
  const Receipt again = s.once(kKey, red_bike);
  EXPECT_TRUE(again.again);
  EXPECT_EQ(again.subject, "bike/red-85");
  EXPECT_EQ(s.bikes().size(), 1u);

  EXPECT_EQ(s.once(kOther, [&] { s.take_in("red-85", "bogs"); }).subject, "job/1");
  for (const char* key : {"00000000000000000000000000000001", "00000000000000000000000000000001"})
    s.once(key, [&] { s.write(1, {Noted{"once"}}); });
  EXPECT_EQ(s.job(1).entries.size(), 1u);
  for (const char* key : {"00000000000000000000000000000002", "00000000000000000000000000000002"})
    s.once(key, [&] { s.undo(1); });
  EXPECT_EQ(s.job(1).entries.size(), 0u);
  s.write(1, {Noted{"without a key"}});
  EXPECT_EQ(s.job(1).entries.size(), 1u);
}

TEST(Receipts, AreNotUsedUpByWhatIsRefused) {
  Shop s = new_shop();
  s.add_bike(red());
  EXPECT_NE(refusal([&] { s.once(kKey, [&] { s.take_in("red-85", "  "); }); }), "");
  EXPECT_FALSE(s.once(kKey, [&] { s.take_in("red-85", "bogs"); }).again);
  EXPECT_NE(refusal([&] { s.once("no key", [&] { s.take_in("red-85", "bogs"); }); }).find("32 lower-case"),
            std::string::npos);
  EXPECT_EQ(s.jobs().size(), 1u);
}

TEST_F(StoreTest, AnOrderThatAnotherProgramCarriedOut) {
  Shop one(small_knowledge(), Store::open(path_, Mode::create), Ticking());
  Shop two(small_knowledge(), Store::open(path_, Mode::create), Ticking());
  one.once(kKey, [&] { one.add_bike(red()); });
  EXPECT_TRUE(two.once(kKey, [&] { two.add_bike(red()); }).again);
  EXPECT_EQ(two.bikes().size(), 1u);
}

TEST(Shop, TakesBackOnlyWhatWasMeant) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs");
  s.write(job, {Noted{"one"}});
  const LastAct seen = s.last_act(job);
  s.write(job, {Noted{"two"}});  // from another phone
  EXPECT_THROW(s.undo(job, seen.act), Overtaken);
  EXPECT_EQ(s.job(job).entries.size(), 2u);
  s.undo(job, s.last_act(job).act);
  EXPECT_EQ(s.last_act(job).act, seen.act);
  s.undo(job, seen.act);
  EXPECT_EQ(s.last_act(job).act, 0);
}

TEST(Shop, KnowsWhenAJobMoved) {
  Shop s = new_shop();
  const std::string bike = s.add_bike(red()), other = s.add_bike(blue());
  const int job = s.take_in(bike, "bogs"), elsewhere = s.take_in(other, "bogs");
  const auto before = s.last_for(job);
  s.write(elsewhere, {Noted{"elsewhere"}});
  s.set_hours(other, 3);
  EXPECT_EQ(s.last_for(job), before);
  s.write(job, {Noted{"here"}});
  EXPECT_GT(s.last_for(job), before);
  EXPECT_EQ(s.last_for(job), s.last());
  s.set_hours(bike, 50);
  EXPECT_EQ(s.last_for(job), s.last());
  s.close(elsewhere, JobEnd::given_up, {}, "");
  EXPECT_LT(s.last_for(job), s.last());
  s.undo(elsewhere);  // what it may have taught is gone
  EXPECT_EQ(s.last_for(job), s.last());
}

}  // namespace
}  // namespace crankwise
