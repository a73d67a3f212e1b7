// A gauge or meter reading as evidence: what it would be where figures hold, what it is held against, how sure that is,
// and what it says for or against each finding. No verdict on a part: that is for the belief.
//
//   const Appraised a = appraise(compression, Took{"compression", 138, "psi", false, {}, {{"height", "1400 m"}}}, bike,
//   {}); in_words(a, compression);   // "138 psi reads as 163 psi at sea level; own baseline 190 psi: 14 % down"
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/readings/method.h"

namespace crankwise {

/// How unsure, as standard deviations of the logarithm (0.05 is 5 %).
struct Uncertainty {
  double instrument = 0;  // and hand
  double condition = 0;   // of the test, where it was not told or could only be guessed
  double range = 0;       // of healthy ones about the middle of what it is held against
  double all() const;
};

struct FindingWeight {
  std::string finding;
  double if_so = 1, if_not = 1;  // how probable the value is, on any common scale
  double ratio() const { return if_so / if_not; }
};

struct Appraised {
  double value = 0;  // as read, in the reading's unit
  bool open = false;
  double corrected = 0;
  std::string reads_as;                          // what it was brought to; "" if nothing was corrected
  std::optional<ReadingYardstick> held_against;  // brought to the same; nothing: nobody gave a figure, or
  std::string not_compared;                      // why it is not held against one that there is
  bool handicapped = false;                      // by how it was taken it can hardly say anything
  Uncertainty spread;
  std::vector<FindingWeight> weights;
  std::vector<std::string> notes;
};

/// `earlier`: of the same bike, oldest first. Throws BadInput where unit or conditions cannot be.
Appraised appraise(const Reading&, const Took&, const Bike&, const std::vector<PastReading>& earlier);

/// "190 psi (own baseline)", "0.45 to 0.8 mm (usual for its kind ...)"
std::string in_words(const ReadingYardstick&, const Reading&);
/// What was read, what that is where figures hold, and how it lies to them.
std::string in_words(const Appraised&, const Reading&);
/// "give or take 9 %: instrument and hand 8 %, conditions 3 %"
std::string in_words(const Uncertainty&);

}  // namespace crankwise
