// The knowledge as it stands: whole, and enough for every kind of bike.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>

#include "app/diagnosis.h"
#include "core/reading/judge.h"
#include "edge/bike_model.h"
#include "edge/knowledge.h"
#include "edge/problem.h"
#include "tests/real_knowledge.h"

namespace crankwise {
namespace {

const Knowledge& knowledge() { return real_knowledge(); }

Bike bike_of(const BikeClass& c) {
  Bike b;
  b.traits = c.traits;
  b.displacement_cc = c.displacement_cc;
  return b;
}

TEST(Knowledge, Loads) {
  try {
    EXPECT_GT(knowledge().faults.size(), 150u);
  } catch (const BadInput& e) {
    FAIL() << e.what();
  }
  EXPECT_GE(knowledge().classes.size(), 10u);
  EXPECT_GT(knowledge().steps.size(), 300u);
}

/// What an engine can have wrong, system by system: each of these must be there and apply to some kind of bike.
const std::map<std::string, std::vector<std::string>> kSystems{
    {"fuel supply",
     {"tank-empty", "fuel-stale", "water-in-fuel", "mix-too-much-oil", "mix-too-little-oil", "oil-pump-under",
      "tap-shut", "tap-blocked", "tank-rust-or-tar", "fuel-hose-kinked", "inline-filter-clogged", "cap-vent-blocked",
      "vapour-lock"}},
    {"carburettor",
     {"main-jet-blocked", "pilot-jet-blocked", "main-too-rich", "main-too-lean", "needle-too-rich", "needle-too-lean",
      "needle-jet-worn", "air-screw-off", "fuel-screw-off", "jet-loose", "float-level-high", "float-level-low",
      "float-needle-leaking", "float-needle-stuck", "bowl-vents-blocked", "choke-stuck", "throttle-not-full",
      "slide-sticking", "accelerator-pump-weak"}},
    {"intake",
     {"filter-dirty", "filter-over-oiled", "air-box-blocked", "nest-in-air-box", "boot-off-carburettor", "boot-cracked",
      "manifold-cracked", "manifold-joint-loose", "reed-chipped", "reed-cracked", "reed-stands-off"}},
    {"exhaust",
     {"packing-soaked", "packing-blown", "silencer-core-carboned", "exhaust-blocked-by-object",
      "spark-arrester-clogged", "stinger-carboned", "pipe-crushed", "pipe-dented", "pipe-cracked",
      "exhaust-port-carbon"}},
    {"exhaust valve",
     {"exhaust-valve-stuck-shut", "exhaust-valve-stuck-open", "exhaust-valve-sticky", "exhaust-valve-misadjusted",
      "exhaust-valve-governor-worn", "exhaust-valve-servo-dead"}},
    {"ignition",
     {"plug-worn", "plug-fouled", "plug-cracked-or-bridged", "plug-gap-wrong", "plug-cap-bad", "ht-lead-damaged",
      "coil-bad", "coil-bad-hot", "source-coil-weak", "pick-up-weak", "pick-up-gap-wrong", "ignition-box-bad",
      "stop-switch-shorts", "ignition-earth-bad", "ignition-connector-bad", "flywheel-key-sheared", "timing-out",
      "points-worn", "condenser-bad"}},
    {"top end",
     {"rings-worn", "rings-stuck", "piston-worn", "piston-scored", "piston-holed", "cylinder-worn", "small-end-worn",
      "head-gasket-leaking", "base-gasket-leaking", "combustion-carbon"}},
    {"bottom end",
     {"crank-seal-ignition", "crank-seal-clutch", "case-joint-leak", "main-bearing-worn", "big-end-worn",
      "crank-out-of-true", "balancer-mistimed"}},
    {"four-stroke",
     {"inlet-clearance-tight", "exhaust-clearance-tight", "valve-clearance-wide", "valve-seats-worn", "valve-burned",
      "valve-bent", "cam-timing-jumped", "cam-chain-stretched", "auto-decompressor-holding", "valve-stem-seals"}},
    {"injection",
     {"pump-weak", "pump-filter-clogged", "pressure-regulator-bad", "injector-clogged", "injector-dead",
      "throttle-sensor-bad", "intake-pressure-sensor-bad", "coolant-sensor-bad", "crank-sensor-bad",
      "map-or-setting-wrong", "battery-weak", "regulator-rectifier-bad"}},
    {"not the engine",
     {"clutch-slipping", "brake-dragging", "wheel-bearing-binding", "chain-binding", "gearing-wrong", "coolant-low",
      "not-in-list"}},
};

TEST(Knowledge, EverySystemIsThere) {
  size_t faults = 0;
  for (const auto& [system, ids] : kSystems) {
    for (const std::string& id : ids) {
      ++faults;
      const Fault* f = knowledge().faults.find(id);
      if (f == nullptr) {
        ADD_FAILURE() << system << ": no fault \"" << id << "\"; nearest is \"" << nearest(id, knowledge().faults.ids())
                      << "\"";
        continue;
      }
      const bool applies = std::any_of(knowledge().classes.begin(), knowledge().classes.end(),
                                       [&](const BikeClass& c) { return f->applies.holds(Traits(c.traits)); });
      EXPECT_TRUE(applies) << system << ": " << id << " applies to no kind of bike";
    }
  }
  EXPECT_GE(faults, 90u);
}

TEST(Knowledge, FaultsStayWithTheirCycle) {
  for (const BikeClass& c : knowledge().classes) {
    const Traits t(c.traits);
    const auto applies = [&](const char* id) { return knowledge().faults.find(id)->applies.holds(t); };
    const bool two = t.has("two-stroke"), carburettor = t.has("carburettor");
    EXPECT_EQ(applies("valve-burned"), !two) << c.id;
    EXPECT_EQ(applies("crank-seal-ignition"), two) << c.id;
    EXPECT_EQ(applies("main-jet-blocked"), carburettor) << c.id;
    EXPECT_EQ(applies("injector-clogged"), !carburettor) << c.id;
    EXPECT_EQ(applies("exhaust-valve-stuck-shut"), t.has("exhaust-valve")) << c.id;
    EXPECT_EQ(applies("points-worn"), t.has("points")) << c.id;
  }
}

BikeModel model_of(const BikeClass& c) { return fit(knowledge(), bike_of(c), {}, {}); }

TEST(EveryClass, HasFaultsCuresRunsAndALastResort) {
  for (const BikeClass& kind : knowledge().classes) {
    SCOPED_TRACE(kind.id);
    const BikeModel m = model_of(kind);
    EXPECT_GT(m.faults.size(), 80u);
    std::vector<double> cured(m.faults.size(), 0);
    int stand_runs = 0;
    for (size_t s = 0; s < m.plan.steps.size(); ++s) {
      for (const Cure& c : m.plan.steps[s].cures) {
        cured[static_cast<size_t>(c.fault)] = std::max(cured[static_cast<size_t>(c.fault)], c.chance);
      }
      stand_runs += m.plan.steps[s].act == Act::run && m.steps[s]->engine == EngineState::running;
    }
    for (size_t f = 0; f < cured.size(); ++f) EXPECT_GT(cured[f], 0) << "nothing cures " << m.faults[f]->id;
    EXPECT_EQ(stand_runs, 1);
    ASSERT_GE(m.plan.run_step, 0);
    EXPECT_EQ(m.steps[static_cast<size_t>(m.plan.run_step)]->engine, EngineState::ridden);
    ASSERT_GE(m.plan.last_resort, 0);
    EXPECT_LE(m.parts.size(), 64u);
  }
}

TEST(EveryClass, HasSaneNumbers) {
  for (const BikeClass& kind : knowledge().classes) {
    SCOPED_TRACE(kind.id);
    const BikeModel m = model_of(kind);
    double odds = 0, most = 0;
    for (const FaultModel& f : m.model.faults) {
      ASSERT_TRUE(std::isfinite(f.odds) && f.odds > 0);
      ASSERT_TRUE(f.shows > 0 && f.shows <= 1);
      odds += f.odds, most = std::max(most, f.odds);
    }
    EXPECT_LT(most, 0.25 * odds) << "one fault leads before anything is known";
    for (size_t i = 0; i < m.findings.size(); ++i) {
      const FindingModel& f = m.model.findings[i];
      ASSERT_TRUE(f.background >= 0 && f.background < 0.6) << m.findings[i]->id;
      ASSERT_GT(f.rates.yes_if_so, f.rates.yes_if_not) << m.findings[i]->id;
      for (const Link& l : f.links) ASSERT_TRUE(l.strength > 0 && l.strength <= 1) << m.findings[i]->id;
    }
  }
}

TEST(EveryClass, StepsAskForWhatCanBe) {
  for (const BikeClass& kind : knowledge().classes) {
    SCOPED_TRACE(kind.id);
    const BikeModel m = model_of(kind);
    for (size_t s = 0; s < m.plan.steps.size(); ++s) {
      const PlanStep& step = m.plan.steps[s];
      const PartMask off = m.plan.access.closure(step.off);
      ASSERT_GT(step.minutes, 0) << m.step_id(static_cast<int>(s));
      for (int p : step.on) {
        EXPECT_FALSE(off & Access::bit(p)) << m.step_id(static_cast<int>(s)) << " needs a part off and on";
        // A part that must be on keeps on what stands behind it.
        EXPECT_EQ(m.plan.access.blocked_by(Access::bit(p)) & off, 0u) << m.step_id(static_cast<int>(s));
      }
    }
  }
}

TEST(EveryClass, GetsAdviceFromTheFirstWord) {
  for (const BikeClass& kind : knowledge().classes) {
    SCOPED_TRACE(kind.id);
    for (const char* complaint : {"will-not-start", "flat-on-top", "bogs-when-snapped"}) {
      ASSERT_NE(knowledge().findings.find(complaint), nullptr) << complaint;
      const Diagnosis d = diagnose(knowledge(), bike_of(kind), {SaidSo{complaint, Answer::yes}}, {});
      EXPECT_TRUE(d.left_out.empty()) << complaint;
      EXPECT_FALSE(d.belief.contradiction);
      EXPECT_GE(d.advice.options.size(), 5u) << complaint;
      EXPECT_NE(d.bike().plan.steps[static_cast<size_t>(d.advice.options.front().step)].act, Act::last_resort)
          << complaint;
      EXPECT_LT(d.belief.nothing_left(), 0.2) << complaint;
    }
  }
}

TEST(Knowledge, AHealthyReadingDoesNotConvict) {
  // At the limits of its range a reading may raise the odds of a fault somewhat, in the middle it lowers them.
  for (const Reading& r : knowledge().readings) {
    for (const Reading::Range& range : r.ranges) {
      const double low = range.low > 0 ? range.low : range.high / 20;
      const Yardstick y = from_range(low, range.high, 1e9);
      const auto ratio = [&](double value, double wrong) { return weigh_reading(value, y, wrong, r.spread).ratio(); };
      if (!r.below.empty()) {
        EXPECT_LT(ratio(low, r.wrong_below), 4) << r.id << ": at its low limit " << low << " " << r.unit;
        EXPECT_LT(ratio(y.middle, r.wrong_below), 1) << r.id << ": in the middle";
      }
      if (!r.above.empty()) {
        EXPECT_LT(ratio(range.high, r.wrong_above), 4) << r.id << ": at its high limit " << range.high << " " << r.unit;
        EXPECT_LT(ratio(y.middle, r.wrong_above), 1) << r.id << ": in the middle";
      }
    }
  }
}

TEST(Knowledge, TrapPlugsAreHotterOrColderNeverHigherOrLower) {
  // One factory handbook calls a cold plug one of high heat rating, others use the word the other way round (T7).
  const auto clashes = [](std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
    for (const char* how : {"high heat ", "higher heat ", "low heat ", "lower heat "}) {
      for (const char* what : {"rating", "range", "value"}) {
        if (text.find(std::string(how) + what) != std::string::npos) return true;
      }
    }
    return false;
  };
  EXPECT_TRUE(clashes("A plug of higher heat rating"));
  for (const auto& file : std::filesystem::directory_iterator(CRANKWISE_SOURCE_DIR "/knowledge")) {
    std::ifstream in(file.path());
    int line = 0;
    for (std::string text; std::getline(in, text);) {
      ++line;
      EXPECT_FALSE(clashes(text)) << file.path().filename() << ":" << line << ": " << text;
    }
  }
  EXPECT_NE(knowledge().faults.find("plug-too-cold"), nullptr);
  EXPECT_NE(knowledge().faults.find("plug-too-hot"), nullptr);
}

TEST(Knowledge, NamesAreNotUsedTwice) {
  std::map<std::string, std::string> faults, steps, findings;
  for (const Fault& f : knowledge().faults) EXPECT_TRUE(faults.emplace(f.name, f.id).second) << f.id << ": " << f.name;
  for (const Finding& f : knowledge().findings)
    EXPECT_TRUE(findings.emplace(f.name, f.id).second) << f.id << ": " << f.name;
  for (const Step& s : knowledge().steps) {
    const auto [at, fresh] = steps.emplace(s.name, s.id);
    if (fresh) continue;
    for (const BikeClass& c : knowledge().classes) {  // the same name may stand for the other cycle's way of it
      const Traits t(c.traits);
      EXPECT_FALSE(s.applies.holds(t) && knowledge().steps.find(at->second)->applies.holds(t))
          << s.id << " and " << at->second << " are both \"" << s.name << "\" on the " << c.name;
    }
  }
}

}  // namespace
}  // namespace crankwise
