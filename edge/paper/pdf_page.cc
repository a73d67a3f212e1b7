#include "edge/paper/pdf_page.h"

#include <fmt/format.h>
#include <libexif/exif-data.h>
#include <png.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <new>
#include <numbers>
#include <stdexcept>

#include "edge/problem.h"

namespace crankwise::pdf {
namespace {

constexpr double kFootRoom = 16;

/// What the typeface and the library can take: control characters and letters beyond the first plane become a mark.
std::string drawable(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto c = static_cast<unsigned char>(text[i]);
    const std::size_t length = c < 0x80 ? 1 : c < 0xc2 ? 0 : c < 0xe0 ? 2 : c < 0xf0 ? 3 : 4;
    const bool whole = length > 0 && i + length <= text.size() &&
                       std::all_of(text.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                                   text.begin() + static_cast<std::ptrdiff_t>(i + length),
                                   [](char b) { return (static_cast<unsigned char>(b) & 0xc0) == 0x80; });
    out += whole && length < 4 ? text.substr(i, length) : "\xef\xbf\xbd";
    i += whole ? length : 1;
  }
  return out;
}

HPDF_Font load(HPDF_Doc doc, const char* file) {
  const std::filesystem::path path = std::filesystem::path(CRANKWISE_FONTS) / file;
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    throw BadInput({path.string(), 0, "", "the typeface for PDF is not on this machine",
                    "apt-get install fonts-dejavu-core; or the sheet as html"});
  }
  const char* name = HPDF_LoadTTFontFromFile(doc, path.c_str(), HPDF_TRUE);
  return name == nullptr ? nullptr : HPDF_GetFont(doc, name, "UTF-8");
}

/// How the camera was held, 1 to 8 as in Exif 2.3, 4.6.4; 1 if nothing is said.
int orientation(const Picture& p) {
  if (p.media_type != "image/jpeg") return 1;
  ExifData* data = exif_data_new_from_data(reinterpret_cast<const unsigned char*>(p.bytes.data()),
                                           static_cast<unsigned>(p.bytes.size()));
  if (data == nullptr) return 1;
  const ExifEntry* entry = exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
  int found = 1;
  if (entry != nullptr && entry->format == EXIF_FORMAT_SHORT && entry->components >= 1 && entry->size >= 2)
    found = exif_get_short(entry->data, exif_data_get_byte_order(data));
  exif_data_unref(data);
  return found >= 1 && found <= 8 ? found : 1;
}

/// Quarter turns to the right that set it upright. (Mirrored ones, which cameras do not make, are only turned.)
int quarter_turns(const Picture& p) {
  constexpr int kTurns[] = {0, 0, 0, 2, 2, 1, 1, 3, 3};
  return kTurns[orientation(p)];
}

const HPDF_BYTE* start(const std::string& bytes) { return reinterpret_cast<const HPDF_BYTE*>(bytes.data()); }

HPDF_Image jpeg_image(HPDF_Doc doc, const Picture& p) {
  return HPDF_LoadJpegImageFromMem(doc, start(p.bytes), static_cast<HPDF_UINT>(p.bytes.size()));
}

/// Unpacked here, on white: the PDF library's own reader ends the program at a damaged one.
HPDF_Image raster_of_png(HPDF_Doc doc, const Picture& p) {
  constexpr double kMost = 40e6;  // pixels, three bytes each in memory
  ::png_image png{};
  png.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_memory(&png, p.bytes.data(), p.bytes.size()) == 0) return nullptr;
  png.format = PNG_FORMAT_RGB;
  std::string pixels;
  const png_color white{255, 255, 255};
  if (static_cast<double>(png.width) * png.height <= kMost) pixels.resize(PNG_IMAGE_SIZE(png));
  if (pixels.empty() || png_image_finish_read(&png, &white, pixels.data(), 0, nullptr) == 0) {
    png_image_free(&png);
    return nullptr;
  }
  return HPDF_LoadRawImageFromMem(doc, start(pixels), png.width, png.height, HPDF_CS_DEVICE_RGB, 8);
}

HPDF_REAL real(double value) { return static_cast<HPDF_REAL>(value); }

}  // namespace

Pages::Pages(std::string running) : doc_(HPDF_New(nullptr, nullptr)), running_(std::move(running)) {
  if (!doc_) throw std::bad_alloc();
  HPDF_UseUTFEncodings(doc_.get());
  HPDF_SetCurrentEncoder(doc_.get(), "UTF-8");
  HPDF_SetCompressionMode(doc_.get(), HPDF_COMP_ALL);
  plain_ = load(doc_.get(), "DejaVuSans.ttf");
  bold_ = load(doc_.get(), "DejaVuSans-Bold.ttf");
  check();
  new_page();
}

/// The library remembers its first error and does nothing more.
void Pages::check() const {
  if (const auto code = HPDF_GetError(doc_.get()); code != HPDF_OK)
    throw std::runtime_error(fmt::format("the PDF could not be made (error {:#x})", code));
}

void Pages::new_page() {
  HPDF_Page page = HPDF_AddPage(doc_.get());
  if (page == nullptr) throw std::bad_alloc();
  HPDF_Page_SetWidth(page, real(kPageWidth));
  HPDF_Page_SetHeight(page, real(kPageHeight));
  pages_.push_back(page);
  y_ = 0;
}

void Pages::need(double height) {
  if (y_ > 0 && y_ + height > kPageHeight - 2 * kMargin - kFootRoom) new_page();
}

