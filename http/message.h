// One question over HTTP and its answer, as plain data.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace crankwise {

struct HttpRequest {
  std::string method;                          // "GET" for HEAD too
  std::string path;                            // decoded, without the query
  std::map<std::string, std::string> query;    // decoded
  std::map<std::string, std::string> headers;  // names in lower case
  std::string body;
  std::string unclear = {};  // what is not clear about its form; such a question is refused and ends the connection

  /// "" if there is none of that name.
  std::string header(const std::string& name) const;
  std::string asked(const std::string& name) const;
};

struct HttpAnswer {
  int status = 200;
  std::string type;  // media type; "" without a body
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers = {};
};

}  // namespace crankwise
