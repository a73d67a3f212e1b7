// The bench screen: a server for browsers on this machine, or on phones in the workshop's network.
#include <fmt/format.h>
#include <malloc.h>
#include <pthread.h>
#include <qrencode.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/places.h"
#include "cli/cli.h"
#include "http/certificate.h"
#include "http/routes.h"
#include "http/server.h"

namespace crankwise::set_up {
namespace {

struct ServeOptions {
  int port = 4870;
  bool network = false, no_tls = false;
  std::string page;
};

/// Two modules of the code a letter, dark on light, with the quiet zone that readers want.
std::string qr_lines(const std::string& text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
      QRcode_encodeString(text.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), &QRcode_free);
  if (!code) return "";
  constexpr int kQuiet = 4;
  const auto dark = [&](int x, int y) {
    if (x < 0 || y < 0 || x >= code->width || y >= code->width) return false;
    return (code->data[y * code->width + x] & 1) != 0;
  };
  std::string out;
  for (int y = -kQuiet; y < code->width + kQuiet; y += 2) {
    out += "\033[30;47m";
    for (int x = -kQuiet; x < code->width + kQuiet; ++x)
      out += dark(x, y) ? (dark(x, y + 1) ? "█" : "▀") : (dark(x, y + 1) ? "▄" : " ");
    out += "\033[0m\n";
  }
  return out;
}

std::int64_t seconds_now() {
  return std::chrono::duration_cast<std::chrono::seconds>(std::chrono::system_clock::now().time_since_epoch()).count();
}

/// Blocked in every thread of the server, so that only wait() hears them.
sigset_t ending_signals() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGINT);
  sigaddset(&set, SIGTERM);
  return set;
}

void say_where(Cli& cli, const ServeOptions& o, int port, const Addresses& own, const Pairing* pairing,
               const Certificate& certificate) {
  const std::string scheme = o.network && !o.no_tls ? "https" : "http";
  const std::string host = o.network ? own.ips.front() : "localhost";
  const std::string address = fmt::format("{}://{}:{}", scheme, host, port);
  Output& out = cli.output;
  if (cli.json) {
    Json j{{"address", address}};
    if (pairing != nullptr) j["code"] = pairing->code();
    if (!certificate.fingerprint.empty()) j["fingerprint"] = certificate.fingerprint;
    out.line(j.dump());
  } else {
    out.line(fmt::format("The bench screen is at {}", address));
    if (pairing != nullptr) {
      out.line(fmt::format("Pair a phone with the code {}, or by the picture:", pairing->code()));
      if (out.terminal()) out.stream() << qr_lines(fmt::format("{}/pair#code={}", address, pairing->code()));
    }
    if (!certificate.fingerprint.empty()) {
      out.line("Its certificate is this machine's own, so the phone asks once whether to trust it. Fingerprint:");
      out.line("  " + certificate.fingerprint);
    }
    out.line("Ctrl-C ends it; nothing is lost.");
  }
  out.stream().flush();
}

void run(Cli& cli, const ServeOptions& o) {
  if (o.no_tls && !o.network)
    throw BadInput({"", 0, "--no-tls", "is for --network; on this machine alone nothing is encrypted", "it left out"});
  mallopt(M_ARENA_MAX, 2);  // a heap a thread would keep most of what each once needed
  const sigset_t ending = ending_signals();
  pthread_sigmask(SIG_BLOCK, &ending, nullptr);
  cli.may_create = true;
  const std::filesystem::path folder = cli.shop_path().string() + ".server";
  Workshop workshop(cli.shop());
  const PageFiles page = read_page(o.page.empty() ? usual_page_folder() : std::filesystem::path(o.page));
  const Addresses own = own_addresses();
  const bool tls = o.network && !o.no_tls;
  const Certificate certificate = tls ? own_certificate(folder, own) : Certificate{};
  std::optional<Pairing> pairing;
  if (o.network)
    pairing.emplace(
        folder, [] { return random_id() + random_id(); }, seconds_now);

  // The hosts are known only once the port is.
  std::optional<Gate> gate;
  std::unique_ptr<Office> office;
  const HttpServer server(
      {o.network, o.port, certificate.certificate_pem, certificate.key_pem},
      {[&](const HttpRequest& r) { return gate->refuse(r); }, Gate::most_body,
       [](const HttpRequest& r) { return too_long_answer(r); },
       [&](const HttpRequest& r) { return answer(*office, r); }},
      [&](int port) {
        std::set<std::string> hosts;
        for (const auto& ip : own.ips) hosts.insert(fmt::format("{}:{}", ip, port));
        for (const auto& name : own.names) hosts.insert(fmt::format("{}:{}", name, port));
        if (port == (tls ? 443 : 80)) {  // browsers leave the usual one out
          hosts.insert(own.ips.begin(), own.ips.end());
          hosts.insert(own.names.begin(), own.names.end());
        }
        if (!o.network) hosts = {fmt::format("localhost:{}", port), fmt::format("127.0.0.1:{}", port)};
        gate.emplace(GateOptions{hosts, tls, pairing ? &*pairing : nullptr});
        office.reset(new Office{workshop, *gate, pairing ? &*pairing : nullptr, page, cli.demo, CRANKWISE_VERSION});
      });
  say_where(cli, o, server.port(), own, pairing ? &*pairing : nullptr, certificate);
  int signal = 0;
  sigwait(&ending, &signal);
}

}  // namespace

void serve(CLI::App& app, Cli& cli) {
  auto o = std::make_shared<ServeOptions>();
  app.add_option("--port", o->port, "where it listens; 0: any that is free")
      ->check(CLI::Range(0, 65535))
      ->type_name("N");
  app.add_flag("--network", o->network, "for phones in the workshop's network too: with a code, and encrypted");
  app.add_flag("--no-tls", o->no_tls, "not encrypted: whoever is on the network can read along");
  app.add_option("--page", o->page, "the folder with the page's files")->type_name("FOLDER");
  app.callback([o, &cli] { run(cli, *o); });
}

}  // namespace crankwise::set_up
