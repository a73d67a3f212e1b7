// The page's own files, read once.
#pragma once

#include <filesystem>
#include <map>
#include <string>

#include "http/message.h"

namespace crankwise {

struct PageFile {
  std::string type, bytes, packed;  // packed: by gzip
  std::string tag;                  // changes with the bytes
};
using PageFiles = std::map<std::string, PageFile>;  // by path: "/app.js"

/// Throws BadInput if the folder or its index.html is not there.
PageFiles read_page(const std::filesystem::path& folder);

/// A file of the page. A path without a dot in its last part is a screen, and gets index.html.
HttpAnswer page_answer(const PageFiles&, const HttpRequest&);

}  // namespace crankwise
