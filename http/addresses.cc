#include "http/addresses.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <unistd.h>

#include <array>
#include <memory>

namespace crankwise {

Addresses own_addresses() {
  Addresses own;
  ifaddrs* list = nullptr;
  if (::getifaddrs(&list) == 0) {
    const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> all(list, &::freeifaddrs);
    for (const ifaddrs* i = list; i != nullptr; i = i->ifa_next) {
      if (i->ifa_addr == nullptr || i->ifa_addr->sa_family != AF_INET || (i->ifa_flags & IFF_LOOPBACK) != 0) continue;
      std::array<char, INET_ADDRSTRLEN> text{};
      const auto* at = reinterpret_cast<const sockaddr_in*>(i->ifa_addr);
      if (::inet_ntop(AF_INET, &at->sin_addr, text.data(), text.size()) != nullptr) own.ips.emplace_back(text.data());
    }
  }
  own.ips.emplace_back("127.0.0.1");
  std::array<char, 256> host{};
  if (::gethostname(host.data(), host.size() - 1) == 0 && host[0] != '\0') {
    own.names.emplace_back(host.data());
    if (own.names.back().find('.') == std::string::npos) own.names.push_back(own.names.back() + ".local");
  }
  own.names.emplace_back("localhost");
  return own;
}

}  // namespace crankwise
