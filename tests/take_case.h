// Recordings of known sound, made by the program ffmpeg in whatever form is wanted; and what is measured in a take.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <numbers>
#include <string>
#include <vector>

#include "edge/audio/take.h"
#include "tests/temporary_folder.h"

namespace crankwise::test {

using audio::Take;

struct Tone {
  double hz = 0, amplitude = 0;
};
using Lane = std::vector<Tone>;  // a channel: the sum of its tones

inline void put(std::string& bytes, std::uint64_t value, int count) {
  for (int i = 0; i < count; ++i) bytes += static_cast<char>(value >> (8 * i));
}

/// A wav file of 16-bit samples (Microsoft's RIFF specification of 1991, WAVE_FORMAT_PCM), channel by channel in turn.
inline std::string wav(int rate_hz, int channels, const std::vector<std::int16_t>& samples) {
  std::string bytes = "RIFF";
  put(bytes, 36 + 2 * samples.size(), 4);
  bytes += "WAVEfmt ";
  put(bytes, 16, 4);
  put(bytes, 1, 2);
  put(bytes, static_cast<std::uint64_t>(channels), 2);
  put(bytes, static_cast<std::uint64_t>(rate_hz), 4);
  put(bytes, static_cast<std::uint64_t>(rate_hz * channels * 2), 4);
  put(bytes, static_cast<std::uint64_t>(channels * 2), 2);
  put(bytes, 16, 2);
  bytes += "data";
  put(bytes, 2 * samples.size(), 4);
  for (const std::int16_t x : samples) put(bytes, static_cast<std::uint16_t>(x), 2);
  return bytes;
}

/// Silence up to `from_s`, then the tones to the end.
inline std::string wav_of(int rate_hz, const std::vector<Lane>& lanes, double seconds, double from_s = 0) {
  std::vector<std::int16_t> samples;
  const auto count = static_cast<int>(std::lround(seconds * rate_hz));
  for (int i = 0; i < count; ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    for (const Lane& lane : lanes) {
      double x = 0;
      for (const Tone& tone : lane) x += tone.amplitude * std::sin(2 * std::numbers::pi * tone.hz * t);
      samples.push_back(static_cast<std::int16_t>(t < from_s ? 0 : std::lround(std::clamp(x, -1.0, 1.0) * 32767)));
    }
  }
  return wav(rate_hz, static_cast<int>(lanes.size()), samples);
}

inline std::vector<float> samples_of(const Take& take) {
  std::vector<float> samples(static_cast<std::size_t>(take.signal.samples));
  take.signal.read(0, samples);
  return samples;
}

/// A tone near `hz` between two moments, demodulated in pieces of 50 ms: its mean amplitude, and its frequency by the
/// line through its phases.
inline Tone heard(const std::vector<float>& samples, double hz, double from_s, double to_s) {
  constexpr int kPiece = 400;
  double amplitude = 0, phase = 0, n = 0, st = 0, sp = 0, stt = 0, stp = 0;
  for (int i = static_cast<int>(from_s * 8000); i + kPiece <= static_cast<int>(to_s * 8000); i += kPiece) {
    std::complex<double> sum;
    double weights = 0;
    for (int k = 0; k < kPiece; ++k) {
      const double weight = 1 - std::cos(2 * std::numbers::pi * (k + 0.5) / kPiece);  // Hann
      sum += weight * static_cast<double>(samples.at(static_cast<std::size_t>(i + k))) *
             std::polar(1.0, -2 * std::numbers::pi * hz * (i + k) / 8000);
      weights += weight;
    }
    amplitude += 2 * std::abs(sum) / weights;
    phase += n == 0 ? std::arg(sum) : std::remainder(std::arg(sum) - phase, 2 * std::numbers::pi);
    const double t = (i + kPiece / 2.0) / 8000;
    n += 1, st += t, sp += phase, stt += t * t, stp += t * phase;
  }
  const double slope = (n * stp - st * sp) / (n * stt - st * st);
  return {hz + slope / (2 * std::numbers::pi), amplitude / n};
}

class TakeCase : public TemporaryFolder {
 protected:
  /// Runs ffmpeg on a file of the folder into another one.
  fs::path made(const std::string& from, const std::string& arguments, const std::string& to) {
    return ran("-i '" + (dir_ / from).string() + "' " + arguments, to);
  }
  fs::path ran(const std::string& arguments, const std::string& to) {
    const std::string line = "ffmpeg -nostdin -v error -y " + arguments + " '" + (dir_ / to).string() + "'";
    EXPECT_EQ(std::system(line.c_str()), 0) << line;
    return dir_ / to;
  }
  fs::path written(const std::string& name, std::string_view bytes) {
    write_file(dir_ / name, bytes);
    return dir_ / name;
  }
  static bool noted(const Take& take, const std::string& text) {
    return std::any_of(take.notes.begin(), take.notes.end(),
                       [&](const std::string& note) { return note.find(text) != std::string::npos; });
  }
  static std::string notes(const Take& take) {
    std::string all;
    for (const std::string& note : take.notes) all += note + "\n";
    return all;
  }
};

}  // namespace crankwise::test
