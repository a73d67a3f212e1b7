// A shop on disk: replayed, shared, copied, spoilt, and anything in any order.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <set>

#include "tests/chance.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

// ---- On disk

TEST_F(ShopOnDisk, ReplayGivesTheSame) {
  std::string live;
  std::optional<Verdict> verdict;
  {
    Shop s = open();
    const std::string id = s.add_bike(red());
    s.set_figure(id, "compression", {11, 12, "bar", false});
    s.set_access(id, "tank", 9, 11);
    s.renewed(id, "piston", {10});
    const int job = s.take_in(id, "bogs \"up\" top\n");
    s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Took{"compression", 0.1 + 0.2, "bar", false}});
    s.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, "ride"}});
    s.write(job, {Noted{"wrong"}});
    s.undo(job);
    s.set_hours(id, 42.125);
    s.close(job, JobEnd::fixed_unproven, s.likely_causes(job), "done");
    s.take_in(id, "again");
    live = in_words(s);
    verdict.emplace(s.diagnosis(job));
  }
  const Shop again = open();
  EXPECT_EQ(in_words(again), live);
  EXPECT_EQ(Verdict(again.diagnosis(1)), *verdict);
}

TEST_F(ShopOnDisk, TwoAtOnceLoseNothing) {
  Shop a = open();
  const std::string id = a.add_bike(red());
  const int job = a.take_in(id, "bogs up top");
  Shop b = open();
  EXPECT_EQ(in_words(a), in_words(b));
  b.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  // The log is read again first, or the act is refused as a whole and the next try stands on all that is there.
  const auto write = [&](Shop& shop, const Entry& entry) {
    for (int attempt = 0; attempt < 3; ++attempt) {
      try {
        shop.write(job, {entry});
        return attempt;
      } catch (const Stale&) {
      }
    }
    return 99;
  };
  EXPECT_LE(write(a, SaidSo{"breaks-up", Answer::no}), 1);
  EXPECT_LE(write(b, Took{"compression", 140, "psi", false}), 1);
  EXPECT_LE(write(b, Noted{"two in a row"}), 0);
  EXPECT_LE(write(a, Noted{"last"}), 1);
  const Shop c = open();
  std::string kept;
  for (const Entry& e : c.job(job).plain_entries()) kept += entry_kind(e) + " ";
  EXPECT_EQ(kept, "answered answered measured noted noted ");
  EXPECT_EQ(in_words(a), in_words(c));
  std::set<int> acts;
  for (const JobEntry& e : c.job(job).entries) acts.insert(e.act);
  EXPECT_EQ(acts.size(), 5U) << "two acts with one number could not be taken back one by one";
}

TEST_F(ShopOnDisk, TwoAtOnceDoNotOpenOneJobTwice) {
  Shop a = open();
  const std::string id = a.add_bike(red());
  Shop b = open();
  const auto take_in = [&](Shop& shop, const std::string& words) {
    for (int attempt = 0; attempt < 3; ++attempt) {
      try {
        return shop.take_in(id, words);
      } catch (const Stale&) {
      }
    }
    return -1;
  };
  EXPECT_EQ(take_in(a, "one"), 1);
  EXPECT_EQ(take_in(b, "two"), 2);
  EXPECT_EQ(take_in(a, "three"), 3);
  const Shop c = open();
  ASSERT_EQ(c.jobs().size(), 3U);
  EXPECT_EQ(c.job(2).complaint, "two");
}

TEST_F(ShopOnDisk, BackupIsTheSameShop) {
  Shop s = open();
  s.write(s.take_in(s.add_bike(red()), "bogs up top"), {SaidSo{"bogs-up-top", Answer::yes}});
  s.backup_to(dir_ / "copy.db");
  const Shop copy(small_knowledge(), Store::open(dir_ / "copy.db", Store::Mode::read_only), Ticking());
  EXPECT_EQ(in_words(copy), in_words(s));
}

