// A take as a picture: how loud each frequency is over time.
#pragma once

#include <vector>

#include "core/sound/signal.h"

namespace crankwise::sound {

struct Spectrogram {
  int columns = 0, rows = 0;  // rows from 0 Hz upwards
  double seconds = 0, highest_hz = 0;
  std::vector<float> db;  // by column, then row; to the loudest of the take, 0 to -90

  float at(int column, int row) const {
    return db[static_cast<size_t>(column) * static_cast<size_t>(rows) + static_cast<size_t>(row)];
  }
};

/// Hann windows of 128 ms; where columns lie farther apart than that, a column is the loudest of a few in it. Columns
/// and rows at least 1, highest_hz up to half of kRateHz.
Spectrogram spectrogram(const Signal&, int columns, int rows, double highest_hz);

}  // namespace crankwise::sound
