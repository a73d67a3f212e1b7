#include "http/page.h"

#include <fmt/format.h>

#include "edge/digest.h"
#include "edge/file.h"
#include "edge/problem.h"
#include "http/body.h"
#include "http/gzip.h"

namespace crankwise {
namespace {

namespace fs = std::filesystem;

const std::map<std::string, const char*>& types() {
  static const std::map<std::string, const char*> kTypes{
      {".html", "text/html; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".png", "image/png"},
      {".webmanifest", "application/manifest+json"},
      {".txt", "text/plain; charset=utf-8"},
  };
  return kTypes;
}

}  // namespace

PageFiles read_page(const fs::path& folder) {
  constexpr std::size_t kMost = 5'000'000;
  PageFiles files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed)) {
    const auto type = types().find(entry.path().extension().string());
    if (!entry.is_regular_file(failed) || type == types().end()) continue;
    PageFile f{type->second, read_whole(entry.path(), kMost), "", ""};
    f.packed = gzip(f.bytes);
    f.tag = "\"" + sha256_hex(f.bytes).substr(0, 20) + "\"";
    files["/" + entry.path().filename().string()] = std::move(f);
  }
  if (files.count("/index.html") == 0)
    throw BadInput(
        {folder.string(), 0, "", "the page's files are not there", "the program built by ./run or installed whole"});
  return files;
}

HttpAnswer page_answer(const PageFiles& files, const HttpRequest& r) {
  if (r.method != "GET") return problem_answer(405, "", "this is only to be read", "GET");
  const std::size_t slash = r.path.rfind('/');
  const bool screen = r.path.find('.', slash == std::string::npos ? 0 : slash) == std::string::npos;
  const auto found = files.find(screen ? "/index.html" : r.path);
  if (found == files.end())
    return problem_answer(404, "", fmt::format("there is no {}", r.path), "an address of the bench screen");
  const PageFile& f = found->second;
  HttpAnswer a{200, f.type, "", {{"ETag", f.tag}, {"Cache-Control", "no-cache"}, {"Vary", "Accept-Encoding"}}};
  if (r.header("if-none-match") == f.tag) {
    a.status = 304;
    a.type.clear();
    return a;
  }
  const bool packed = r.header("accept-encoding").find("gzip") != std::string::npos;
  a.body = packed ? f.packed : f.bytes;
  if (packed) a.headers.emplace_back("Content-Encoding", "gzip");
  return a;
}

}  // namespace crankwise