TEST(Shop, EventsItDoesNotKnowAreRefused) {
  const NewEvent bike{"bike/red", "added", R"({"name":"Red","traits":["two-stroke","carburettor"]})"};
  const NewEvent job{"job/1", "opened", R"({"bike":"red","complaint":"bogs"})"};
  const std::vector<std::vector<NewEvent>> logs{
      {{"moon/1", "landed", "{}"}},
      {bike, {"bike/red", "painted", "{}"}},
      {{"bike/none", "hours", R"({"hours":3})"}},
      {bike, {"bike/red", "hours", "{}"}},
      {bike, {"bike/red", "hours", "[]"}},
      {bike, {"bike/red", "hours", R"({"hours":"many"})"}},
      {{"bike/red", "added", "{}"}},
      {{"job/1", "opened", R"({"bike":"none","complaint":"bogs"})"}},
      {{"job/x", "opened", R"({"bike":"none","complaint":"bogs"})"}},
      {bike, job, {"job/1", "danced", R"({"act":1})"}},
      {bike, job, {"job/1", "answered", R"({"finding":"bogs-up-top","answer":"yes"})"}},
      {bike, job, {"job/1", "answered", R"({"act":1,"finding":"bogs-up-top","answer":"maybe"})"}},
      {bike, job, {"job/1", "undone", "{}"}},
      {bike, {"job/2", "undone", R"({"act":1})"}},
      {bike, {"job/2", "noted", R"({"act":1,"text":"no such job"})"}},
      {bike, job, job},
      {bike, job, {"job/1", "closed", R"({"act":1,"end":"eaten","causes":[],"words":""})"}},
  };
  for (const auto& log : logs) {
    Store store = Store::in_memory();
    store.append(log, "2026-03-01T08:00:00.000Z");
    std::string says;
    EXPECT_NO_THROW(says = refusal([&] { Shop(small_knowledge(), std::move(store), Ticking()); }));
    const std::string& last = log.back().kind + " " + log.back().data;
    EXPECT_NE(
        says.find(fmt::format("event {}: {} of {} cannot be read: ", log.size(), log.back().kind, log.back().subject)),
        std::string::npos)
        << last << "\nsaid: " << says;
    EXPECT_NE(says.find("right would be: "), std::string::npos) << last;
  }
}

TEST(Shop, WhatTheKnowledgeForgotIsSaidNotThrown) {
  // A log outlives a correction of the knowledge: an id that is gone must not lock the shop.
  Store store = Store::in_memory();
  store.append({{"bike/red", "added", R"({"name":"Red","traits":["two-stroke","carburettor"]})"},
                {"job/1", "opened", R"({"bike":"red","complaint":"bogs"})"},
                {"job/1", "answered", R"({"act":1,"finding":"old-finding","answer":"yes"})"},
                {"job/1", "did", R"({"act":2,"step":"old-step"})"},
                {"job/1", "measured", R"({"act":3,"reading":"old-reading","value":3,"unit":"psi"})"},
                {"job/1", "put-back", R"({"act":4,"step":"old-step"})"},
                {"job/1", "skipped", R"({"act":5,"step":"old-step"})"},
                {"job/1", "context", R"({"act":6,"context":"old-context","so":true})"},
                {"job/1", "parts-off", R"({"act":7,"off":["old-part"]})"},
                {"job/1", "answered", R"({"act":8,"finding":"bogs-up-top","answer":"yes"})"}},
               "2026-03-01T08:00:00.000Z");
  const Shop s(small_knowledge(), std::move(store), Ticking());
  const Diagnosis d = s.diagnosis(1);
  EXPECT_EQ(d.left_out.size(), 5U);
  EXPECT_GT(chance_of(s, 1, "main-jet-blocked"), 0.2);
}

// ---- Anything, in any order

/// The jobs as they should be, kept the simple way: a stack of acts.
struct Plain {
  std::vector<std::vector<Entry>> acts;
  bool closed = false;

  std::string in_words() const {
    std::string out;
    for (const auto& act : acts) {
      for (const Entry& e : act) out += entry_kind(e) + entry_data(e).dump() + "\n";
    }
    return out;
  }
};

class RandomShop : public ShopOnDisk, public testing::WithParamInterface<unsigned> {};

