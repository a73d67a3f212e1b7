// Readings of the real knowledge on three bikes.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "app/readings/told.h"
#include "tests/real_knowledge.h"

namespace crankwise {

inline const Reading& reading(const std::string& id) { return *real_knowledge().readings.find(id); }

inline Bike bike_of(const std::string& bike_class, double cc) {
  Bike b;
  b.traits = real_knowledge().classes.find(bike_class)->traits;
  b.displacement_cc = cc;
  return b;
}
inline Bike two_stroke() { return bike_of("motocross-125-two-stroke", 125); }
inline Bike four_stroke() { return bike_of("motocross-250-four-stroke-carburettor", 250); }
inline Bike injected() { return bike_of("motocross-450-four-stroke-injection", 450); }

inline double corrected(const std::string& id, const Bike& bike, const std::string& words) {
  return appraise(reading(id), took_from_words(id, words), bike, {}).corrected;
}

inline Appraised judged(const std::string& id, const Bike& bike, const std::string& words,
                        const std::vector<PastReading>& earlier = {}) {
  return appraise(reading(id), took_from_words(id, words), bike, earlier);
}

inline double ratio_for(const Appraised& a, const std::string& finding) {
  for (const FindingWeight& w : a.weights) {
    if (w.finding == finding) return w.ratio();
  }
  ADD_FAILURE() << finding << " was not weighed";
  return 0;
}

}  // namespace crankwise
