// Readings as people tell them: parsed, checked, and with the likely mistake named where they cannot be meant so.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/readings/appraise.h"

namespace crankwise {

/// "138 psi height=1400 m kick=brisk", or "open". Throws BadInput; conditions are looked at by check_took(). `reading`
/// if it is known: jets need no unit.
Took took_from_words(const std::string& id, const std::string& words, const Reading* reading = nullptr);

/// "138 height=1400 m" with the reading's own unit put in where there is none.
std::string with_unit_of(const Reading&, const std::string& words);

/// Unit, value and conditions: what cannot be. No bike: as for any.
void check_took(const Reading&, const Took&, const Bike*, const std::string& where, std::vector<Problem>&);

/// The value may be, but the same number in another unit is what one would expect: what was likely meant. Asked back at
/// the edge; never kept from a record.
std::optional<Problem> doubt_about(const Reading&, const Took&, const Bike&);

/// The shop's usual conditions put in where the reading asks for them and nothing was told.
Conditions with_usual(const Reading&, Conditions told, const Conditions& usual);

/// One row of a sensor's table, "20 degC" and "2.45 kohm", as K and ohm; nothing if it is none.
std::optional<std::pair<double, double>> table_row(const std::string& temperature, const std::string& resistance);

/// A condition that may hold for all readings of a bike or a shop; notes what is wrong with it.
void check_lasting(AskedCondition::Of, const std::string& id, const std::string& told, const std::string& field,
                   std::vector<Problem>&);

}  // namespace crankwise
