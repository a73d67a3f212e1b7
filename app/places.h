// Where things are on this machine, and what time it is.
#pragma once

#include <filesystem>
#include <string>

namespace crankwise {

/// $CRANKWISE_SHOP is for the command line; otherwise $XDG_DATA_HOME/crankwise/shop.db (default ~/.local/share).
std::filesystem::path usual_shop_file();
std::filesystem::path usual_demo_file();
/// Beside the sources this was built from, or where it was installed.
std::filesystem::path usual_knowledge_folder();
std::filesystem::path demo_script();
std::filesystem::path usual_page_folder();
/// Now in UTC, as in Event::at.
std::string utc_now();

}  // namespace crankwise
