// One keep-alive connection of a phone to the server.
#pragma once

#include <memory>
#include <string>

namespace crankwise::bench {

struct Answered {
  long status = 0;  // 0: no answer came
  std::string body;
  double ms = 0;  // from asking to the last byte
};

class Line {
 public:
  explicit Line(std::string address);
  Answered get(const std::string& path) { return ask(path, nullptr, ""); }
  Answered post(const std::string& path, const std::string& json, const std::string& key) {
    return ask(path, &json, key);
  }

 private:
  Answered ask(const std::string& path, const std::string* json, const std::string& key);
  struct End {
    void operator()(void* curl) const;
  };
  std::string address_;
  std::unique_ptr<void, End> curl_;
};

}  // namespace crankwise::bench
