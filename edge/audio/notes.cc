#include "edge/audio/notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace crankwise::audio {
namespace {

constexpr double kMixUp = 44.1 / 48;
constexpr double kDelay = 2400;  // samples: a codec's delay and what fills its last frame are no difference

bool about(double value, double wanted, double within) { return std::fabs(value / wanted - 1) <= within; }

/// The container's length against what came out of it. True if the end is known to be missing.
bool length(const Facts& f, std::vector<std::string>& notes) {
  const double came = f.seconds + f.gaps_s;  // gaps have a note of their own
  const double gone = f.stated_seconds - came;
  const double delay_s = kDelay / f.source_rate_hz;
  const bool differs = f.stated_seconds > 0 && std::fabs(gone) > std::max(0.01 * f.stated_seconds, delay_s);
  if (!differs) {
    if (f.ends_in_error)
      notes.push_back("It ends without a proper end, as if it was cut off on its way. What is there is used.");
    return f.ends_in_error;
  }
  const auto is_times = [&](double ratio) {
    return std::fabs(came - ratio * f.stated_seconds) <= 0.002 * came + delay_s;
  };
  const std::string both =
      fmt::format("The file says that its sound lasts {:.2f} s, but {:.2f} s came out", f.stated_seconds, f.seconds);
  if (is_times(kMixUp)) {
    notes.push_back(both +
                    ": it is cut off, or 44.1 kHz sound is labelled 48 kHz; then every rpm here is 8.8 % too high.");
  } else if (is_times(1 / kMixUp)) {
    notes.push_back(both + ": it looks like 48 kHz sound labelled 44.1 kHz; then every rpm here is 8.1 % too low.");
  } else if (gone > 0) {
    notes.push_back(both + ": the rest is missing, as if it was cut off on its way. What is there is used.");
  } else {
    notes.push_back(both + fmt::format(": its rate may be wrong by a factor of {:.3f}, and every rpm with it.",
                                       came / f.stated_seconds));
  }
  return gone > 0;
}

/// The two rates that a wav header gives.
void header(const Facts& f, std::vector<std::string>& notes) {
  if (f.header_rate_hz <= 0 || about(f.header_rate_hz, f.source_rate_hz, 0.01)) return;
  const double ratio = f.header_rate_hz / f.source_rate_hz;
  const bool mixed = about(ratio, kMixUp, 0.002) || about(ratio, 1 / kMixUp, 0.002);
  notes.push_back(
      fmt::format("Its header gives two rates: {} Hz, which was used, and {:.0f} Hz by the bytes a second{}. If "
                  "the second one is right, every rpm here must be multiplied by {:.3f}.",
                  f.source_rate_hz, f.header_rate_hz, mixed ? " (a 44.1/48 kHz mix-up)" : "", ratio));
}

void speed(const Facts& f, std::vector<std::string>& notes) {
  const double times = slowed(f);
  if (times == 1) return;
  std::string note =
      times > 1 ? fmt::format("Slow motion: taken at {:g} pictures a second, played at {:g}, {:.3g} times slower.",
                              f.capture_fps, std::round(f.picture_fps * 100) / 100, times)
                : fmt::format("Time lapse: taken at {:g} pictures a second, played at {:g}, {:.3g} times faster.",
                              f.capture_fps, std::round(f.picture_fps * 100) / 100, 1 / times);
  if (f.picture_seconds > 0 && about(f.seconds, f.picture_seconds / times, 0.05))
    note += " By its length the sound was left as it was.";
  else
    note += fmt::format(
        " If the sound goes with the pictures, every rpm must be multiplied by {:.3g}: film at normal speed.", times);
  notes.push_back(note);
}

}  // namespace

double slowed(const Facts& f) {
  if (f.capture_fps <= 0 || f.picture_fps <= 0) return 1;
  const double times = f.capture_fps / f.picture_fps;
  return about(times, 1, 0.03) ? 1 : times;
}

std::vector<std::string> notes_of(const Facts& f, std::size_t taken) {
  std::vector<std::string> notes;
  header(f, notes);
  const bool cut_off = length(f, notes);
  speed(f, notes);
  if (f.bad_packets > (cut_off ? 1 : 0)) {  // the last one goes with the end
    notes.push_back(fmt::format("{} of {} pieces of its sound are damaged and were left out.", f.bad_packets,
                                std::max(f.packets, f.bad_packets)));
  }
  if (f.gaps_s > 0)
    notes.push_back(
        fmt::format("{:.2f} s of sound are missing within it; later times are early by as much.", f.gaps_s));
  if (f.starts_s > 0.1)
    notes.push_back(
        fmt::format("Its sound starts {:.2f} s after its picture; times count from the sound.", f.starts_s));
  if (f.changes)
    notes.push_back("Its rate or its number of channels changes on the way, as if it was joined from several.");
  if (f.sound_tracks > 1)
    notes.push_back(fmt::format("It has {} sound tracks; the main one was taken.", f.sound_tracks));
  if (f.wild_samples > 0)
    notes.push_back(fmt::format("{} samples were no sensible numbers and were taken for silence.", f.wild_samples));
  if (const double share = f.channels.at(taken).clipped_share; share > 0.001) {
    notes.push_back(fmt::format("{:.1f} % of it is clipped: hold the phone further away, or cover its microphone.",
                                std::max(0.1, share * 100)));
  }
  return notes;
}

}  // namespace crankwise::audio
