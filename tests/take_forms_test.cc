// Every form that a phone, a camera or a recorder writes: what comes out is what was put in. The encoder is the program
// ffmpeg; the sound is made here, and its frequency and level are those of the formula.
#include <gtest/gtest.h>

#include "edge/audio/take.h"
#include "tests/take_case.h"

namespace crankwise {
namespace {

using namespace test;
using audio::read_take;

struct Form {
  const char* name;
  const char* arguments;  // of ffmpeg; BITS: bits a second enough for each channel
  const char* file;
  const char* container;
  const char* codec;
  std::vector<int> rates_hz;
  int most_channels = 6;
  bool exact = false;  // not a sample more or less
};

void PrintTo(const Form& form, std::ostream* out) { *out << form.name; }

const std::vector<int> kAll{8000, 11025, 16000, 22050, 44100, 48000, 96000};
const std::vector<int> kMp3{8000, 11025, 16000, 22050, 44100, 48000};
const std::vector<int> kOpus{8000, 16000, 48000};
#define PICTURE "-f lavfi -i testsrc=s=64x48:r=10:d=3 -map 0:a -map 1:v "

const Form kForms[] = {
    {"wav16", "-c:a pcm_s16le", "a.wav", "wav", "pcm_s16le", kAll, 6, true},
    {"wav24", "-c:a pcm_s24le", "a.wav", "wav", "pcm_s24le", kAll, 6, true},
    {"wavFloat", "-c:a pcm_f32le", "a.wav", "wav", "pcm_f32le", kAll, 6, true},
    {"wav8", "-c:a pcm_u8", "a.wav", "wav", "pcm_u8", kAll, 6, true},
    {"wavLaw", "-c:a pcm_mulaw", "a.wav", "wav", "pcm_mulaw", kAll, 6, true},
    {"wavAdpcm", "-c:a adpcm_ms", "a.wav", "wav", "adpcm_ms", kMp3, 2},
    {"w64", "-c:a pcm_s16le", "a.w64", "w64", "pcm_s16le", kAll},
    {"aiff", "-c:a pcm_s16be", "a.aiff", "aiff", "pcm_s16be", kAll, 6, true},
    {"caf", "-c:a pcm_s16be", "a.caf", "caf", "pcm_s16be", kAll, 6, true},
    {"flac", "-c:a flac", "a.flac", "flac", "flac", kAll, 6, true},
    {"oggFlac", "-c:a flac", "a.ogg", "ogg", "flac", kAll, 6, true},
    {"alac", "-c:a alac", "a.m4a", "mp4", "alac", kAll, 6, true},
    {"mp3", "-c:a libmp3lame BITS", "a.mp3", "mp3", "mp3", kMp3, 2},
    {"mp3Plain", "-c:a libmp3lame BITS -write_xing 0 -id3v2_version 0", "a.mp3", "mp3", "mp3", kMp3, 2},
    {"aac", "-c:a aac BITS", "a.aac", "aac", "aac", kAll},
    {"m4a", "-c:a aac BITS", "a.m4a", "mp4", "aac", kAll},
    {"vorbis", "-c:a libvorbis -q:a 5", "a.ogg", "ogg", "vorbis", kAll},
    {"opus", "-c:a libopus BITS", "a.opus", "ogg", "opus", kOpus},
    {"webm", "-c:a libopus BITS", "a.webm", "webm", "opus", kOpus},
    {"mp4Video", PICTURE "-c:v mpeg4 -c:a aac BITS", "a.mp4", "mp4", "aac", kAll},
    {"movVideo", PICTURE "-c:v mpeg4 -c:a pcm_s16le", "a.mov", "mp4", "pcm_s16le", kAll, 6, true},
    {"webmVideo", PICTURE "-c:v libvpx -deadline realtime -cpu-used 8 -c:a libvorbis -q:a 5", "a.webm", "webm",
     "vorbis", kMp3},
    {"threeGp", PICTURE "-c:v mpeg4 -c:a aac BITS -ac 1", "a.3gp", "mp4", "aac", {8000, 16000, 44100}, 1},
};

class Forms : public TakeCase, public testing::WithParamInterface<Form> {
 protected:
  /// The loudest channel has 440 and 1000 Hz; every other one, half as loud, only 620 Hz.
  void compare(int rate_hz, int channels, int loudest) {
    const Form& form = GetParam();
    SCOPED_TRACE(testing::Message() << form.name << " " << rate_hz << " Hz, " << channels << " channels");
    std::vector<Lane> lanes(static_cast<std::size_t>(channels), Lane{{620, 0.2}});
    lanes[static_cast<std::size_t>(loudest)] = {{440, 0.1}, {1000, 0.4}};
    written("in.wav", wav_of(rate_hz, lanes, 3, 0.5));
    std::string line = form.arguments;
    if (const auto bits = line.find("BITS"); bits != std::string::npos)
      line.replace(bits, 4, "-b:a " + std::to_string(64 * channels) + "k");
    // Our wav of six channels does not say where they stand.
    if (channels == 6) line += " -af 'channelmap=0|1|2|3|4|5:5.1'";
    const Take take = read_take(made("in.wav", line, form.file));

    EXPECT_EQ(take.container, form.container);
    EXPECT_EQ(take.codec, form.codec);
    EXPECT_EQ(take.channels, channels);
    EXPECT_EQ(take.source_rate_hz, take.codec == "opus" ? 48000 : rate_hz);
    EXPECT_EQ(notes(take), "");
    const double delay_s = form.exact ? 0.5 / 8000 : 2400.0 / rate_hz + 0.05;
    EXPECT_NEAR(take.seconds, 3, delay_s);
    EXPECT_EQ(take.slowed, 1);

    const std::vector<float> samples = samples_of(take);
    std::size_t onset = 0;
    while (onset < samples.size() && std::fabs(samples[onset]) < 0.1F) ++onset;
    EXPECT_NEAR(static_cast<double>(onset) / 8000, 0.5, form.exact ? 0.001 : delay_s);
    for (const Tone& tone : lanes[static_cast<std::size_t>(loudest)]) {
      const Tone found = heard(samples, tone.hz, 0.8, 2.8);
      EXPECT_NEAR(found.hz / tone.hz, 1, 1e-4) << tone.hz;
      // LAME turns down to 0.95 (its --scale), which is 0.45 dB.
      EXPECT_NEAR(20 * std::log10(found.amplitude / tone.amplitude), take.codec == "mp3" ? -0.45 : 0, 0.5) << tone.hz;
    }
    EXPECT_LT(heard(samples, 620, 0.8, 2.8).amplitude, 0.02) << "the other channels are not mixed in";
    EXPECT_NEAR(take.peak, 0.5, form.exact ? 0.02 : 0.35);
    EXPECT_LT(take.clipped_share, 1e-4);
  }
};

TEST_P(Forms, GivesBackWhatWasPutIn) {
  const Form& form = GetParam();
  if (form.most_channels > 1) {
    for (const int rate : form.rates_hz) compare(rate, 2, rate % 2000 == 0 ? 1 : 0);
  }
  for (const int rate : form.rates_hz) {
    if (rate == 16000 || (rate == 44100 && form.most_channels == 1)) compare(rate, 1, 0);
  }
  if (form.most_channels >= 6) compare(48000 == form.rates_hz.back() ? 48000 : form.rates_hz.back() / 2, 6, 4);
}

INSTANTIATE_TEST_SUITE_P(Take, Forms, testing::ValuesIn(kForms), [](const auto& form) { return form.param.name; });

class TakeOf : public TakeCase {};

TEST_F(TakeOf, WavAt8kHzIsTheSameBits) {
  std::vector<std::int16_t> in;
  std::uint32_t state = 1;
  for (int i = 0; i < 20'000; ++i) {
    state = state * 1664525 + 1013904223;  // Numerical Recipes' quick generator (from memory): any numbers will do
    in.push_back(static_cast<std::int16_t>(state >> 16));
  }
  in[7] = -32768, in[8] = 32767;
  const Take take = read_take(written("a.wav", wav(8000, 1, in)));
  const std::vector<float> out = samples_of(take);
  ASSERT_EQ(out.size(), in.size());
  for (std::size_t i = 0; i < in.size(); ++i) ASSERT_EQ(out[i], static_cast<float>(in[i]) / 32768) << i;
}

TEST_F(TakeOf, ChannelsOutOfPhaseDoNotCancel) {
  const Take take = read_take(written("a.wav", wav_of(44100, {{{1000, 0.4}}, {{1000, -0.41}}}, 1)));
  EXPECT_EQ(take.channel_taken, 1);
  EXPECT_NEAR(heard(samples_of(take), 1000, 0.1, 0.9).amplitude, 0.41, 0.005);
}

TEST_F(TakeOf, SteadyOffsetIsNoLoudness) {
  std::vector<std::int16_t> in;
  for (int i = 0; i < 8000; ++i) {
    in.push_back(20'000);
    in.push_back(static_cast<std::int16_t>(1000 * std::sin(0.5 * i)));
  }
  EXPECT_EQ(read_take(written("a.wav", wav(8000, 2, in))).channel_taken, 1);
}

TEST_F(TakeOf, SixteenChannelsAreTheMost) {
  std::vector<Lane> lanes(16, Lane{{500, 0.1}});
  lanes[13] = {{700, 0.3}};
  const Take take = read_take(written("a.wav", wav_of(16000, lanes, 1)));
  EXPECT_EQ(take.channels, 16);
  EXPECT_EQ(take.channel_taken, 13);
  EXPECT_NEAR(heard(samples_of(take), 700, 0.1, 0.9).amplitude, 0.3, 0.005);
}

TEST_F(TakeOf, ClippingIsCountedAndNoted) {
  // A sine of twice full scale is cut for 2/3 of the time: |sin| above 1/2.
  const Take take = read_take(written("a.wav", wav_of(44100, {{{431, 2}}}, 2)));
  EXPECT_NEAR(take.clipped_share, 2.0 / 3, 0.01);
  EXPECT_NEAR(take.peak, 1, 1e-3);
  EXPECT_TRUE(noted(take, "66.")) << notes(take);
}

TEST_F(TakeOf, BytesAndDescriptorsGiveTheSame) {
  const std::string bytes = wav_of(22050, {{{300, 0.5}}}, 1);
  const fs::path file = written("a.wav", bytes);
  const std::vector<float> by_path = samples_of(read_take(file));
  EXPECT_EQ(samples_of(audio::read_take_bytes(bytes, "upload")), by_path);
  std::FILE* open = std::fopen(file.c_str(), "rb");
  ASSERT_NE(open, nullptr);
  std::fseek(open, 5000, SEEK_SET);
  EXPECT_EQ(samples_of(read_take(fileno(open), "open")), by_path);
  EXPECT_EQ(std::ftell(open), 5000);
  std::fclose(open);
}

TEST_F(TakeOf, NameSaysNothing) {
  written("in.wav", wav_of(44100, {{{300, 0.5}}}, 1));
  fs::rename(made("in.wav", "-c:a aac", "a.m4a"), dir_ / "notes.txt");
  EXPECT_EQ(read_take(dir_ / "notes.txt").codec, "aac");
}

TEST_F(TakeOf, ProgressGoesUpToTheEnd) {
  std::vector<double> told;
  read_take(written("a.wav", wav_of(44100, {{{300, 0.5}}}, 10)), {}, [&](double share) { told.push_back(share); });
  ASSERT_GE(told.size(), 5U);
  EXPECT_TRUE(std::is_sorted(told.begin(), told.end()));
  EXPECT_LE(told.back(), 1);
  EXPECT_GE(told.back(), 0.97);
}

}  // namespace
}  // namespace crankwise
