#include "http/gzip.h"

#include <zlib.h>

#include <algorithm>
#include <new>

namespace crankwise {

bool worth_packing(const HttpAnswer& a) {
  constexpr std::size_t kLeast = 1000;
  const bool text = a.type.rfind("text/", 0) == 0 || a.type.find("json") != std::string::npos ||
                    a.type.find("javascript") != std::string::npos || a.type == "image/svg+xml";
  const bool packed =
      std::any_of(a.headers.begin(), a.headers.end(), [](const auto& h) { return h.first == "Content-Encoding"; });
  return text && !packed && a.body.size() >= kLeast;
}

std::string gzip(const std::string& text) {
  z_stream stream{};
  constexpr int kGzip = 15 + 16, kMemory = 8;
  if (deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, kGzip, kMemory, Z_DEFAULT_STRATEGY) != Z_OK)
    throw std::bad_alloc();
  std::string out(deflateBound(&stream, text.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(text.data()));
  stream.avail_in = static_cast<uInt>(text.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return out;
}

}  // namespace crankwise
