// Recordings that can be used, with something odd about them that a mechanic must know: the notes.
#include <gtest/gtest.h>

#include "edge/audio/take.h"
#include "tests/take_case.h"

namespace crankwise {
namespace {

using namespace test;
using audio::read_take;

constexpr const char* kPicture = "-f lavfi -i testsrc=s=64x48:r=30:d=3 -map 0:a -map 1:v -c:v mpeg4 -c:a aac ";

class TakeOdd : public TakeCase {
 protected:
  TakeOdd() { bytes_ = wav_of(48000, {{{1000, 0.4}}}, 3); }
  std::string cut(const fs::path& file, double share) {
    const std::string whole = read_file(file);
    return whole.substr(0, static_cast<std::size_t>(share * static_cast<double>(whole.size())));
  }
  std::string bytes_;
};

TEST_F(TakeOdd, WavWhoseHeaderContradictsItself) {
  // Only the rate (offset 24 of the header) is changed, not the bytes a second (offset 28): as a wrong label does.
  bytes_.replace(24, 4, std::string("\x44\xac\x00\x00", 4));  // 44100
  const Take take = read_take(written("a.wav", bytes_));
  EXPECT_EQ(take.source_rate_hz, 44100);
  EXPECT_TRUE(noted(take, "44100 Hz, which was used, and 48000 Hz")) << notes(take);
  EXPECT_TRUE(noted(take, "44.1/48 kHz mix-up")) << notes(take);
  EXPECT_TRUE(noted(take, "multiplied by 1.088")) << notes(take);
  EXPECT_NEAR(heard(samples_of(take), 1000 * 44.1 / 48, 0.2, 2.8).hz, 1000 * 44.1 / 48, 0.1);
}

TEST_F(TakeOdd, CodecAndContainerNameDifferentRates) {
  written("in.wav", bytes_);
  std::string mp4 = read_file(made("in.wav", "-c:a aac", "a.m4a"));
  // AudioSpecificConfig (ISO/IEC 14496-3, 1.6.2.1): AAC LC, index 3 (48 kHz), one channel; index 4 is 44.1 kHz.
  const auto at = mp4.find(std::string("\x11\x88", 2), mp4.find("esds"));
  ASSERT_NE(at, std::string::npos);
  mp4.replace(at, 2, std::string("\x12\x08", 2));
  const Take take = read_take(written("b.m4a", mp4));
  EXPECT_EQ(take.source_rate_hz, 44100);
  EXPECT_NEAR(take.seconds / take.stated_seconds, 48 / 44.1, 0.005);
  EXPECT_TRUE(noted(take, "48 kHz sound labelled 44.1 kHz; then every rpm here is 8.1 % too low")) << notes(take);
}

TEST_F(TakeOdd, WhatIsLeftOfAFileCutOffIsUsed) {
  written("in.wav", bytes_);
  const struct {
    const char* arguments;
    const char* file;
    bool states_length = true;
  } forms[] = {
      {"-c:a pcm_s16le", "a.wav"},
      {"-c:a flac", "a.flac"},
      {"-c:a libmp3lame", "a.mp3"},
      {"-c:a aac -movflags +faststart", "a.m4a"},
      {"-c:a libvorbis -page_duration 100000", "a.ogg"},
      {"-c:a libopus -page_duration 100000", "a.opus"},
      {"-c:a libopus", "a.webm"},
      {"-f lavfi -i testsrc=s=64x48:r=30:d=3 -map 0:a -map 1:v -c:v libvpx -c:a libopus", "v.webm"},
      {"-f lavfi -i testsrc=s=64x48:r=30:d=3 -map 0:a -map 1:v -c:v mpeg4 -c:a aac -movflags +faststart", "v.mp4"}};
  for (const auto& form : forms) {
    const fs::path whole = made("in.wav", form.arguments, form.file);
    EXPECT_EQ(notes(read_take(whole)), "") << form.file;
    for (const double share : {0.4, 0.6, 0.85}) {
      SCOPED_TRACE(testing::Message() << form.file << " " << share);
      const Take take = read_take(written(std::string("cut-") + form.file, cut(whole, share)));
      EXPECT_GT(take.seconds, 0.3);
      EXPECT_LT(take.seconds, 2.95);
      EXPECT_TRUE(noted(take, "cut off")) << notes(take);
      EXPECT_EQ(take.notes.size(), 1U) << notes(take);
      EXPECT_NEAR(heard(samples_of(take), 1000, 0.1, take.seconds - 0.1).hz, 1000, 0.2);
    }
  }
}

TEST_F(TakeOdd, AfterDamageInTheMiddleTheRestIsUsed) {
  written("in.wav", bytes_);
  std::string flac = read_file(made("in.wav", "-c:a flac", "a.flac"));
  flac.replace(flac.size() / 2, 3000, std::string(3000, '\x5a'));
  const Take take = read_take(written("b.flac", flac));
  EXPECT_GT(take.seconds, 2);
  EXPECT_TRUE(noted(take, "missing within it")) << notes(take);
  EXPECT_FALSE(noted(take, "cut off")) << notes(take);
}

TEST_F(TakeOdd, SlowMotionAndTimeLapseByWhatThePhoneWrote) {
  written("in.wav", bytes_);
  const auto filmed = [&](const std::string& fps) {
    return read_take(
        made("in.wav", kPicture + ("-movflags use_metadata_tags -metadata com.android.capture.fps=" + fps), "a.mp4"));
  };
  const Take slow = filmed("240");
  EXPECT_NEAR(slow.slowed, 8, 0.01);
  EXPECT_TRUE(noted(slow, "Slow motion: taken at 240 pictures a second, played at 30, 8 times slower")) << notes(slow);
  EXPECT_TRUE(noted(slow, "every rpm must be multiplied by 8")) << notes(slow);
  const Take fast = filmed("3");
  EXPECT_NEAR(fast.slowed, 0.1, 0.001);
  EXPECT_TRUE(noted(fast, "Time lapse")) << notes(fast);
  EXPECT_EQ(notes(filmed("30")), "");
  EXPECT_EQ(notes(filmed("many")), "");
}

TEST_F(TakeOdd, SoundOfASlowVideoThatWasLeftAsItWas) {
  written("in.wav", bytes_);
  const Take take =
      read_take(made("in.wav",
                     "-f lavfi -i testsrc=s=64x48:r=30:d=24 -map 0:a -map 1:v -c:v mpeg4 -c:a aac -movflags "
                     "use_metadata_tags -metadata com.android.capture.fps=240",
                     "a.mp4"));
  EXPECT_TRUE(noted(take, "By its length the sound was left as it was")) << notes(take);
}

TEST_F(TakeOdd, SoundThatStartsAfterThePicture) {
  const fs::path in = written("in.wav", bytes_);
  const Take take = read_take(ran("-f lavfi -i testsrc=s=64x48:r=30:d=4 -itsoffset 0.7 -i '" + in.string() +
                                      "' -map 0:v -map 1:a -c:v mpeg4 -c:a aac",
                                  "a.mp4"));
  EXPECT_TRUE(noted(take, "starts 0.68 s after its picture") || noted(take, "starts 0.70 s after its picture"))
      << notes(take);
}

TEST_F(TakeOdd, SoundMissingWithin) {
  written("in.wav", bytes_);
  // Fifty packets of 20 ms are left out; the time stamps after it stay.
  const Take take = read_take(made(made("in.wav", "-c:a libopus", "whole.webm").filename(),
                                   "-c copy -bsf:a 'noise=drop=between(n\\,50\\,99)'", "a.webm"));
  EXPECT_NEAR(take.seconds, 2, 0.1);
  EXPECT_TRUE(noted(take, "are missing within it")) << notes(take);
}

TEST_F(TakeOdd, SeveralSoundTracks) {
  written("in.wav", bytes_);
  EXPECT_TRUE(noted(read_take(made("in.wav", "-map 0:a -map 0:a -c:a aac", "a.m4a")), "has 2 sound tracks"));
}

TEST_F(TakeOdd, RateThatChangesOnTheWay) {
  written("in.wav", bytes_);
  const std::string first = read_file(made("in.wav", "-c:a aac -ar 48000", "a.aac"));
  const std::string second = read_file(made("in.wav", "-c:a aac -ar 24000 -ac 2", "b.aac"));
  const Take take = read_take(written("c.aac", first + second));
  EXPECT_NEAR(take.seconds, 6, 0.2);
  EXPECT_TRUE(noted(take, "changes on the way")) << notes(take);
  EXPECT_NEAR(heard(samples_of(take), 1000, 0.3, 2.7).hz, 1000, 0.1);
  EXPECT_NEAR(heard(samples_of(take), 1000, 3.4, 5.8).hz, 1000, 0.1);
}

TEST_F(TakeOdd, NumbersThatAreNone) {
  // 32-bit floats (format 3): a sine with not-a-number, infinity and 1e30 in it.
  std::vector<std::int16_t> words;
  for (int i = 0; i < 8000; ++i) {
    float x = 0.5F * std::sin(0.3F * static_cast<float>(i));
    if (i == 100) x = NAN;
    if (i == 200) x = INFINITY;
    if (i == 300) x = 1e30F;
    std::uint32_t bits = 0;
    std::memcpy(&bits, &x, 4);
    words.push_back(static_cast<std::int16_t>(bits));
    words.push_back(static_cast<std::int16_t>(bits >> 16));
  }
  std::string bytes = wav(8000, 1, words);
  bytes[20] = 3, bytes[32] = 4, bytes[34] = 32;              // float, four bytes a sample
  bytes.replace(28, 4, std::string("\x00\x7d\x00\x00", 4));  // 32000 bytes a second
  const Take take = read_take(written("a.wav", bytes));
  EXPECT_TRUE(noted(take, "3 samples were no sensible numbers")) << notes(take);
  const std::vector<float> samples = samples_of(take);
  ASSERT_EQ(samples.size(), 8000U);
  EXPECT_EQ(samples[100], 0);
  EXPECT_EQ(samples[300], 0);
  for (const float x : samples) ASSERT_LE(std::fabs(x), 0.5F);
}

}  // namespace
}  // namespace crankwise