double Pages::width(const std::string& line, Face face, double size) {
  HPDF_Page_SetFontAndSize(pages_.back(), font(face), real(size));
  return HPDF_Page_TextWidth(pages_.back(), line.c_str());
}

std::vector<std::string> Pages::wrap(const std::string& raw, Face face, double size, double most) {
  const std::string text = drawable(printable(raw));
  std::vector<std::string> lines(1);
  const auto fits = [&](const std::string& line) { return width(line, face, size) <= most; };
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    std::string word = text.substr(from, to - from);
    from = to + 1;
    if (word.empty()) continue;
    const std::string longer = lines.back().empty() ? word : lines.back() + " " + word;
    if (fits(longer)) {
      lines.back() = longer;
      continue;
    }
    if (!lines.back().empty()) lines.emplace_back();
    // Letter by letter only where the word is longer than a line.
    if (fits(word)) {
      lines.back() = word;
      continue;
    }
    for (std::size_t i = 0; i < word.size();) {
      std::size_t next = i + 1;
      while (next < word.size() && (static_cast<unsigned char>(word[next]) & 0xc0) == 0x80) ++next;
      const std::string letter = word.substr(i, next - i);
      if (!lines.back().empty() && !fits(lines.back() + letter)) lines.emplace_back();
      lines.back() += letter;
      i = next;
    }
  }
  return lines;
}

void Pages::write(const std::string& line, double x, Face face, double size, double grey) {
  HPDF_Page page = pages_.back();
  HPDF_Page_BeginText(page);
  HPDF_Page_SetFontAndSize(page, font(face), real(size));
  HPDF_Page_SetGrayFill(page, real(grey));
  HPDF_Page_TextOut(page, real(kMargin + x), real(base() - 0.93 * size), line.c_str());
  HPDF_Page_EndText(page);
}

void Pages::rule(double x, double width, double thick, double grey) {
  HPDF_Page page = pages_.back();
  HPDF_Page_SetLineWidth(page, real(thick));
  HPDF_Page_SetGrayStroke(page, real(grey));
  HPDF_Page_MoveTo(page, real(kMargin + x), real(base()));
  HPDF_Page_LineTo(page, real(kMargin + x + width), real(base()));
  HPDF_Page_Stroke(page);
}

void Pages::bar(double height) {
  HPDF_Page page = pages_.back();
  HPDF_Page_SetGrayFill(page, real(0.4));
  HPDF_Page_Rectangle(page, real(kMargin + 1), real(base()), 2, real(height));
  HPDF_Page_Fill(page);
}

double Pages::drawn_height(const Picture& p, double most_width, double most_height) const {
  constexpr double kRoomForWords = 24;
  if (p.media_type == "image/webp") return kRoomForWords;
  const bool sideways = quarter_turns(p) % 2 == 1;
  const double w = sideways ? p.height : p.width, h = sideways ? p.width : p.height;
  return h * std::min(most_width / w, most_height / h);
}

double Pages::picture(const Picture& p, double x, double most_width, double most_height) {
  HPDF_Image image = p.media_type == "image/jpeg"  ? jpeg_image(doc_.get(), p)
                     : p.media_type == "image/png" ? raster_of_png(doc_.get(), p)
                                                   : nullptr;
  if (image == nullptr || HPDF_GetError(doc_.get()) != HPDF_OK) {
    HPDF_ResetError(doc_.get());
    return 0;
  }
  const int turns = quarter_turns(p);
  const double height = drawn_height(p, most_width, most_height);
  const double width = turns % 2 == 1 ? height * p.height / p.width : height * p.width / p.height;
  const double w = turns % 2 == 1 ? height : width, h = turns % 2 == 1 ? width : height;  // before it is turned
  // Turned about its middle.
  const double angle = -turns * std::numbers::pi / 2;
  HPDF_Page page = pages_.back();
  HPDF_Page_GSave(page);
  HPDF_Page_Concat(page, 1, 0, 0, 1, real(kMargin + x + width / 2), real(base() - height / 2));
  HPDF_Page_Concat(page, real(std::cos(angle)), real(std::sin(angle)), real(-std::sin(angle)), real(std::cos(angle)), 0,
                   0);
  HPDF_Page_DrawImage(page, image, real(-w / 2), real(-h / 2), real(w), real(h));
  HPDF_Page_GRestore(page);
  return height;
}

PdfForm Pages::finish() {
  const std::size_t count = pages_.size();
  constexpr double kSize = 7, kRoomForNumber = 80;
  running_ = wrap(running_, Face::plain, kSize, kWidth - kRoomForNumber).front();
  for (std::size_t i = 0; i < count; ++i) {
    HPDF_Page page = pages_[i];
    HPDF_Page_BeginText(page);
    HPDF_Page_SetFontAndSize(page, plain_, real(kSize));
    HPDF_Page_SetGrayFill(page, real(0.35));
    HPDF_Page_TextOut(page, real(kMargin), 26, running_.c_str());
    const std::string number = fmt::format("page {} of {}", i + 1, count);
    HPDF_Page_TextOut(page, real(kPageWidth - kMargin - HPDF_Page_TextWidth(page, number.c_str())), 26, number.c_str());
    HPDF_Page_EndText(page);
  }
  HPDF_SaveToStream(doc_.get());
  check();
  PdfForm form{"", static_cast<int>(count)};
  HPDF_UINT32 size = HPDF_GetStreamSize(doc_.get());
  form.bytes.resize(size);
  HPDF_ReadFromStream(doc_.get(), reinterpret_cast<HPDF_BYTE*>(form.bytes.data()), &size);
  form.bytes.resize(size);
  return form;
}

}  // namespace crankwise::pdf
