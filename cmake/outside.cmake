# Libraries that bring no CMake package of their own, as targets: NAME::NAME, found by a header and a library.
function(crankwise_outside name header library)
  find_path(${name}_INCLUDE ${header} REQUIRED)
  find_library(${name}_LIBRARY ${library} REQUIRED)
  add_library(${name}::${name} UNKNOWN IMPORTED)
  set_target_properties(${name}::${name} PROPERTIES IMPORTED_LOCATION ${${name}_LIBRARY}
                                                    INTERFACE_INCLUDE_DIRECTORIES ${${name}_INCLUDE})
endfunction()

crankwise_outside(nettle nettle/sha2.h nettle)
crankwise_outside(HPDF hpdf.h hpdf)
crankwise_outside(exif libexif/exif-data.h exif)
crankwise_outside(microhttpd microhttpd.h microhttpd)
crankwise_outside(gnutls gnutls/gnutls.h gnutls)
crankwise_outside(qrencode qrencode.h qrencode)

# The typeface of printed pages: letters of most languages.
find_path(CRANKWISE_FONTS DejaVuSans.ttf PATHS /usr/share/fonts/truetype/dejavu /usr/share/fonts/dejavu REQUIRED)
