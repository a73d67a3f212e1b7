#include "core/sound/heard.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "core/sound/compare.h"
#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

Heard heard(const char* name) {
  const auto take = sounds::make(sounds::Set::tuning, name);
  return listen(signal_of(take.samples), made_track(take), take.engine);
}

TEST(Heard, ALimiterIsHeardWhole) {
  const auto take = sounds::make(sounds::Set::tuning, "2t_limiter");
  const Heard is = listen(signal_of(take.samples), made_track(take), take.engine);
  EXPECT_NEAR(is.seconds, static_cast<double>(take.samples.size()) / kRateHz, 1e-9);
  ASSERT_TRUE(is.idle && is.ceiling && is.ceiling->shape && is.blips);
  EXPECT_EQ(*is.ceiling->shape, Top::hard_cut);
  EXPECT_EQ(is.blips->size(), 1);
  ASSERT_EQ(is.stretches.size(), 1);
  EXPECT_EQ(is.stretches[0].kind, Stretch::Kind::engine);
  EXPECT_FALSE(is.pass_by);
  EXPECT_FALSE(is.weak.empty());
  for (const WeakBand& band : is.weak) EXPECT_GE(band.from_rpm, kAboveIdle * is.idle->rpm.value - 1e-6);
  EXPECT_TRUE(std::any_of(is.weak.begin(), is.weak.end(),
                          [](const WeakBand& b) { return b.weak && b.weak->more_than_scatter(); }));
}

TEST(Heard, NoEngineNoResults) {
  for (const char* name : {"none_silence", "none_speech", "none_hum_50"}) {
    const Heard is = heard(name);
    EXPECT_EQ(is.share.engine, 0) << name;
    EXPECT_FALSE(is.idle || is.blips || is.ceiling || is.pass_by || is.second || is.bangs) << name;
    EXPECT_EQ(is.ceiling.why_not(), Why::no_engine);
    EXPECT_TRUE(is.weak.empty() && is.alternations.empty()) << name;
  }
  EXPECT_FALSE(heard("none_hum_50").lines.empty());
  const Heard nothing = listen(signal_of({}), {}, engine_of(Cycle::two_stroke));
  EXPECT_TRUE(nothing.stretches.empty());
  EXPECT_FALSE(nothing.idle);
  const std::vector<float> brief(1600);
  EXPECT_FALSE(
      listen(signal_of(brief), track_of([](double) { return 3000.0; }, 0.2), engine_of(Cycle::two_stroke)).idle);
}

TEST(Heard, WhereEverySecondFiringIsWeakNoShareIsGiven) {
  const Heard is = heard("2t_four_stroking_told");
  ASSERT_FALSE(is.alternations.empty());
  for (const WeakBand& band : is.weak) {
    ASSERT_FALSE(band.weak);
    EXPECT_EQ(band.weak.why_not(), Why::alternates);
  }
}

TEST(Heard, AnOpenOctaveSaysNothingOfSpeedsUntilAReadingIsTaken) {
  const auto take = sounds::make(sounds::Set::tuning, "2t_soft_top");
  Track track = made_track(take);
  track.octave = Octave::open;
  track.other = 2;
  const Heard open = listen(signal_of(take.samples), track, take.engine);
  EXPECT_EQ(open.idle.why_not(), Why::octave_open);
  EXPECT_EQ(open.ceiling.why_not(), Why::octave_open);
  EXPECT_TRUE(open.weak.empty());
  EXPECT_FALSE(open.stretches.empty());
  const Heard one = listen(signal_of(take.samples), taken_as(track, 1), take.engine);
  ASSERT_TRUE(one.ceiling);
  EXPECT_NEAR(one.ceiling->rpm.value, *take.truth.ceiling_rpm, 0.015 * *take.truth.ceiling_rpm);
  const Track twice = taken_as(track, track.other);
  EXPECT_FLOAT_EQ(twice.frames[50].rpm, 2 * track.frames[50].rpm);
  EXPECT_EQ(twice.octave, Octave::settled);
}

TEST(Heard, TwoTakesOfOneKindDifferInWhatTheyShould) {
  // A top that breaks up at 9,000 against one that flattens at 9,500.
  const auto changes = compare(heard("2t_breaking_up"), heard("2t_soft_top"));
  const auto ceiling =
      std::find_if(changes.begin(), changes.end(), [](const Change& c) { return c.of == Change::Of::ceiling_rpm; });
  ASSERT_NE(ceiling, changes.end());
  EXPECT_TRUE(ceiling->real());
  EXPECT_EQ(in_words(*ceiling).rfind("the rev ceiling rose from 9,0", 0), 0) << in_words(*ceiling);
  for (const Change& c : compare(heard("2t_soft_top"), heard("2t_soft_top"))) EXPECT_FALSE(c.real());
}

TEST(Heard, EachReasonHasItsSentence) {
  for (int why = 0; why <= static_cast<int>(Why::not_in_both); ++why)
    EXPECT_GT(std::string(in_words(static_cast<Why>(why))).size(), 15) << why;
}

}  // namespace
}  // namespace crankwise::sound
