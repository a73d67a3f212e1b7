// Recordings listened to: made takes with known truth, as files; what is said of them, and what a job makes of it.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "app/diagnosis.h"
#include "app/sound/engine.h"
#include "app/sound/listening.h"
#include "app/sound/picture.h"
#include "app/sound/pull_told.h"
#include "app/sound/report.h"
#include "edge/problem.h"
#include "tests/real_knowledge.h"
#include "tests/sounds/case.h"
#include "tests/temporary_folder.h"

namespace crankwise {
namespace {

class Listening : public test::TemporaryFolder {
 protected:
  /// A take of the tuning set as a wav of 16 bits.
  std::filesystem::path file(const std::string& name) {
    take_ = sounds::make(sounds::Set::tuning, name);
    return wav(name, take_.samples);
  }
  std::filesystem::path wav(const std::string& name, const std::vector<float>& samples) {
    const std::filesystem::path path = dir_ / (name + ".wav");
    std::ofstream out(path, std::ios::binary);
    const auto word = [&](std::uint32_t v, int bytes) {
      for (int b = 0; b < bytes; ++b) out.put(static_cast<char>(v >> (8 * b)));
    };
    const auto bytes = static_cast<std::uint32_t>(2 * samples.size());
    out << "RIFF";
    word(36 + bytes, 4);
    out << "WAVEfmt ";
    word(16, 4), word(1, 2), word(1, 2), word(8000, 4), word(16000, 4), word(2, 2), word(16, 2);
    out << "data";
    word(bytes, 4);
    for (const float x : samples)
      word(static_cast<std::uint16_t>(static_cast<std::int16_t>(std::lround(32767 * std::clamp(x, -1.0F, 1.0F)))), 2);
    return path;
  }
  Listened heard(const std::string& name, const ListenAsk& ask = {}) {
    const std::filesystem::path path = file(name);
    return listen_to(path, take_.engine, ask);
  }
  static Bike bike(const std::string& bike_class) {
    Bike b;
    b.id = b.name = "test";
    b.bike_class = bike_class;
    const BikeClass& c = *real_knowledge().classes.find(bike_class);
    b.traits = c.traits;
    b.displacement_cc = c.displacement_cc;
    return b;
  }
  static const Took* told(const Proposals& p, const std::string& reading) {
    for (const ToldReading& each : p.readings) {
      if (each.took.reading == reading) return &each.took;
    }
    return nullptr;
  }

