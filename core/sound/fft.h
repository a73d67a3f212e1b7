// The discrete Fourier transform of real samples, and back (KISS FFT; X[k] = sum x[n] exp(-2 pi i k n / N), unscaled).
#pragma once

#include <complex>
#include <memory>
#include <span>
#include <vector>

namespace crankwise::sound {

class Fft {
 public:
  /// `size` even, best a product of 2, 3 and 5.
  explicit Fft(int size);
  ~Fft();
  Fft(Fft&&) noexcept;
  Fft& operator=(Fft&&) noexcept;

  int size() const { return size_; }
  int bins() const { return size_ / 2 + 1; }
  /// `samples`: size(), `spectrum`: bins().
  void forward(std::span<const float> samples, std::span<std::complex<float>> spectrum);
  /// The sum over all size() bins of which `spectrum` is the first half: size() times what forward() was given.
  void back(std::span<const std::complex<float>> spectrum, std::span<float> samples);

 private:
  struct Plans;
  int size_;
  std::unique_ptr<Plans> plans_;
};

/// The Hann window, periodic: 0.5 - 0.5 cos(2 pi n / N).
std::vector<float> hann(int size);

}  // namespace crankwise::sound
