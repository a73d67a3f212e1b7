#include "core/sound/fft.h"

#include <kissfft/kiss_fftr.h>

#include <cassert>
#include <cmath>
#include <numbers>

namespace crankwise::sound {

static_assert(sizeof(kiss_fft_cpx) == sizeof(std::complex<float>));

struct Fft::Plans {
  explicit Plans(int size)
      : forward(kiss_fftr_alloc(size, 0, nullptr, nullptr)), back(kiss_fftr_alloc(size, 1, nullptr, nullptr)) {}
  ~Plans() {
    kiss_fftr_free(forward);
    kiss_fftr_free(back);
  }
  Plans(const Plans&) = delete;
  Plans& operator=(const Plans&) = delete;
  kiss_fftr_cfg forward, back;
};

Fft::Fft(int size) : size_(size), plans_(std::make_unique<Plans>(size)) { assert(size > 0 && size % 2 == 0); }
Fft::~Fft() = default;
Fft::Fft(Fft&&) noexcept = default;
Fft& Fft::operator=(Fft&&) noexcept = default;

void Fft::forward(std::span<const float> samples, std::span<std::complex<float>> spectrum) {
  assert(samples.size() == static_cast<size_t>(size()) && spectrum.size() == static_cast<size_t>(bins()));
  kiss_fftr(plans_->forward, samples.data(), reinterpret_cast<kiss_fft_cpx*>(spectrum.data()));
}

void Fft::back(std::span<const std::complex<float>> spectrum, std::span<float> samples) {
  assert(samples.size() == static_cast<size_t>(size()) && spectrum.size() == static_cast<size_t>(bins()));
  kiss_fftri(plans_->back, reinterpret_cast<const kiss_fft_cpx*>(spectrum.data()), samples.data());
}

std::vector<float> hann(int size) {
  std::vector<float> window(static_cast<size_t>(size));
  for (int n = 0; n < size; ++n)
    window[static_cast<size_t>(n)] = static_cast<float>(0.5 - 0.5 * std::cos(2 * std::numbers::pi * n / size));
  return window;
}

}  // namespace crankwise::sound