  sounds::Case take_;
};

constexpr const char* kTwo = "motocross-125-two-stroke";
constexpr const char* kFour = "motocross-450-four-stroke-injection";

TEST_F(Listening, AnIdleBecomesItsSpeedAndWander) {
  const Listened l = heard("4t_idle");
  EXPECT_EQ(l.of, TakeOf::idle);
  const Proposals p = proposals(l, real_knowledge(), bike(kFour));
  EXPECT_EQ(p.step, "record-idle");
  ASSERT_NE(told(p, "idle-speed"), nullptr);
  EXPECT_NEAR(told(p, "idle-speed")->value, *take_.truth.idle_rpm, 0.03 * *take_.truth.idle_rpm);
  EXPECT_EQ(told(p, "idle-speed")->unit, "rpm");
  EXPECT_EQ(told(p, "idle-speed")->at.count("give-or-take"), 1U);
  ASSERT_NE(told(p, "idle-wander"), nullptr);
  EXPECT_LT(told(p, "idle-wander")->value, 4);
}

TEST_F(Listening, BlipsBecomeRiseAndHang) {
  const Listened l = heard("2t_blips");
  EXPECT_EQ(l.of, TakeOf::blips);
  const Proposals p = proposals(l, real_knowledge(), bike(kTwo));
  EXPECT_EQ(p.step, "record-blips");
  ASSERT_NE(told(p, "rise-time"), nullptr);
  EXPECT_NEAR(told(p, "rise-time")->value, take_.truth.blips.front().rise_s, 0.12);
  ASSERT_NE(told(p, "idle-hang"), nullptr);
  EXPECT_NEAR(told(p, "idle-hang")->value, 0.85, 0.3);
}

TEST_F(Listening, ACutIsNoSoftTop) {
  const Listened l = heard("2t_limiter");
  EXPECT_EQ(l.of, TakeOf::hold);
  const Proposals p = proposals(l, real_knowledge(), bike(kTwo));
  ASSERT_NE(told(p, "cut-ceiling"), nullptr);
  EXPECT_NEAR(told(p, "cut-ceiling")->value, *take_.truth.ceiling_rpm, 0.015 * *take_.truth.ceiling_rpm);
  EXPECT_EQ(told(p, "soft-ceiling"), nullptr);
  EXPECT_TRUE(std::any_of(p.not_told.begin(), p.not_told.end(), [](const std::string& w) {
    return w.find("its top has another shape") != std::string::npos;
  }));
}

TEST_F(Listening, FallingAwayAndSurgingAreTold) {
  ListenAsk pull;
  pull.of = TakeOf::pull;
  const Proposals falls = proposals(heard("4t_falls_away", pull), real_knowledge(), bike(kFour));
  ASSERT_NE(told(falls, "sink-at-top"), nullptr);
  EXPECT_GT(told(falls, "sink-at-top")->value, 8);
  const Proposals surges = proposals(heard("4t_surging", pull), real_knowledge(), bike(kFour));
  ASSERT_NE(told(surges, "swing-at-top"), nullptr);
  EXPECT_GT(told(surges, "swing-at-top")->value, 3);
  const Proposals soft = proposals(heard("2t_soft_top", pull), real_knowledge(), bike(kTwo));
  ASSERT_NE(told(soft, "swing-at-top"), nullptr);
  EXPECT_LT(told(soft, "swing-at-top")->value, 2.5);
  ASSERT_NE(told(soft, "sink-at-top"), nullptr);
  EXPECT_LT(told(soft, "sink-at-top")->value, 3);
}

TEST_F(Listening, AnOpenOctaveIsAskedAndAnswered) {
  const Listened open = heard("2t_four_stroking_15");
  EXPECT_NE(octave_question(open), "");
  const Proposals none = proposals(open, real_knowledge(), bike(kTwo));
  EXPECT_TRUE(none.readings.empty()) << "nothing is told that hangs on the speed";
  ListenAsk as_found;
  as_found.times = 1;
  const Listened settled = heard("2t_four_stroking_15", as_found);
  EXPECT_EQ(octave_question(settled), "");
  const double rpm = static_cast<double>(settled.track.frames[100].rpm);
  EXPECT_NEAR(rpm, take_.truth.rpm.rpm(2), 0.02 * rpm);
}

TEST_F(Listening, WhatIsNoEngineIsRefusedWithTheReason) {
  for (const char* name : {"none_silence", "none_speech", "none_music", "none_hum_50", "none_hammer"}) {
    try {
      heard(name);
      FAIL() << name;
    } catch (const BadInput& e) {
      EXPECT_NE(std::string(e.what()).find("engine is heard"), std::string::npos) << name << e.what();
    }
  }
  EXPECT_THROW(listen_to(wav("short", std::vector<float>(1600, 0.1F)), take_.engine, {}), BadInput) << "0.2 s";
  EXPECT_THROW(listen_to(dir_ / "none.wav", take_.engine, {}), BadInput);
}

TEST_F(Listening, NothingIsTakenFromAPassBy) {
  const Proposals p = proposals(heard("pass_by"), real_knowledge(), bike(kTwo));
  EXPECT_TRUE(p.readings.empty());
  ASSERT_FALSE(p.not_told.empty());
  for (const std::string& why : p.not_told) EXPECT_NE(why.find("Doppler"), std::string::npos) << why;
}

TEST_F(Listening, AWrongCycleIsDoubted) {
  const auto as = [&](const char* name, Cycle cycle) {
    const std::filesystem::path path = file(name);
    return cycle_doubt(listen_to(path, usual_engine(cycle, 0), {}));
  };
  EXPECT_NE(as("4t_idle", Cycle::two_stroke), "");
  EXPECT_NE(as("2t_blips", Cycle::four_stroke), "");
  for (const char* name : {"4t_idle", "4t_blips", "4t_limiter"}) EXPECT_EQ(as(name, Cycle::four_stroke), "") << name;
  for (const char* name : {"2t_idle", "2t_blips", "2t_limiter"}) EXPECT_EQ(as(name, Cycle::two_stroke), "") << name;
}

TEST_F(Listening, MovesTheBeliefByWhatItHears) {
  Bike told = bike(kTwo);
  told.figures["soft-ceiling"] = {10500, 11500, "rpm"};
  const auto chance = [&told](const std::vector<Entry>& more) {
    std::vector<Entry> entries{Did{"record-hold"}};
    entries.insert(entries.end(), more.begin(), more.end());
    const Diagnosis d = judge(real_knowledge(), told, entries, {});
    return d.belief.chances_so()[static_cast<std::size_t>(d.bike().finding("flat-on-top"))];
  };
  const Took low{"soft-ceiling", 7000, "rpm", false, {}, {{"give-or-take", "1 %"}}};
  const Took unsure{"soft-ceiling", 7000, "rpm", false, {}, {{"give-or-take", "60 %"}}};
  const Took right{"soft-ceiling", 11000, "rpm", false, {}, {{"give-or-take", "1 %"}}};
  EXPECT_GT(chance({low}), 1.3 * chance({}));
  EXPECT_LT(chance({unsure}), chance({low}));
  EXPECT_LT(chance({right}), chance({}));
  // Without a figure of the bike's own nothing is made of it.
  told.figures.clear();
  EXPECT_NEAR(chance({low}), chance({}), 1e-9);
}

TEST_F(Listening, HintsComeFromTheBikesFigures) {
  Bike b = bike(kTwo);
  EXPECT_FALSE(engine_of(b).idle_rpm);
  b.figures["idle-speed"] = {1500, 1700, "rpm"};
  b.baselines["idle-speed"] = {1400, 1400, "rpm", true};
  b.figures["cut-ceiling"] = {12000, 12400, "rpm"};
  EXPECT_DOUBLE_EQ(*engine_of(b).idle_rpm, 1400);
  EXPECT_DOUBLE_EQ(*engine_of(b).ceiling_rpm, 12400);
  EXPECT_EQ(engine_of(bike(kFour)).cycle, Cycle::four_stroke);
  sound::Engine wrong = engine_of(b);
  EXPECT_TRUE(problems(wrong).empty());
  wrong.idle_rpm = 50;
  wrong.ceiling_rpm = 60000;
  EXPECT_EQ(problems(wrong).size(), 2U);
}

TEST_F(Listening, PullsAreToldWithUnitsAndSense) {
  const sound::PullSetup setup =
      pull_told({"primary=2.818:1", "gear=1.05:1", "front=14", "rear=48", "circumference=2100 mm", "mass=190 kg"});
  EXPECT_NEAR(setup.load.mass_kg, 190, 1e-9);
  EXPECT_NEAR(setup.circumference_m, 2.1, 1e-9);
  EXPECT_THROW(pull_told({"primary=2.818:1", "gear=1.05:1", "front=14", "rear=48", "mass=1900 kg"}), BadInput);
  EXPECT_THROW(pull_told({"primary=2.818:1", "gear=1.05:1", "front=14", "rear=48", "mass=190 mm"}), BadInput);
  EXPECT_THROW(pull_told({"gear=1.05:1"}), BadInput);
}

TEST_F(Listening, SaysWhatChanged) {
  const Listened before = heard("2t_soft_top"), after = heard("2t_limiter");
  const std::vector<ReportLine> lines = report(before, after);
  EXPECT_TRUE(std::any_of(lines.begin(), lines.end(), [](const ReportLine& l) {
    return l.first == "changed" && l.second.find("ceiling rose") != std::string::npos;
  }));
  const std::string picture = picture_of(before, after);
  EXPECT_NE(picture.find("</svg>"), std::string::npos);
  EXPECT_NE(picture.find("before 9"), std::string::npos);
}

}  // namespace
}  // namespace crankwise
