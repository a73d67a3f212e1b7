// What is said of a recording's facts. Ratios: 44.1/48 = 0.91875, 48/44.1 = 1.08844.
#include "edge/audio/notes.h"

#include <gtest/gtest.h>

namespace crankwise::audio {
namespace {

Facts sound() {
  return {.container = "mp4",
          .codec = "aac",
          .source_rate_hz = 48000,
          .channels = {{.mean_square = 0.1, .peak = 0.9}},
          .seconds = 100,
          .stated_seconds = 100,
          .packets = 1000};
}

std::string said(const Facts& facts) {
  std::string all;
  for (const std::string& note : notes_of(facts, 0)) all += note + "\n";
  return all;
}

#define SAYS(facts, part) EXPECT_NE(said(facts).find(part), std::string::npos) << said(facts)

TEST(AudioNotes, NothingWhereNothingIsOdd) {
  EXPECT_EQ(said(sound()), "");
  Facts f = sound();
  f.seconds = 99.1;
  EXPECT_EQ(said(f), "") << "within a hundredth";
  f.stated_seconds = 0;
  EXPECT_EQ(said(f), "") << "nothing to compare with";
  f = sound();
  f.seconds = 1.03, f.stated_seconds = 1;
  EXPECT_EQ(said(f), "") << "a codec's delay";
  f.source_rate_hz = 8000, f.seconds = 1.2;
  EXPECT_EQ(said(f), "") << "which is longer at a low rate";
}

TEST(AudioNotes, LengthAgainstWhatTheFileSays) {
  Facts f = sound();
  f.seconds = 91.875;
  SAYS(f, "44.1 kHz sound is labelled 48 kHz; then every rpm here is 8.8 % too high");
  f.seconds = 108.844;
  SAYS(f, "48 kHz sound labelled 44.1 kHz; then every rpm here is 8.1 % too low");
  f.seconds = 60;
  SAYS(f, "lasts 100.00 s, but 60.00 s came out: the rest is missing, as if it was cut off");
  f.seconds = 130;
  SAYS(f, "wrong by a factor of 1.300");
  f = sound();
  f.seconds = 70, f.gaps_s = 30;
  SAYS(f, "30.00 s of sound are missing within it");
  EXPECT_EQ(said(f).find("cut off"), std::string::npos);
}

TEST(AudioNotes, DamageAtTheEndIsNotToldTwice) {
  Facts f = sound();
  f.bad_packets = 1;
  SAYS(f, "1 of 1000 pieces");
  f.seconds = 60;
  EXPECT_EQ(notes_of(f, 0).size(), 1U) << said(f);
  f = sound();
  f.ends_in_error = true, f.bad_packets = 1;
  EXPECT_EQ(notes_of(f, 0).size(), 1U) << said(f);
  SAYS(f, "without a proper end");
}

TEST(AudioNotes, HeaderOfTwoRates) {
  Facts f = sound();
  f.header_rate_hz = 44100;
  SAYS(f, "48000 Hz, which was used, and 44100 Hz by the bytes a second (a 44.1/48 kHz mix-up)");
  SAYS(f, "multiplied by 0.919");
  f.header_rate_hz = 24000;
  SAYS(f, "and 24000 Hz by the bytes a second. If");
  f.header_rate_hz = 47900;
  EXPECT_EQ(said(f), "");
}

TEST(AudioNotes, PicturesSlowerOrFasterThanLife) {
  Facts f = sound();
  f.capture_fps = 120, f.picture_fps = 29.97, f.picture_seconds = 100;
  EXPECT_NEAR(slowed(f), 4.004, 1e-3);
  SAYS(f, "taken at 120 pictures a second, played at 29.97, 4 times slower. If the sound goes with the pictures");
  f.picture_seconds = 400.4;
  SAYS(f, "the sound was left as it was");
  f.capture_fps = 30;
  EXPECT_EQ(slowed(f), 1);
  EXPECT_EQ(said(f), "");
  f.capture_fps = 0;
  EXPECT_EQ(slowed(f), 1) << "not said";
}

TEST(AudioNotes, TheRest) {
  Facts f = sound();
  f.starts_s = 0.05;
  EXPECT_EQ(said(f), "");
  f.starts_s = 0.5, f.sound_tracks = 3, f.changes = true, f.wild_samples = 5, f.channels[0].clipped_share = 0.043;
  SAYS(f, "starts 0.50 s after its picture");
  SAYS(f, "3 sound tracks");
  SAYS(f, "joined from several");
  SAYS(f, "5 samples were no sensible numbers");
  SAYS(f, "4.3 % of it is clipped");
}

}  // namespace
}  // namespace crankwise::audio
