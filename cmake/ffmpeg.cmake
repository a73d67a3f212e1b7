# FFmpeg's libraries and the system call filter, for the program that decodes recordings and for nothing else.
find_package(PkgConfig REQUIRED)
pkg_check_modules(FFMPEG REQUIRED IMPORTED_TARGET libavformat libavcodec libswresample libavutil)
add_library(FFmpeg::FFmpeg ALIAS PkgConfig::FFMPEG)
crankwise_outside(seccomp seccomp.h seccomp)
