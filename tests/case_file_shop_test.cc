// A case is judged like the same job in a shop.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <random>

#include "tests/case_file_case.h"
#include "tests/real_knowledge.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

void expect_same(const Diagnosis& a, const Diagnosis& b) {
  EXPECT_EQ(a.belief.still_there(), b.belief.still_there());
  EXPECT_EQ(a.belief.there_at_start(), b.belief.there_at_start());
  EXPECT_EQ(a.belief.left_out(), b.belief.left_out());
  EXPECT_EQ(a.advice.doubt, b.advice.doubt);
  EXPECT_EQ(a.advice.proven, b.advice.proven);
  EXPECT_EQ(a.state.off, b.state.off);
  ASSERT_EQ(a.advice.options.size(), b.advice.options.size());
  for (size_t i = 0; i < a.advice.options.size(); ++i) {
    EXPECT_EQ(a.advice.options[i].step, b.advice.options[i].step);
    EXPECT_EQ(a.advice.options[i].value, b.advice.options[i].value);
  }
}

/// The case entered into a new shop in a few acts.
Diagnosis in_a_shop(const Knowledge& k, const Case& c) {
  Shop shop(k, Store::in_memory(), Ticking());
  shop.set(c.shop);
  const int job = shop.take_in(shop.add_bike(c.bike), c.complaint.empty() ? "it does not run right" : c.complaint);
  for (size_t from = 0; from < c.entries.size(); from += 3) {
    const auto at = c.entries.begin() + static_cast<std::ptrdiff_t>(from);
    shop.write(job, {at, at + std::min<std::ptrdiff_t>(3, c.entries.end() - at)});
  }
  return shop.diagnosis(job);
}

TEST(CaseFile, IsJudgedLikeTheSameJobInAShop) {
  for (const std::string& text :
       {std::string(kEverything), two_stroke(""),
        two_stroke(R"("findings": {"bogs-up-top": "yes"}, "steps": [{"step": "swap-plug", "run": "gone"}])")}) {
    const Case c = parse(text);
    expect_same(judge(small_knowledge(), c), in_a_shop(small_knowledge(), c));
  }
}

/// A random case on a class of the real knowledge: all kinds of entries that apply to the bike.
Json random_case(const BikeClass& c, std::mt19937& random) {
  const Knowledge& k = real_knowledge();
  const Traits traits(c.traits);
  const auto chance = [&](double p) { return std::bernoulli_distribution(p)(random); };
  const auto some = [&](const auto& shelf, size_t count) {
    std::vector<std::string> ids;
    for (const auto& x : shelf) {
      if (x.applies.holds(traits)) ids.push_back(x.id);
    }
    std::shuffle(ids.begin(), ids.end(), random);
    ids.resize(std::min(ids.size(), count));
    return ids;
  };
  const char* const answers[] = {"yes", "no", "no", "unsure"};
  Json j{{"crankwise_case", 1}, {"bike", {{"class", c.id}, {"hours", 40 + static_cast<int>(random() % 100)}}}};
  for (const Context& x : k.contexts) {
    if (chance(0.15)) j["context"][x.id] = chance(0.7);
  }
  for (const auto& id : some(k.findings, 6)) j["findings"][id] = answers[random() % 4];
  for (const auto& id : some(k.readings, 2)) {
    const Reading& r = *k.readings.find(id);
    const double middle =
        r.ranges.empty() ? std::sqrt(std::max(r.least, 1.0) * r.most) : (r.ranges[0].low + r.ranges[0].high) / 2;
    j["readings"][id] =
        !r.open.empty() && chance(0.2)
            ? "open"
            : fmt::format("{:.3f} {}", middle * std::uniform_real_distribution(0.4, 1.6)(random), r.unit);
  }
  j["steps"] = Json::array();
  for (const auto& id : some(k.steps, 5)) {
    const Step& s = *k.steps.find(id);
    if (s.kind == StepKind::run || s.last_resort) continue;
    Json step{{"step", id}};
    for (const auto& f : s.answers) {
      if (k.findings.find(f)->applies.holds(traits) && chance(0.8)) step["findings"][f] = answers[random() % 4];
    }
    if (!s.cures.empty() && chance(0.8)) step["run"] = chance(0.7) ? "same" : chance(0.5) ? "better" : "gone";
    if (s.kind == StepKind::swap && chance(0.5)) step["put_back"] = true;
    j["steps"].push_back(std::move(step));
    if (chance(0.2)) j["steps"].push_back({{"skip", some(k.steps, 1).at(0)}, {"why", "no tool"}});
    if (chance(0.2)) j["steps"].push_back({{"off", some(k.parts, 3)}});
  }
  return j;
}

TEST(CaseFile, EveryKindOfBikeIsJudgedLikeTheSameJobInAShop) {
  std::mt19937 random(7);
  for (const BikeClass& c : real_knowledge().classes) {
    const std::string text = random_case(c, random).dump(1);
    SCOPED_TRACE(text);
    const Case read = parse_case(real_knowledge(), text, "case.json");
    const Diagnosis d = judge(real_knowledge(), read);
    EXPECT_TRUE(d.left_out.empty());
    double most = 0;
    for (double p : d.belief.still_there()) {
      EXPECT_TRUE(p >= 0 && p <= 1) << p;
      most = std::max(most, p);
    }
    EXPECT_GT(most, 0);
    expect_same(d, in_a_shop(real_knowledge(), read));
  }
}

}  // namespace
}  // namespace crankwise
