// Published networks: first the enumerating judge, then the engine, against the printed numbers.
//
// Recursive noisy-OR (Lemmer and Gossink 2004) has no test here: the product does not compute it.
#include <gtest/gtest.h>

#include <cmath>

#include "core/belief/belief.h"
#include "tests/published_nets.h"

namespace crankwise {
namespace {

using nets::Asia;
using nets::Burglary;
using oracle::Network;

constexpr double kPrinted = 1e-6;  // the numbers are printed with six to eight digits

TEST(PublishedNets, AsiaEnumerated) {
  const Asia asia;
  for (const nets::AsiaRow& row : nets::asia_rows()) {
    const auto ev = nets::evidence_of(asia, row);
    EXPECT_NEAR(asia.net.probability(ev), row.evidence, kPrinted);
    for (const auto& [variable, value] : nets::posteriors_of(asia, row)) {
      EXPECT_NEAR(asia.net.posterior(variable, 1, ev), value, kPrinted) << "variable " << variable;
    }
  }
}

/// A function of (not e, not b), each 0 or 1, as an observation over three faults t, l, b:
/// f = all + no_e * x + no_b * y + neither * x * y = offset + (c + x)(d + neither * y), x = [not e], y = [not b].
Observation two_by_two(double both, double e_only, double b_only, double neither, const std::vector<float>& no_e,
                       const std::vector<float>& no_b) {
  const double x = b_only - both, y = e_only - both, xy = neither - both - x - y;
  return {both - x * y / xy, 1, {{y / xy, 1, no_e}, {x, xy, no_b}}};
}

/// Given A and S the faults T, L and B are independent: the engine answers for each (A, S), and they are mixed.
struct Mixed {
  double weight = 0, t = 0, l = 0, b = 0, smoker = 0, e = 0, xray = 0, dyspnoea = 0;
};

Mixed mix_asia(const nets::AsiaRow& row) {
  const Observation breathless = two_by_two(0.9, 0.7, 0.8, 0.1, {0, 0, 1}, {1, 1, 0});
  const auto odds = [](double p) { return p / (1 - p); };
  Mixed sum;
  for (int a = 0; a < 2; ++a) {
    for (int s = 0; s < 2; ++s) {
      if ((row.a >= 0 && row.a != a) || (row.s >= 0 && row.s != s)) continue;
      Model m;
      m.faults = {{odds(a ? 0.05 : 0.01), 1}, {odds(s ? 0.10 : 0.01), 1}, {odds(s ? 0.60 : 0.30), 1}};
      m.findings = {{0, {{0, 1}, {1, 1}}, {0.98, 0.05, 0, 0}, -1}};
      m.nothing_wrong = 1;
      std::vector<Happening> history;
      if (row.x == 1) history.emplace_back(Answered{0, Answer::yes});
      Belief belief = believe(m, history);
      if (row.d == 1) belief.table.observe(breathless);
      const double w = (a ? 0.01 : 0.99) * 0.5 * std::exp(belief.log_evidence());
      const auto there = belief.still_there();
      const double e = belief.chance_so(m.findings[0]);
      SetTable next = belief.table;
      sum.weight += w, sum.t += w * there[0], sum.l += w * there[1], sum.b += w * there[2], sum.smoker += w * s;
      sum.e += w * e, sum.xray += w * (0.98 * e + 0.05 * (1 - e)), sum.dyspnoea += w * next.observe(breathless);
    }
  }
  return sum;
}

TEST(PublishedNets, AsiaThroughTheEngine) {
  for (const nets::AsiaRow& row : nets::asia_rows()) {
    const Mixed m = mix_asia(row);
    EXPECT_NEAR(m.weight, row.evidence, kPrinted);
    for (auto [have, want] : {std::pair(m.t, row.t),
                              {m.l, row.l},
                              {m.b, row.b},
                              {m.smoker, row.smoker},
                              {m.e, row.e},
                              {m.xray, row.xray},
                              {m.dyspnoea, row.dyspnoea}}) {
      if (want < 0) continue;
      EXPECT_NEAR(have / m.weight, want, kPrinted) << "evidence " << row.evidence;
    }
  }
}

TEST(PublishedNets, BurglaryEnumerated) {
  const Burglary n;
  EXPECT_NEAR(n.net.probability({{n.j, 1}, {n.m, 1}, {n.a, 1}, {n.b, 0}, {n.e, 0}}), 0.000628111, 1e-9);
  EXPECT_NEAR(n.net.posterior(n.b, 1, {{n.j, 1}, {n.m, 1}}), 0.284171835, 1e-9);
  EXPECT_NEAR(n.net.posterior(n.a, 1, {{n.j, 1}, {n.m, 1}}), 0.760692, kPrinted);
  EXPECT_NEAR(n.net.posterior(n.b, 1, {{n.a, 1}}), 0.373551, kPrinted);
  EXPECT_NEAR(n.net.posterior(n.b, 1, {{n.a, 1}, {n.e, 1}}), 0.003268, kPrinted);
}

TEST(PublishedNets, BurglaryThroughTheEngine) {
  // Faults: burglar, earthquake. The alarm and both calls are functions of the two.
  const std::vector<double> odds{0.001 / 0.999, 0.002 / 0.998};
  const std::vector<float> no_burglar{0, 1}, no_quake{1, 0};
  const auto seen = [&](double if_alarm, double if_none) {
    const auto p = [&](double alarm) { return alarm * if_alarm + (1 - alarm) * if_none; };
    SetTable table(odds, {});
    table.observe(two_by_two(p(0.95), p(0.94), p(0.29), p(0.001), no_burglar, no_quake));
    return table;
  };
  const double call = 0.90 * 0.70, false_call = 0.05 * 0.01;
  const SetTable calls = seen(call, false_call), alarm = seen(1, 0), alarm_and_calls = seen(call, 0);
  EXPECT_NEAR(alarm_and_calls.empty() * std::exp(alarm_and_calls.log_evidence()), 0.000628111, 1e-9);
  EXPECT_NEAR(calls.marginals()[0], 0.284171835, 1e-8);
  EXPECT_NEAR(std::exp(alarm_and_calls.log_evidence() - calls.log_evidence()), 0.760692, kPrinted);
  EXPECT_NEAR(alarm.marginals()[0], 0.373551, kPrinted);
  SetTable with_quake = alarm;
  with_quake.observe({1, -1, no_quake});
  EXPECT_NEAR(with_quake.marginals()[0], 0.003268, kPrinted);
}

TEST(PublishedNets, WetGrassEnumerated) {
  const nets::WetGrass n;
  EXPECT_NEAR(n.net.probability({{n.w, 1}}), 0.6471, kPrinted);
  EXPECT_NEAR(n.net.posterior(n.s, 1, {{n.w, 1}}), 0.429764, kPrinted);
  EXPECT_NEAR(n.net.posterior(n.r, 1, {{n.w, 1}}), 0.707928, kPrinted);
  EXPECT_NEAR(n.net.posterior(n.s, 1, {{n.w, 1}, {n.r, 1}}), 0.194499, kPrinted);
}

TEST(PublishedNets, EightNodesEnumerated) {
  const nets::EightNodes n;
  const std::vector<double> prior{0.5, 0.45, 0.45, 0.68, 0.465, 0.176306, 0.415, 0.8231};
  const std::vector<double> given_f{0.536964, 0.161430, 0.566368, 0.038569, 0.026375, 1, 0.496457, 0.942802};
  for (int v = 0; v < 8; ++v) {
    EXPECT_NEAR(n.net.probability({{v, 1}}), prior[static_cast<size_t>(v)], kPrinted) << v;
    EXPECT_NEAR(n.net.posterior(v, 1, {{n.f, 1}}), given_f[static_cast<size_t>(v)], kPrinted) << v;
  }
}

TEST(PublishedNets, ManyStatesEnumerated) {
  // The judge takes variables of any number of states: two dice of four sides and their sum's remainder by three.
  Network net;
  const std::vector<double> fair(4, 0.25);
  const int one = net.add({4, {}, fair}), two = net.add({4, {}, fair});
  Network::Node remainder{3, {one, two}, {}};
  for (int a = 0; a < 4; ++a) {
    for (int b = 0; b < 4; ++b) {
      for (int r = 0; r < 3; ++r) remainder.table.push_back((a + b) % 3 == r ? 1 : 0);
    }
  }
  const int three = net.add(remainder);
  EXPECT_NEAR(net.probability({{three, 0}}), 6.0 / 16, 1e-12);  // 00 03 30 12 21 33
  EXPECT_NEAR(net.posterior(one, 3, {{three, 0}}), 2.0 / 6, 1e-12);
}

/// P(finding | exactly the faults of `set`) as the engine has it.
double chance_given(const Model& m, unsigned set) {
  Belief b = believe(m, {});
  for (size_t f = 0; f < m.faults.size(); ++f) {
    std::vector<float> without(m.faults.size(), 1.0f);
    without[f] = 0;
    const bool there = set >> f & 1u;
    b.table.observe(there ? Likelihood{1, -1, without} : Likelihood{0, 1, without});
  }
  return b.chance_so(m.findings[0]);
}

TEST(NoisyOr, FeverOfTheLiterature) {
  // Inhibitions cold .6, flu .2, malaria .1 (textbook example, seen).
  Model m;
  m.faults = {{0.1, 1}, {0.1, 1}, {0.1, 1}};
  m.findings = {{0, {{0, 0.4}, {1, 0.8}, {2, 0.9}}, {}, -1}};
  m.nothing_wrong = 1;
  const std::vector<double> by_set{0, 0.4, 0.8, 0.88, 0.9, 0.94, 0.98, 0.988};
  for (unsigned set = 0; set < 8; ++set) EXPECT_NEAR(chance_given(m, set), by_set[set], 1e-6) << set;
}

TEST(NoisyOr, LeakReading) {
  // A link does not count the background (Díez): link .7, leak .1 is seen .73. A finding seen .7 in life, background
  // included (Henrion), has the link 1 - (1 - .7) / (1 - .1) = 2/3. From memory, re-derived.
  Model m;
  m.faults = {{0.1, 1}};
  m.findings = {{0.1, {{0, 0.7}}, {}, -1}};
  m.nothing_wrong = 1;
  EXPECT_NEAR(chance_given(m, 1), 0.73, 1e-6);
  EXPECT_NEAR(chance_given(m, 0), 0.1, 1e-6);
  m.findings[0].links[0].strength = 2.0 / 3;
  EXPECT_NEAR(chance_given(m, 1), 0.7, 1e-6);
}

TEST(NoisyOr, ThreeFaults) {
  const Model m = nets::three_faults();
  const Network net = nets::as_network(m);
  for (const nets::NoisyOrRow& row : nets::three_fault_rows()) {
    std::vector<Happening> history;
    Network::Evidence ev;
    for (int f : row.present) history.emplace_back(Answered{f, Answer::yes}), ev.emplace_back(3 + f, 1);
    for (int f : row.absent) history.emplace_back(Answered{f, Answer::no}), ev.emplace_back(3 + f, 0);
    const Belief b = believe(m, history);
    const auto quick = oracle::quickscore(m, row.present, row.absent);
    EXPECT_NEAR(std::exp(b.log_evidence()), row.evidence, 1e-8);
    EXPECT_NEAR(quick.evidence, row.evidence, 1e-10);
    EXPECT_NEAR(net.probability(ev), row.evidence, 1e-10);
    for (size_t i = 0; i < 3; ++i) {
      EXPECT_NEAR(b.still_there()[i], row.posterior[i], kPrinted);
      EXPECT_NEAR(quick.marginals[i], row.posterior[i], 1e-8);
      EXPECT_NEAR(net.posterior(static_cast<int>(i), 1, ev), row.posterior[i], 1e-8);
    }
  }
}

}  // namespace
}  // namespace crankwise
