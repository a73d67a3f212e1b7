#include "http/server.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "edge/problem.h"
#include "http/gzip.h"

namespace crankwise {
namespace {

constexpr unsigned kThreads = 8;
constexpr unsigned kConnections = 1024, kConnectionsOfOne = 256;
constexpr unsigned kIdleSeconds = 30;

/// What has come of one question so far.
struct Coming {
  HttpRequest request;
  bool begun = false;
  std::optional<HttpAnswer> refused;
  std::size_t most = 0, came = 0;
};

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// A header that comes twice is one with both values, which is no host, no length and no origin of ours.
MHD_Result keep_header(void* into, MHD_ValueKind, const char* name, const char* value) {
  auto& headers = *static_cast<std::map<std::string, std::string>*>(into);
  const std::string told = value == nullptr ? "" : value;
  const auto [at, first] = headers.try_emplace(lower(name), told);
  if (!first) at->second += (at->first == "cookie" ? "; " : ", ") + told;
  return MHD_YES;
}

/// What the library would silently cut or choose between, so that somebody between might see another question.
std::string unclear(const HttpRequest& r) {
  const std::string length = r.header("content-length"), coding = r.header("transfer-encoding");
  if (length.find_first_not_of("0123456789") != std::string::npos) return "the length of its body is not a number";
  if (!coding.empty() && !length.empty()) return "the end of its body is told in two ways";
  if (!coding.empty() && lower(coding) != "chunked") return "the coding of its body is not known";
  return r.unclear;
}

/// The address as it came; what this makes is there until `finished`.
void* begin(void*, const char* address, MHD_Connection*) {
  auto* coming = new Coming;
  if (std::strstr(address, "%00") != nullptr) coming->request.unclear = "its address holds a zero byte";
  return coming;
}

MHD_Result keep_asked(void* into, MHD_ValueKind, const char* name, const char* value) {
  (*static_cast<std::map<std::string, std::string>*>(into))[name] = value == nullptr ? "" : value;
  return MHD_YES;
}

void send(MHD_Connection* connection, const HttpRequest& request, HttpAnswer answer) {
  if (worth_packing(answer) && request.header("accept-encoding").find("gzip") != std::string::npos) {
    answer.body = gzip(answer.body);
    answer.headers.emplace_back("Content-Encoding", "gzip");
  }
  MHD_Response* response =
      MHD_create_response_from_buffer(answer.body.size(), answer.body.data(), MHD_RESPMEM_MUST_COPY);
  if (!answer.type.empty()) MHD_add_response_header(response, "Content-Type", answer.type.c_str());
  for (const auto& [name, value] : answer.headers) MHD_add_response_header(response, name.c_str(), value.c_str());
  MHD_queue_response(connection, static_cast<unsigned>(answer.status), response);
  MHD_destroy_response(response);
}

MHD_Result take(void* self, MHD_Connection* connection, const char* url, const char* method, const char*,
                const char* data, size_t* size, void** state) {
  const auto& handlers = *static_cast<HttpHandlers*>(self);
  auto* coming = static_cast<Coming*>(*state);
  if (!coming->begun) {
    coming->begun = true;
    HttpRequest& r = coming->request;
    r.method = std::strcmp(method, "HEAD") == 0 ? "GET" : method;
    r.path = url;
    MHD_get_connection_values(connection, MHD_HEADER_KIND, keep_header, &r.headers);
    MHD_get_connection_values(connection, MHD_GET_ARGUMENT_KIND, keep_asked, &r.query);
    r.unclear = unclear(r);
    coming->refused = handlers.refuse(r);
    if (!r.unclear.empty()) {
      send(connection, r, *coming->refused);
      return MHD_YES;
    }
    coming->most = handlers.most_body(r);
    const std::string length = r.header("content-length");
    if (length.size() > 9 || (!length.empty() && std::stoul("0" + length) > kMostThrownAway)) {
      send(connection, r, handlers.too_long(r));
      return MHD_YES;
    }
    return MHD_YES;
  }
  if (*size > 0) {
    coming->came += *size;
    if (coming->came > kMostThrownAway) return MHD_NO;
    if (!coming->refused && coming->came > coming->most) {
      coming->request.body.clear();
      coming->refused = handlers.too_long(coming->request);
    }
    if (!coming->refused) coming->request.body.append(data, *size);
    *size = 0;
    return MHD_YES;
  }
  send(connection, coming->request, coming->refused ? *coming->refused : handlers.answer(coming->request));
  return MHD_YES;
}

void finished(void*, MHD_Connection*, void** state, MHD_RequestTerminationCode) {
  delete static_cast<Coming*>(*state);
  *state = nullptr;
}

void say_nothing(void*, const char*, va_list) {}

/// A socket that listens; throws if there is none to be had.
int listening(const HttpOptions& options) {
  const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  const int one = 1;
  sockaddr_in at{};
  at.sin_family = AF_INET;
  at.sin_port = htons(static_cast<std::uint16_t>(options.port));
  at.sin_addr.s_addr = htonl(options.every_address ? INADDR_ANY : INADDR_LOOPBACK);
  if (fd >= 0 && ::setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one) == 0 &&
      ::bind(fd, reinterpret_cast<const sockaddr*>(&at), sizeof at) == 0 && ::listen(fd, SOMAXCONN) == 0)
    return fd;
  const int error = errno;
  if (fd >= 0) ::close(fd);
  throw BadInput({"", 0, "--port", fmt::format("{} cannot be listened on: {}", options.port, std::strerror(error)),
                  error == EADDRINUSE ? "another number, or the other program ended first; --port 0 takes any"
                                      : "a number from 1024 to 65535, or 0 for any"});
}

int port_of(int fd) {
  sockaddr_in at{};
  socklen_t size = sizeof at;
  ::getsockname(fd, reinterpret_cast<sockaddr*>(&at), &size);
  return ntohs(at.sin_port);
}

}  // namespace

