// The judges of the trackers, and our tracker against those of others.
#include <gtest/gtest.h>

#include <cmath>

#include "bench/sound/ours.h"
#include "bench/sound/outside.h"
#include "bench/sound/score.h"
#include "bench/sound/scratch.h"
#include "bench/sound/table.h"
#include "bench/sound/wav.h"
#include "tests/sounds/case.h"

namespace crankwise::bench {
namespace {

/// A second at 6000 rpm and half a second of silence.
SoundTake take() {
  SoundTake t;
  t.samples.resize(12000);
  t.rpm = [](double s) { return s < 0.995 ? 6000.0 : 0.0; };
  t.ceiling_rpm = 6000;
  return t;
}

TEST(SoundScore, CountsEachKindOfError) {
  std::vector<Said> said(150);
  for (std::size_t i = 0; i < 100; ++i) said[i] = {.rpm = 6060, .sigma = 40, .sure = true};  // 1 % off, within 2 sigma
  for (std::size_t i = 0; i < 10; ++i) said[i] = {.rpm = 3000, .sigma = 1, .sure = i < 5};   // an octave
  for (std::size_t i = 10; i < 20; ++i) said[i] = {};                                        // no answer
  for (std::size_t i = 20; i < 25; ++i) said[i] = {.rpm = 7000, .sigma = 1, .sure = false};  // just wrong
  for (std::size_t i = 25; i < 45; ++i) said[i].sigma = 20;                                  // beyond 2 sigma
  for (std::size_t i = 100; i < 110; ++i) said[i] = {.rpm = 6060, .sigma = 40, .sure = i < 105};
  const Score s = score(take(), said);
  EXPECT_NEAR(s.gross.value_or(-1), 0.25, 1e-12);
  EXPECT_NEAR(s.octave.value_or(-1), 0.10, 1e-12);
  EXPECT_NEAR(s.median.value_or(-1), 0.01, 1e-12);
  EXPECT_NEAR(s.sure.value_or(-1), 0.80, 1e-12);
  EXPECT_NEAR(s.sure_wrong.value_or(-1), 10 / 85.0, 1e-12);
  EXPECT_NEAR(s.sure_octave.value_or(-1), 5 / 85.0, 1e-12);
  EXPECT_NEAR(s.covered.value_or(-1), 55 / 75.0, 1e-12);
  EXPECT_NEAR(s.heard_in_nothing.value_or(-1), 0.2, 1e-12);
  EXPECT_NEAR(s.sure_in_nothing.value_or(-1), 0.1, 1e-12);
  EXPECT_NEAR(s.ceiling.value_or(-1), 0.01, 1e-12);
}

TEST(SoundScore, SaysNothingWhereThereIsNothing) {
  SoundTake t = take();
  t.rpm = [](double) { return 0.0; };
  const Score s = score(t, {});
  EXPECT_FALSE(s.gross || s.octave || s.median || s.sure || s.sure_wrong || s.covered || s.ceiling);
  EXPECT_EQ(s.heard_in_nothing, 0.0);
  t.silence_known = false;
  EXPECT_FALSE(score(t, {}).heard_in_nothing);
  EXPECT_FALSE(mean({std::nullopt}));
  EXPECT_NEAR(mean({1.0, std::nullopt, 3.0}).value_or(0), 2, 1e-12);
  EXPECT_NEAR(median({5.0, 1.0, 2.0, 1.5}).value_or(0), 1.75, 1e-12);
}

TEST(SoundTable, TakesEachOutsideTrackerAtItsBest) {
  SoundRow row{.name = "a",
               .engine_there = true,
               .ours = {.gross = 0.01},
               .outside = {{.gross = 0.4}, {.gross = 0.2}, {.gross = 0.3}}};
  const std::string t = sound_table({row}, {{"yinfft", "1024"}, {"yinfft", "2048"}, {"Praat", "no"}});
  EXPECT_EQ(t.find("1024"), std::string::npos);
  EXPECT_NE(t.find("| take | ours | yinfft 2048 | Praat no |"), std::string::npos) << t;
  EXPECT_NE(t.find("| a | 1.0 | 20.0 | 30.0 |"), std::string::npos) << t;
}

TEST(Wav, IsThatOfTheSpecification) {
  const std::string w = wav_of({0, 1, -1, 2});
  EXPECT_EQ(w.size(), 52U);
  EXPECT_EQ(w.substr(0, 4) + w.substr(8, 8), "RIFFWAVEfmt ");
  EXPECT_EQ(w.substr(44), std::string("\0\0\xff\x7f\x01\x80\xff\x7f", 8));
}

SoundTake steady(const std::string& name) {
  sounds::Case c = sounds::make(sounds::Set::tuning, name);
  SoundTake t;
  t.engine = c.engine;
  t.samples = std::move(c.samples);
  t.rpm = [p = std::move(c.truth.rpm)](double s) { return p.rpm(s); };
  return t;
}

/// Where ours is sure and the speed steady, SWIPE' or yinfft say the same within 2 %, octaves apart.
TEST(OutsideTrackers, AgreeWithOursWhereTheSpeedIsSteady) {
  for (const std::string& missing : outside_missing()) {
    if (missing.find("praat") == std::string::npos) GTEST_SKIP() << missing;
  }
  const Scratch scratch;
  for (const std::string name : {"2t_steady", "4t_steady", "2t_wind_6", "4t_wind_6", "2t_misfire_10"}) {
    const SoundTake t = steady(name);
    const std::vector<Said> ours = listen(t), swipe = listen({"SWIPE'", "0.1"}, t, scratch.path()),
                            yin = listen({"yinfft", "2048"}, t, scratch.path());
    double compared = 0, agreed = 0;
    for (std::size_t i = 10; i + 10 < ours.size(); ++i) {
      const bool is_steady = std::abs(ours[i + 10].rpm / ours[i - 10].rpm - 1) < 0.006;  // 3 % a second
      if (!ours[i].sure || !is_steady) continue;
      bool same = false, answered = false;
      for (const double rpm : {swipe[i].rpm, yin[i].rpm}) {
        if (rpm <= 0) continue;
        answered = true;
        const double octaves = std::exp2(std::round(std::log2(ours[i].rpm / rpm)));
        same = same || std::abs(ours[i].rpm / (octaves * rpm) - 1) < 0.02;
      }
      compared += answered ? 1 : 0;
      agreed += same ? 1 : 0;
    }
    EXPECT_GT(compared, 100) << name;
    EXPECT_GT(agreed / compared, 0.95) << name;
  }
}

}  // namespace
}  // namespace crankwise::bench
