// How often an engine fires: a two-stroke every turn, a four-stroke every other.
#pragma once

namespace crankwise {

enum class Cycle { two_stroke, four_stroke };

}  // namespace crankwise
