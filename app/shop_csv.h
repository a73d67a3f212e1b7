// Tables of the shop for spreadsheets: RFC 4180 (lines end in CR LF, cells with a comma, quote or line break in
// quotes), UTF-8, one line of names first. The columns are in docs/moving.md.
//
// A text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a line break) gets an apostrophe
// before it. Numbers have a point and no sign.
#pragma once

#include <string>

#include "app/shop.h"

namespace crankwise {

std::string jobs_csv(const Shop&);
/// Every reading of the hour meter and every renewal, by bike, in the order of their time.
std::string hours_csv(const Shop&);

/// One cell of text.
std::string csv_cell(const std::string& text);

}  // namespace crankwise
