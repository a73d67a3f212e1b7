#include "edge/audio/decode/forms.h"

#include <algorithm>
#include <array>

namespace crankwise::audio {
namespace {

bool on_list(std::string_view list, std::string_view name) {
  while (!list.empty()) {
    const auto comma = std::min(list.find(','), list.size());
    if (list.substr(0, comma) == name) return true;
    list.remove_prefix(std::min(comma + 1, list.size()));
  }
  return false;
}

bool begins(std::string_view text, std::string_view with) {
  return text.size() >= with.size() && std::equal(with.begin(), with.end(), text.begin(), [](char a, char b) {
           return a == (b >= 'A' && b <= 'Z' ? static_cast<char>(b - 'A' + 'a') : b);
         });
}

bool is_playlist(std::string_view format, std::string_view beginning) {
  constexpr std::array kFormats{"hls", "applehttp", "concat", "dash", "sdp", "imf", "rtsp", "webm_dash_manifest"};
  if (std::find(kFormats.begin(), kFormats.end(), format) != kFormats.end()) return true;
  if (begins(beginning, "\xef\xbb\xbf")) beginning.remove_prefix(3);
  constexpr std::array kBeginnings{"#extm3u", "ffconcat", "[playlist]", "<asx",
                                   "<?wpl",   "#!rtsp",   "rtsptext",   "[reference]"};
  return std::any_of(kBeginnings.begin(), kBeginnings.end(), [&](const char* b) { return begins(beginning, b); });
}

bool is_picture(std::string_view format, std::string_view beginning) {
  return format.ends_with("_pipe") || format == "image2" || format == "gif" || format == "apng" ||
         begins(beginning, "\xff\xd8\xff") || begins(beginning, "\x89png");
}

}  // namespace

bool container_is_read(std::string_view format) { return on_list(kContainers, format.substr(0, format.find(','))); }

std::string container_word(std::string_view format) {
  if (format.starts_with("mov,")) return "mp4";
  if (format.starts_with("matroska,")) return "webm";
  return std::string(format);
}

std::string codec_word(std::string_view codec) {
  if (codec == "mp3float" || codec == "mp2float") codec.remove_suffix(5);
  return std::string(codec);
}

Refusal not_a_recording(std::string_view format, std::string_view beginning) {
  if (is_playlist(format, beginning))
    return {"is a playlist: it only points at other files, and none of them was opened", "the recording itself"};
  if (is_picture(format, beginning)) return {"is a picture", kRight};
  if (format.empty()) return {"is not a sound or video file", kRight};
  std::string name(format.substr(0, 40));
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c < ' ' || c > '~'; }, '?');
  return {"is of the form \"" + name + "\", which is not read", kRight};
}

}  // namespace crankwise::audio
