// What people tell, made into what a shop keeps: new bikes, figures, and readings that are asked back.
//
//   shop.add_bike(bike_told(knowledge, {.name = "Red 125", .bike_class = "motocross-125-two-stroke"}));
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/shop.h"

namespace crankwise {

struct BikeTold {
  std::string name, bike_class;
  std::vector<std::string> with, without;  // traits beyond its class; of its class, that it lacks
  std::optional<double> displacement_cc = {}, hours = {};
};
/// Throws BadInput for a class or a lacking trait that is not known; the shop checks the rest.
Bike bike_told(const Knowledge&, const BikeTold&);

/// A problem if the reading can be, but can hardly be meant as told: the likely mistake. What cannot be is nothing
/// here: it is refused when it is written.
std::optional<Problem> doubt_of(const Knowledge&, const Bike&, const Took&);

struct FigureTold {
  std::string reading;
  std::string low, high;  // "170 psi height=600 m", "190 psi"; high "": a single value
  bool baseline = false;
};
struct FigureRead {
  Figure figure;
  std::optional<Problem> doubt;  // as of doubt_of()
};
/// Throws BadInput.
FigureRead figure_told(const Knowledge&, const Bike&, const FigureTold&);

}  // namespace crankwise
