#include "bench/phones/line.h"

#include <curl/curl.h>

#include <chrono>
#include <new>

namespace crankwise::bench {
namespace {

size_t keep(char* bytes, size_t size, size_t count, void* into) {
  static_cast<std::string*>(into)->append(bytes, size * count);
  return size * count;
}

}  // namespace

void Line::End::operator()(void* curl) const { curl_easy_cleanup(curl); }

Line::Line(std::string address) : address_(std::move(address)), curl_(curl_easy_init()) {
  constexpr long kPatience_s = 30;
  if (!curl_) throw std::bad_alloc();
  curl_easy_setopt(curl_.get(), CURLOPT_NOSIGNAL, 1L);
  curl_easy_setopt(curl_.get(), CURLOPT_NOPROXY, "*");
  curl_easy_setopt(curl_.get(), CURLOPT_TIMEOUT, kPatience_s);
  curl_easy_setopt(curl_.get(), CURLOPT_ACCEPT_ENCODING, "gzip");
  curl_easy_setopt(curl_.get(), CURLOPT_WRITEFUNCTION, keep);
}

Answered Line::ask(const std::string& path, const std::string* json, const std::string& key) {
  const std::string url = address_ + path;
  Answered a;
  curl_slist* headers = nullptr;
  curl_easy_setopt(curl_.get(), CURLOPT_URL, url.c_str());
  curl_easy_setopt(curl_.get(), CURLOPT_WRITEDATA, &a.body);
  if (json == nullptr) {
    curl_easy_setopt(curl_.get(), CURLOPT_HTTPGET, 1L);
  } else {
    headers = curl_slist_append(headers, "Content-Type: application/json");
    headers = curl_slist_append(headers, ("Crankwise-Entry: " + key).c_str());
    curl_easy_setopt(curl_.get(), CURLOPT_POSTFIELDSIZE, static_cast<long>(json->size()));
    curl_easy_setopt(curl_.get(), CURLOPT_POSTFIELDS, json->c_str());
  }
  curl_easy_setopt(curl_.get(), CURLOPT_HTTPHEADER, headers);
  const auto from = std::chrono::steady_clock::now();
  if (curl_easy_perform(curl_.get()) == CURLE_OK) curl_easy_getinfo(curl_.get(), CURLINFO_RESPONSE_CODE, &a.status);
  a.ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - from).count();
  curl_slist_free_all(headers);
  return a;
}

}  // namespace crankwise::bench