TEST_P(RandomShop, ReplayGivesTheSame) {
  Chance chance(GetParam());
  Shop s = open();
  std::vector<std::string> bikes{s.add_bike(red()), s.add_bike(blue())};
  std::map<int, Plain> plain;
  const auto any_bike = [&] { return bikes[static_cast<size_t>(chance.below(static_cast<int>(bikes.size())))]; };
  int taken_back = 0;
  for (int i = 0; i < 120; ++i) {
    const int job = plain.empty() ? 0 : 1 + chance.below(static_cast<int>(plain.size()));
    const int what = chance.below(20);
    if (what == 0 && bikes.size() < 5) {
      bikes.push_back(s.add_bike(chance.below(2) == 0 ? red() : blue()));
    } else if (what == 1) {
      change_hours(s, any_bike(), chance);
    } else if (what == 2) {
      s.set_figure(any_bike(), "compression",
                   {chance.number(1, 90), chance.number(90, 200), "psi", chance.below(2) == 0});
    } else if (what == 3) {
      s.set_access(any_bike(), "tank", chance.number(0, 20), chance.number(0, 20));
    } else if (what == 4) {
      const std::string id = any_bike();
      RenewedWhen when{.again = true};
      if (s.bike(id).hours_known && chance.below(2) == 0) when.hours = chance.number(0, s.bike(id).hours);
      if (chance.below(3) == 0) when.day = "2026-02-20";
      s.renewed(id, chance.below(2) == 0 ? "plug" : "fuel", when);
    } else if (what == 11) {
      const std::string id = any_bike();
      if (refusal([&] { s.undo_on_bike(id); }).empty()) ++taken_back;
    } else if (what == 5) {
      ShopSettings settings;
      settings.money_per_hour = chance.number(20, 90);
      if (chance.below(2) == 0) settings.lacks.insert("gauge");
      s.set(settings);
    } else if (plain.empty() || (what == 6 && plain.size() < 6)) {
      plain[s.take_in(any_bike(), fmt::format("complaint {}", i))] = {};
    } else if (what <= 9) {
      Plain& p = plain.at(job);
      if (!p.closed && p.acts.empty()) continue;
      s.undo(job);
      if (p.closed)
        p.closed = false;
      else
        p.acts.pop_back();
    } else if (what == 10 && !plain.at(job).closed) {
      const bool proven = s.diagnosis(job).advice.proven;
      s.close(job,
              proven                 ? JobEnd::proven
              : chance.below(2) == 0 ? JobEnd::given_up
                                     : JobEnd::fixed_unproven,
              s.likely_causes(job), "words");
      plain.at(job).closed = true;
    } else if (!plain.at(job).closed) {
      std::vector<Entry> act;
      for (int n = 1 + chance.below(3); n > 0; --n) act.push_back(chance.entry(s.bike(s.job(job).bike)));
      s.write(job, act);
      plain.at(job).acts.push_back(std::move(act));
    }
  }
  EXPECT_GT(taken_back, 0);
  const Shop again = open();
  EXPECT_EQ(in_words(again), in_words(s));
  for (const auto& id : bikes) {
    for (const auto& [part, r] : s.renewals(id)) EXPECT_LE(r.hours, s.bike(id).hours) << part << " of " << id;
  }
  for (const auto& [number, p] : plain) {
    std::string kept;
    for (const Entry& e : s.job(number).plain_entries()) kept += entry_kind(e) + entry_data(e).dump() + "\n";
    EXPECT_EQ(kept, p.in_words()) << "job " << number;
    EXPECT_EQ(s.job(number).end != JobEnd::open, p.closed);
    EXPECT_EQ(Verdict(again.diagnosis(number)), Verdict(s.diagnosis(number)));
    // The same acts on a shop where none was ever taken back.
    std::vector<Entry> entries;
    for (const auto& act : p.acts) entries.insert(entries.end(), act.begin(), act.end());
    const Bike bike = s.bike_with_renewals(s.job(number).bike, number);
    EXPECT_EQ(Verdict(diagnose(small_knowledge(), bike, entries, s.settings())), Verdict(s.diagnosis(number)));
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomShop, testing::Range(1U, 13U));

}  // namespace
}  // namespace crankwise
