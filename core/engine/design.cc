#include "core/engine/design.h"

#include <algorithm>

namespace crankwise::engine {

double Curve::at(double x) const {
  if (points.empty()) return 0;
  if (x <= points.front().x) return points.front().y;
  for (size_t i = 1; i < points.size(); ++i) {
    const Point &a = points[i - 1], &b = points[i];
    if (x <= b.x) return a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x);
  }
  return points.back().y;
}

}  // namespace crankwise::engine