std::string HttpRequest::header(const std::string& name) const {
  const auto found = headers.find(name);
  return found == headers.end() ? "" : found->second;
}
std::string HttpRequest::asked(const std::string& name) const {
  const auto found = query.find(name);
  return found == query.end() ? "" : found->second;
}

struct HttpServer::Daemon {
  MHD_Daemon* handle = nullptr;
  ~Daemon() {
    if (handle != nullptr) MHD_stop_daemon(handle);
  }
};

HttpServer::HttpServer(const HttpOptions& options, HttpHandlers handlers, const std::function<void(int)>& ready)
    : handlers_(std::move(handlers)), daemon_(std::make_unique<Daemon>()) {
  const int fd = listening(options);
  port_ = port_of(fd);
  if (ready) ready(port_);
  std::vector<MHD_OptionItem> more{
      {MHD_OPTION_LISTEN_SOCKET, fd, nullptr},
      {MHD_OPTION_THREAD_POOL_SIZE, kThreads, nullptr},
      {MHD_OPTION_CONNECTION_LIMIT, kConnections, nullptr},
      {MHD_OPTION_PER_IP_CONNECTION_LIMIT, kConnectionsOfOne, nullptr},
      {MHD_OPTION_CONNECTION_TIMEOUT, kIdleSeconds, nullptr},
      {MHD_OPTION_STRICT_FOR_CLIENT, 1, nullptr},
      {MHD_OPTION_URI_LOG_CALLBACK, reinterpret_cast<std::intptr_t>(&begin), nullptr},
      {MHD_OPTION_NOTIFY_COMPLETED, reinterpret_cast<std::intptr_t>(&finished), nullptr},
  };
  unsigned flags = MHD_USE_AUTO_INTERNAL_THREAD | MHD_USE_ERROR_LOG;
  if (!options.certificate_pem.empty()) {
    flags |= MHD_USE_TLS;
    more.push_back({MHD_OPTION_HTTPS_MEM_CERT, 0, const_cast<char*>(options.certificate_pem.c_str())});
    more.push_back({MHD_OPTION_HTTPS_PRIORITIES, 0, const_cast<char*>("NORMAL:-VERS-TLS1.0:-VERS-TLS1.1")});
    more.push_back({MHD_OPTION_HTTPS_MEM_KEY, 0, const_cast<char*>(options.key_pem.c_str())});
  }
  more.push_back({MHD_OPTION_END, 0, nullptr});
  daemon_->handle = MHD_start_daemon(flags, 0, nullptr, nullptr, &take, &handlers_, MHD_OPTION_EXTERNAL_LOGGER,
                                     &say_nothing, nullptr, MHD_OPTION_ARRAY, more.data(), MHD_OPTION_END);
  if (daemon_->handle == nullptr) {
    ::close(fd);
    throw BadInput({"", 0, "", "the server cannot be started", "a certificate and key that fit, and free memory"});
  }
}

HttpServer::~HttpServer() = default;

}  // namespace crankwise
