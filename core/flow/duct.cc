#include "core/flow/duct.h"

#include "core/flow/volume.h"

namespace crankwise::flow {

template class Duct<double>;
template struct Volume<double>;

}  // namespace crankwise::flow
