// crankwise-decode MEMORY_BYTES CPU_S MOST_SECONDS <file >records
//
// Decodes the file that is open as its standard input into records (edge/audio/wire/facts.h) on its standard output,
// shut in before it reads the first byte. Started by edge/audio/child.h; nobody else has a use for it.
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstring>
#include <new>
#include <string>
#include <string_view>

extern "C" {
#include <libavutil/log.h>
}

#include "edge/audio/decode/decoder.h"
#include "edge/audio/decode/shut_in.h"
#include "edge/audio/decode/trial.h"

namespace {

using namespace crankwise::audio;

void write_all(const void* data, std::size_t bytes) {
  const char* from = static_cast<const char*>(data);
  while (bytes > 0) {
    const ssize_t done = ::write(kPipeFd, from, bytes);
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) ::_exit(3);  // nobody listens any more
    from += done;
    bytes -= static_cast<std::size_t>(done);
  }
}

void write_record(Record record, const void* data, std::size_t bytes) {
  const Head head{record, static_cast<std::uint32_t>(bytes)};
  write_all(&head, sizeof head);
  write_all(data, bytes);
}
void write_record(Record record, const std::string& text) { write_record(record, text.data(), text.size()); }

void write_samples(std::span<const std::span<const float>> channels) {
  const Head head{Record::samples, static_cast<std::uint32_t>(channels.size() * channels[0].size_bytes())};
  write_all(&head, sizeof head);
  for (const auto& channel : channels) write_all(channel.data(), channel.size_bytes());
}

void decode_file(std::int64_t bytes, double most_seconds) {
  const Source source{bytes, [](std::int64_t from, std::span<std::uint8_t> out) -> std::int64_t {
                        for (;;) {
                          const ssize_t got = ::pread(kFileFd, out.data(), out.size(), from);
                          if (got >= 0 || errno != EINTR) return got;
                        }
                      }};
  double told = 0;
  const Sink sink{[](int channels) {
                    const auto count = static_cast<std::uint8_t>(channels);
                    write_record(Record::channels, &count, 1);
                  },
                  write_samples,
                  [&told](double share) {
                    if (share < told + 0.01) return;
                    told = share;
                    write_record(Record::progress, &share, sizeof share);
                  }};
  try {
    write_record(Record::facts, text_of(decode(source, sink, most_seconds)));
  } catch (const Refusal& refusal) {
    write_record(Record::refusal, text_of(refusal));
  } catch (const std::bad_alloc&) {
    write_record(Record::refusal,
                 text_of(Refusal{"needs more memory to decode than a recording does: it is damaged", kWhole}));
  }
}

template <class T>
bool read_number(const char* text, T& value) {
  const char* end = text + std::strlen(text);
  const auto [stop, error] = std::from_chars(text, end, value);
  return error == std::errc() && stop == end && value > 0;
}

}  // namespace

int main(int count, char** arguments) {
  const bool trial = count == 3 && std::string_view(arguments[1]) == "--try";
  Cage cage{.memory_bytes = std::uint64_t{1} << 30, .cpu_s = 1};
  double most_seconds = 0;
  if (!trial && (count != 4 || !read_number(arguments[1], cage.memory_bytes) ||
                 !read_number(arguments[2], cage.cpu_s) || !read_number(arguments[3], most_seconds))) {
    return 2;
  }
  struct stat info {};
  if (!trial && (::fstat(kFileFd, &info) != 0 || !S_ISREG(info.st_mode))) return 2;
  ::close_range(3, ~0U, 0);
  av_log_set_level(AV_LOG_QUIET);
  if (const std::string why = shut_in(cage); !why.empty()) {
    write_record(Record::no_cage, why);
    ::_exit(4);
  }
  if (trial) {
    const std::string said = std::to_string(attempt(arguments[2])) + "\n";
    write_all(said.data(), said.size());
  } else {
    decode_file(info.st_size, most_seconds);
  }
  ::_exit(0);
}
